/* The page "Elbow to wrist": a state, a figure that shows it, controls around it, and what changes the one by the other. */
(function (wristward) {
  "use strict";

  const { geometry, inWords, say } = wristward;
  const GLIDE_MS = 250;
  const WORDS_MS = 60; // after the first paint

  /* An arm that is drawn otherwise takes the drawn arm's place when its script has come. */
  wristward.mounters.travel = (host, data) => {
    const find = wristward.parts(host);
    const { on, stop } = wristward.listening();
    const figure = wristward.travelFigure(host, find, data);
    const { arm, legend } = figure;
    const place = wristward.travelPlace(data, arm, legend);
    const { state, longest } = place;
    const pace = wristward.pacing(host, () => draw(false), rest);
    let turn = 0; // counts what was chosen: an arm that comes late is not put on
    let glide = 0, gone = false;
    let cut = cutNow();

    /** @type {Tell} */
    const tell = (id) => figure.tell(id, Math.round(place.stored()), place.girth());

    /* One picture of the state. Everything a reader follows while sliding, and nothing else. */
    function draw(rests = true) {
      cut = cutNow();
      picture(rests);
      panel.follow(state, cut, tell, place.stored() / arm.top);
    }

    function cutNow() {
      return geometry.cut(arm, place.stored(), { side: state.side, girth: place.girth() });
    }

    /** @param {boolean} rests */
    function picture(rests) {
      figure.draw(cut, { names: state.names, hidden: state.hidden, lit: state.lit ?? state.shown }, rests);
    }

    function rest() {
      picture(true);
      panel.rest(state, cut, tell);
      figure.describe(inWords.title(state.z, state.side, state.arm), panel.description(state, cut));
      place.keep();
    }

    /**
     * Change to a state, after its arm's script has come; without it the arm before stays. `next` is asked when the
     * names of the arm are known.
     * @param {() => Partial<TravelState> & { arm: string }} next
     */
    async function change(next) {
      const mine = (turn += 1);
      const { arm: name } = next();
      let other = null;
      if (place.isDrawnOtherwise(name) && name === state.arm) other = figure.worn();
      else if (place.isDrawnOtherwise(name)) {
        panel.waiting(true);
        try {
          await wristward.load(`${data.assets}wristward-arms.js`);
          other = await wristward.arming.load(`${data.assets}wristward-arm-${name}.js`, name, geometry.drawn());
        } catch (problem) {
          console.warn(problem);
          if (mine === turn) {
            panel.waiting(false, say("client.arms.failed"));
            panel.arm(state, longest(state.arm), figure.worn());
          }
          return;
        }
        if (mine !== turn || gone) return;
        panel.waiting(false);
      }
      figure.wear(other);
      Object.assign(state, next());
      // What another arm alone has is not shown here; what only this arm lacks is, in words.
      const { shown } = state;
      if (shown !== null && !(shown in wristward.legend) && !arm.byId.has(shown)) state.shown = null;
      panel.arm(state, longest(state.arm), other);
      panel.course(state);
      pace.ask();
    }

    /** @param {number} z */
    function goTo(z) {
      cancelAnimationFrame(glide);
      if (place.moveTo(z)) pace.ask();
    }

    /**
     * To another level with the steps between visible, unless the reader has asked for less motion.
     * @param {number} z
     */
    function glideTo(z) {
      cancelAnimationFrame(glide);
      if (matchMedia("(prefers-reduced-motion: reduce)").matches) return goTo(z);
      const from = state.z, begun = performance.now();
      /** @param {number} now */
      const step = (now) => {
        const share = Math.min(1, (now - begun) / GLIDE_MS);
        state.z = share === 1 ? z : from + (z - from) * share * share * (3 - 2 * share);
        pace.ask();
        if (share < 1) glide = requestAnimationFrame(step);
      };
      glide = requestAnimationFrame(step);
    }

    /** @type {TravelAct} */
    const act = {
      goTo,
      level(direction) {
        const z = place.levelBeyond(direction);
        if (z !== undefined) glideTo(z);
      },
      light(id) {
        if (state.lit === id) return;
        state.lit = id;
        if (!figure.isZoomed()) picture(!host.classList.contains("w-moving"));
        panel.follow(state, cut, tell, place.stored() / arm.top);
      },
      pin(id) {
        state.shown = state.shown === id ? null : id;
        state.lit = null;
        panel.course(state);
        pace.ask();
      },
      set(changed) {
        change(() => place.with(changed));
      },
      hide(kind, hidden) {
        if (hidden) state.hidden.add(kind);
        else state.hidden.delete(kind);
        pace.ask();
      },
      async zoom() {
        if (figure.isZoomed()) return closeZoom();
        panel.busy(true);
        try {
          await figure.openZoom(cut, inWords.title(state.z, state.side, state.arm));
          if (gone) figure.closeZoom();
          else panel.zoomed(true);
        } catch (problem) {
          console.warn(problem);
          panel.complain(say("client.zoom.failed"));
        }
        panel.busy(false);
      },
      save() {
        pace.settle();
        wristward.saveDrawing(figure.svg, `wristward-${state.z}mm-${state.side}.svg`);
      },
    };

    function closeZoom() {
      figure.closeZoom();
      panel.zoomed(false);
      draw();
    }

    const panel = wristward.travelPanel(host, find, { legend, arm, data, act, longest });
    const pointing = wristward.pointing(find("figure"), figure, find("tag"), legend, () => ({ cut }), act);
    panel.arm(state, longest(state.arm), null);
    panel.course(state);
    draw();
    host.classList.add("w-ready");
    const { awaited } = place;
    if (awaited !== null) change(() => place.read(awaited));

    on(window, "beforeprint", pace.settle);
    on(window, "hashchange", () => {
      const text = location.hash;
      change(() => place.read(text));
    });
    const unlink = wristward.link(data.link, (news) => news.z !== undefined && goTo(place.ofStored(news.z)));
    const later = setTimeout(() => {
      panel.rest(state, cut, tell);
      const told = () => {
        panel.follow(state, cut, tell, place.stored() / arm.top);
        panel.rest(state, cut, tell);
      };
      figure.measure().then(told).catch((problem) => console.warn(problem));
    }, WORDS_MS);
    const forget = wristward.plotlyAhead(host, `${data.assets}plotly.min.js`);

    return () => {
      gone = true;
      stop();
      unlink();
      forget();
      clearTimeout(later);
      pace.stop();
      cancelAnimationFrame(glide);
      pointing.undo();
      panel.undo();
      if (figure.isZoomed()) closeZoom();
      figure.undo();
      host.classList.remove("w-ready");
    };
  };
})((window.wristward ??= {}));
