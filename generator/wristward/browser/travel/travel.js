/* The page "Elbow to wrist": one state, one draw, and the parts that change it. */
(function (wristward) {
  "use strict";

  const { geometry, inWords, say } = wristward;
  const GLIDE_MS = 260;
  const IDLE_MS = 2000;
  const WIDE_PX = 960;

  /* data: {figure, z, side, arm, shown, assets, sources, levels: [{z, name}], pages: {id: address}}. Arms that are
     drawn otherwise are `wristward.others`; one of them takes the drawn arm's place when its script has come. */
  wristward.mounters["elbow-to-wrist"] = (host, data) => {
    const find = (name) => host.querySelector(`[data-part="${name}"]`);
    const others = Object.fromEntries(data.others.map((name) => [name, wristward.others[name]]));
    const arms = { ...wristward.arms, ...others };
    const drawn = geometry.unpack(wristward.packedArm);
    const svg = find("figure").querySelector("svg");
    // These three are those of the arm shown; whoever holds them goes on to hold them when the arm changes.
    const arm = { ...drawn }, legend = { ...wristward.legend };
    const adopted = { ...wristward.drawing.adopt(svg, data.figure, arm, legend) };
    const { on, stop } = wristward.listening();
    const longest = (name) => Math.round(arm.top * arms[name].length_scale);
    const preset = { z: data.z, side: data.side, arm: data.arm, shown: data.shown };
    const begun = asked();
    const first = read(begun);
    const state = { ...first, arm: first.arm in others ? data.arm : first.arm, lit: null, names: true, hidden: new Set(), cut: null };
    let table = null; // measures of the drawn arm, once they have come
    let worn = null; // the arm drawn otherwise that is shown
    let turn = 0; // counts what was chosen: an arm that comes late is not put on
    let zoom = null; // the plotly figure, while it is open
    let glide = 0, gone = false;
    const pace = wristward.pacing(host, () => draw({ rests: false }), rest);

    /* What the address asks for: behind the "#", which the page keeps up, or else in the query of a link. */
    function asked() {
      return location.hash.length > 1 ? location.hash : location.search;
    }

    function read(text) {
      return wristward.address.read(text, preset, { arms: Object.keys(arms), ids: Object.keys(legend), longest });
    }

    /* Put an arm on: its outlines, its names, its paths. */
    function wear(other) {
      if (other === worn) return;
      worn = other;
      Object.assign(arm, other === null ? drawn : other.arm);
      Object.assign(legend, wristward.legend, other === null ? {} : other.legend);
      Object.assign(adopted, wristward.drawing.adopt(svg, data.figure, arm, legend));
    }

    /* Change to a state, after its arm's script has come; without it the arm before stays. `next` is asked when the
       names of the arm are known. */
    async function change(next) {
      const mine = (turn += 1);
      const { arm: name } = next();
      let other = null;
      if (name in others && name === state.arm) other = worn;
      else if (name in others) {
        panel.waiting(true);
        try {
          await wristward.load(`${data.assets}wristward-arms.js`);
          other = await wristward.arming.load(`${data.assets}wristward-arm-${name}.js`, name, drawn);
        } catch (problem) {
          console.warn(problem);
          if (mine === turn) {
            panel.waiting(false, say("client.arms.failed"));
            panel.arm(state, longest(state.arm), worn);
          }
          return;
        }
        if (mine !== turn || gone) return;
        panel.waiting(false);
      }
      wear(other);
      Object.assign(state, next());
      // What another arm alone has is not shown here; what only this arm lacks is, in words.
      if (!(state.shown in wristward.legend) && !arm.byId.has(state.shown)) state.shown = null;
      panel.arm(state, longest(state.arm), worn);
      panel.course(state);
      pace.ask();
    }

    const stored = () => Math.min(state.z / arms[state.arm].length_scale, arm.top);
    const girth = () => arms[state.arm].girth_scale;
    const measured = () => (worn === null || table === null ? table : worn.measures(table));
    const tell = (id) =>
      table === null ? null : wristward.measures.at(measured(), id, Math.round(stored()), girth());
    const focusId = () => state.lit ?? state.shown;

    /* One picture of the state. Everything a reader follows while sliding, and nothing else. */
    function draw({ rests = true } = {}) {
      state.cut = geometry.cut(arm, stored(), { side: state.side, girth: girth() });
      if (zoom === null) picture(rests);
      else zoom.patch(state.cut);
      panel.follow(state, tell, stored() / arm.top);
    }

    function picture(rests = true) {
      adopted.draw(state.cut, { names: state.names, hidden: state.hidden, lit: focusId(), rests });
    }

    function rest() {
      if (zoom === null) picture();
      else zoom.settle(state.cut);
      panel.rest(state, tell);
      adopted.describe(inWords.title(state.z, state.side, state.arm), panel.description(state));
      history.replaceState(history.state, "", wristward.address.write(state));
    }

    function goTo(z) {
      cancelAnimationFrame(glide);
      const next = Math.max(0, Math.min(longest(state.arm), z));
      if (next === state.z) return;
      state.z = next;
      pace.ask();
    }

    /* To another level with the steps between visible, unless the reader has asked for less motion. */
    function glideTo(z) {
      cancelAnimationFrame(glide);
      if (matchMedia("(prefers-reduced-motion: reduce)").matches) return goTo(z);
      const from = state.z, begun = performance.now();
      const step = (now) => {
        const share = Math.min(1, (now - begun) / GLIDE_MS);
        state.z = share === 1 ? z : from + (z - from) * share * share * (3 - 2 * share);
        pace.ask();
        if (share < 1) glide = requestAnimationFrame(step);
      };
      glide = requestAnimationFrame(step);
    }

    /* The next named level in a direction: +1 toward the elbow, -1 toward the wrist. */
    function level(direction) {
      const scale = arms[state.arm].length_scale;
      const heights = data.levels.map((one) => Math.round(one.z * scale)).sort((a, b) => a - b);
      const beyond = heights.filter((z) => (direction > 0 ? z > state.z : z < state.z));
      if (beyond.length > 0) glideTo(direction > 0 ? beyond[0] : beyond[beyond.length - 1]);
    }

    const act = {
      goTo,
      glideTo,
      level,
      light(id) {
        if (state.lit === id) return;
        state.lit = id;
        if (zoom === null) picture(!host.classList.contains("w-moving"));
        panel.follow(state, tell, stored() / arm.top);
      },
      pin(id) {
        state.shown = state.shown === id ? null : id;
        state.lit = null;
        panel.course(state);
        pace.ask();
      },
      set(changed) {
        // On another arm the same place, by the share of its length.
        change(() => {
          const next = { ...state, ...changed };
          return { ...changed, arm: next.arm, z: Math.round((state.z / longest(state.arm)) * longest(next.arm)) };
        });
      },
      hide(kind, hidden) {
        if (hidden) state.hidden.add(kind);
        else state.hidden.delete(kind);
        pace.ask();
      },
      async zoom() {
        if (zoom !== null) return closeZoom();
        panel.busy(true);
        try {
          await wristward.load(`${data.assets}plotly.min.js`);
          zoom = await wristward.zoomFigure(find("zoom"), state.cut, legend, inWords.title(state.z, state.side, state.arm));
          host.classList.add("w-zoomed");
          panel.zoomed(true);
        } catch (problem) {
          console.warn(problem);
          panel.complain(say("client.zoom.failed"));
        }
        panel.busy(false);
      },
      save() {
        wristward.saveDrawing(adopted.svg, `wristward-${state.z}mm-${state.side}.svg`);
      },
    };

    function closeZoom() {
      zoom.undo();
      zoom = null;
      host.classList.remove("w-zoomed");
      panel.zoomed(false);
      draw();
    }

    const panel = wristward.travelPanel(host, find, { legend, arm, data, act, longest });
    const pointing = wristward.pointing(find("figure"), adopted, find("tag"), legend, () => state, act);
    panel.arm(state, longest(state.arm), worn);
    panel.course(state);
    draw();
    panel.rest(state, tell);
    host.classList.add("w-ready");
    if (first.arm !== state.arm) change(() => read(begun));

    on(window, "hashchange", () => {
      const text = location.hash;
      change(() => read(text));
    });
    const unlink = wristward.link(data.link, (news) => news.z !== undefined && goTo(Math.round(news.z * arms[state.arm].length_scale)));

    // The words need numbers that the picture does not: they come after the first paint.
    const later = setTimeout(() => {
      wristward
        .load(`${data.assets}wristward-measures.js`)
        .then(() => {
          table = wristward.measures.unpack(wristward.packedMeasures);
          draw();
          panel.rest(state, tell);
        })
        .catch((problem) => console.warn(problem));
    }, 60);

    // On a wide screen, and when nothing has moved for a while, fetch plotly ahead of being asked.
    let idle = 0;
    function wait() {
      clearTimeout(idle);
      if (innerWidth >= WIDE_PX && !navigator.connection?.saveData) {
        idle = setTimeout(() => {
          if (host.classList.contains("w-moving")) wait();
          else wristward.load(`${data.assets}plotly.min.js`).catch((problem) => console.warn(problem));
        }, IDLE_MS);
      }
    }
    on(host, "input", wait);
    on(window, "pointermove", () => idle !== 0 && wait());
    wait();

    return () => {
      gone = true;
      stop();
      unlink();
      clearTimeout(later);
      clearTimeout(idle);
      pace.stop();
      cancelAnimationFrame(glide);
      pointing.undo();
      panel.undo();
      if (zoom !== null) closeZoom();
      host.classList.remove("w-ready");
    };
  };
})((globalThis.wristward ??= {}));
