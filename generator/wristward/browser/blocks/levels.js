/* The page "Block levels": one state (nerve, volume, arm, assumptions, height), one draw, and what changes it. */
(function (wristward) {
  "use strict";

  const { geometry, inWords, say, blocks, blockChart } = wristward;

  /* data: {figure, nerve, z, ml, arm, link, assets, travel, spread: {base, perMl, sd}, limits: {name: [least, most]},
     charts: {nerve: {frame, plotly, roles}}, parts: {nerve: [ids]}}. */
  wristward.mounters["block-levels"] = (host, data) => {
    const find = (name) => host.querySelector(`[data-part="${name}"]`);
    const { arms, legend } = wristward;
    const { on, stop } = wristward.listening();
    const preset = { nerve: data.nerve, z: data.z, ml: data.ml, arm: data.arm, ...data.spread };
    const state = { ...preset, lit: null, event: null };
    const figure = find("section");
    const box = find("figure"), tag = find("tag"), caption = find("caption");
    const tables = new Map(), panels = new Map();
    let packed = null, arm = null, adopted = null, pointing = null;
    let seen = null, key = "", drawn = "", cutKey = "", cut = null, zoom = null, opening = false, gone = false;

    for (const panel of host.querySelectorAll("[data-nerve]")) {
      const part = (name) => panel.querySelector(`[data-part="${name}"]`);
      const { frame: lies } = data.charts[panel.dataset.nerve];
      panels.set(panel.dataset.nerve, { panel, part, chart: blockChart.adopt(part("picture").querySelector("svg"), lies) });
    }
    const pace = wristward.pacing(host, draw, rest);
    const here = () => panels.get(state.nerve);
    const scale = () => arms[state.arm].length_scale;
    const top = () => Math.floor(packed.length_mm * scale() + 1e-9);
    const length = () => state.base + state.perMl * state.ml;

    function read() {
      const asked = new URLSearchParams(location.hash.slice(1));
      const bare = location.hash.slice(1).replaceAll("-", "_");
      const number = (name, [least, most], otherwise) => {
        const text = asked.get(name);
        return text !== null && /^\d+(\.\d+)?$/.test(text) ? Math.min(most, Math.max(least, Number(text))) : otherwise;
      };
      const nerve = asked.get("nerve") ?? bare;
      const chosen = {
        nerve: panels.has(nerve) ? nerve : preset.nerve,
        arm: asked.get("arm") in arms ? asked.get("arm") : preset.arm,
      };
      for (const name of ["ml", "base", "perMl", "sd"]) chosen[name] = number(name, data.limits[name], preset[name]);
      const most = Math.floor(packed.length_mm * arms[chosen.arm].length_scale + 1e-9);
      return { ...chosen, z: Math.round(number("z", [0, most], Math.min(most, preset.z))) };
    }

    function write() {
      const parts = [`nerve=${state.nerve}`, `ml=${state.ml}`, `arm=${state.arm}`, `z=${state.z}`];
      for (const name of ["base", "perMl", "sd"]) if (state[name] !== preset[name]) parts.push(`${name}=${state[name]}`);
      history.replaceState(history.state, "", `#${parts.join("&")}`);
    }

    function table() {
      if (!tables.has(state.nerve)) tables.set(state.nerve, blocks.unpack(packed, state.nerve));
      return tables.get(state.nerve);
    }

    /* Chances and windows of the state; made anew only when something they rest on has changed. */
    function look() {
      const now = [state.nerve, state.ml, state.arm, state.base, state.perMl, state.sd].join(" ");
      if (now === key) return false;
      key = now;
      const block = packed.blocks[state.nerve];
      const curves = blocks.curves(table(), { length: length(), sd: state.sd, scale: scale(), top: top() });
      const windows = {};
      for (const reading of blocks.READINGS) windows[reading] = blocks.window(packed, block, curves[reading]);
      const inReach = curves.take_off.wanted.some((chance) => chance > packed.out_of_reach);
      seen = { curves, windows, inReach, block, top: top() };
      return true;
    }

    function draw() {
      look();
      Object.assign(seen, { z: state.z, length: length() });
      if (zoom !== null) zoom.patch(seen);
      else drawChart();
      controls.follow(state, seen, here());
      drawSection();
    }

    /* The drawing of the chart, which stands still while the plotly figure is in its place. */
    function drawChart() {
      if (drawn !== key) here().chart.draw(seen);
      drawn = key;
      here().chart.point(seen);
    }

    function drawSection() {
      const now = [state.z, state.arm, state.nerve, state.lit, state.event].join(" ");
      if (adopted === null || now === cutKey) return;
      cutKey = now;
      cut = geometry.cut(arm, Math.min(state.z / scale(), arm.top), { girth: arms[state.arm].girth_scale });
      const there = (id) => cut.shapes.some((shape) => shape.id === id);
      const shown = data.parts[state.nerve].find(there) ?? null;
      adopted.draw(cut, { lit: state.lit !== null && there(state.lit) ? state.lit : shown, narrow: true });
      caption.textContent = inWords.capital(inWords.height(state.z));
      chartLight();
    }

    /* The lines of the event that is pointed at in the table, or of those that a structure of the section stands for. */
    function chartLight() {
      const events = Object.entries(seen.block.events).filter(([id, one]) =>
        state.event === null ? one.structures.includes(state.lit) : id === state.event,
      );
      const keys = new Set(events.map(([id]) => `caught.${id}`));
      here().chart.light(keys);
      for (const row of here().panel.querySelectorAll("[data-event]")) {
        row.classList.toggle("w-b-lit", keys.has(`caught.${row.dataset.event}`));
      }
    }

    function rest() {
      zoom?.settle(seen);
      controls.rest(state, seen, here());
      if (adopted !== null && cut !== null) {
        adopted.describe(inWords.title(state.z, "right", state.arm), say("figure.convention.right"));
      }
      find("travel").href = `${data.travel}${wristward.address.write({ z: state.z, side: "right", arm: state.arm, shown: data.parts[state.nerve][0] })}`;
      write();
    }

    const act = {
      set(change) {
        if (change.nerve !== undefined && change.nerve !== state.nerve) closeZoom();
        Object.assign(state, change, { lit: null, event: null });
        state.z = Math.max(0, Math.min(top(), state.z));
        if (change.nerve !== undefined) choose();
        pace.ask();
      },
      goTo(z, from) {
        if (seen === null) return; // the tables have not come, or will not
        const whole = Math.max(0, Math.min(top(), Math.round(z)));
        if (whole === state.z) return;
        state.z = whole;
        pace.ask();
        if (from !== "link") wristward.tell(data.link, { z: whole / scale() }, hear);
      },
      best(reading) {
        act.goTo(seen.windows[reading].best);
      },
      light(id) {
        if (state.lit === id && state.event === null) return;
        Object.assign(state, { lit: id, event: null });
        drawSection();
      },
      /* An event of the table, and its structure where the section at hand has one. */
      event(id) {
        if (seen === null) return;
        const ids = id === null ? [] : seen.block.events[id].structures;
        const lit = ids.find((one) => cut?.shapes.some((shape) => shape.id === one)) ?? null;
        Object.assign(state, { lit, event: id });
        drawSection();
      },
      async zoom() {
        if (zoom !== null) return closeZoom();
        if (opening) return;
        opening = true;
        const panel = here(), { part } = panel, chosen = data.charts[state.nerve];
        controls.zoomed(panel, "busy");
        try {
          await wristward.load(`${data.assets}plotly.min.js`);
          part("zoom").style.height = `${part("picture").offsetHeight}px`;
          swap(part, true);
          const made = await blockChart.zoom(part("zoom"), chosen.plotly, seen, chosen.roles, (z) => act.goTo(z));
          zoom = made;
          controls.zoomed(panel, "open");
          // While plotly was on its way the reader may have gone on to another nerve.
          if (gone || panel !== here()) closeZoom(panel);
        } catch (problem) {
          console.warn(problem);
          swap(part, false);
          controls.zoomed(panel, "failed");
        }
        opening = false;
      },
    };

    const swap = (part, zoomed) => {
      part("zoom").hidden = !zoomed;
      part("picture").hidden = zoomed;
    };

    function closeZoom(panel = here()) {
      if (zoom === null) return;
      zoom.undo();
      zoom = null;
      swap(panel.part, false);
      drawChart();
      controls.zoomed(panel, "closed");
    }

    /* Show the panel of the nerve, with the one section of the page beside its chart. */
    function choose() {
      for (const [nerve, { panel }] of panels) panel.hidden = nerve !== state.nerve;
      here().part("beside").append(figure);
    }

    const hear = (news) => news.z !== undefined && act.goTo(news.z * scale(), "link");
    const controls = wristward.blockControls(host, find, { data, act, panels });
    const unlink = wristward.link(data.link, hear);

    Promise.all([
      wristward.load(`${data.assets}wristward-blocks.js`),
      wristward.load(`${data.assets}wristward-geometry.js`),
    ])
      .then(() => {
        if (gone) return;
        packed = wristward.packedBlocks;
        wristward.learn(packed.words);
        arm = geometry.drawn();
        adopted = wristward.drawing.adopt(box.querySelector("svg"), data.figure, arm, legend);
        Object.assign(state, read());
        controls.begin(state);
        choose();
        draw();
        rest();
        pointing = wristward.pointing(box, adopted, tag, legend, () => ({ cut }), { light: act.light, pin: act.light });
        on(window, "hashchange", () => act.set(read()));
        host.classList.add("w-ready");
      })
      .catch((problem) => {
        console.warn(problem);
        find("failed").hidden = false;
      });

    return () => {
      gone = true;
      if (zoom !== null) closeZoom();
      stop();
      unlink();
      pace.stop();
      pointing?.undo();
      controls.undo();
      for (const { panel } of panels.values()) panel.hidden = false;
      panels.get(data.nerve).part("beside").append(figure);
      host.classList.remove("w-ready", "w-moving");
    };
  };
})((globalThis.wristward ??= {}));
