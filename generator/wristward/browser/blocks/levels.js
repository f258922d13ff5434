/* The page "Block levels": one state (nerve, volume, arm, assumptions, height), one draw, and what changes it. */
(function (wristward) {
  "use strict";

  const { geometry, drawing, inWords, say, blocks, blockChart, one } = wristward;
  const SPREAD = /** @type {const} */ (["base", "perMl", "sd"]);

  wristward.mounters["block-levels"] = (host, data) => {
    const find = wristward.parts(host);
    let gone = false;
    /** @type {Undo} */
    let undo = () => {};
    Promise.all(["blocks", "geometry"].map((name) => wristward.load(`${data.assets}wristward-${name}.js`)))
      .then(() => {
        if (!gone) undo = begin(host, find, data);
      })
      .catch((problem) => {
        console.warn(problem);
        find("failed").hidden = false;
      });
    return () => {
      gone = true;
      undo();
    };
  };

  /**
   * Bring the page to life once the tables and the outlines have come; returns its undo.
   * @type {(host: HTMLElement, find: Find, data: BlockLevelsData) => Undo}
   */
  function begin(host, find, data) {
    const { arms, legend, packedBlocks: packed } = wristward;
    wristward.learn(packed.words);
    const { on, stop } = wristward.listening();
    const preset = { nerve: data.nerve, z: data.z, ml: data.ml, arm: data.arm, ...data.spread };
    const figure = find("section"), box = find("figure"), caption = find("caption");
    /** @type {Map<string, BlockTable>} */
    const tables = new Map();
    /** @type {Map<string, BlockPanel>} */
    const panels = new Map();
    for (const panel of host.querySelectorAll("[data-nerve]")) {
      const { nerve = "" } = panel.dataset, part = wristward.parts(panel);
      panels.set(nerve, { panel, part, chart: blockChart.adopt(one(part("picture"), "svg"), data.charts[nerve].frame) });
    }
    /** @type {BlockState} */
    const state = { ...read(), lit: null, event: null };
    const arm = geometry.drawn();
    const adopted = drawing.adopt(one(box, "svg"), data.figure, drawing.parts(arm, legend), legend);
    const pace = wristward.pacing(host, draw, rest);
    let key = looks(), seen = look(), cut = section(), drawn = "", cutKey = "";
    /** @type {ZoomedChart | null} */
    let zoom = null;
    let opening = false, gone = false;

    /** @param {string} nerve */
    function panelOf(nerve) {
      return /** @type {BlockPanel} */ (panels.get(nerve));
    }
    function here() {
      return panelOf(state.nerve);
    }
    function scale() {
      return arms[state.arm].length_scale;
    }
    function top() {
      return Math.floor(packed.length_mm * scale() + 1e-9);
    }
    function length() {
      return state.base + state.perMl * state.ml;
    }

    function read() {
      const asked = new URLSearchParams(location.hash.slice(1));
      const bare = location.hash.slice(1).replaceAll("-", "_");
      /** @type {(name: string, limits: [number, number], otherwise: number) => number} */
      const number = (name, [least, most], otherwise) => {
        const text = asked.get(name);
        return text !== null && /^\d+(\.\d+)?$/.test(text) ? Math.min(most, Math.max(least, Number(text))) : otherwise;
      };
      const nerve = asked.get("nerve") ?? bare, named = asked.get("arm") ?? "";
      const arm = Object.hasOwn(arms, named) ? named : preset.arm;
      const chosen = { ...preset, arm, nerve: panels.has(nerve) ? nerve : preset.nerve };
      for (const name of /** @type {const} */ (["ml", ...SPREAD])) chosen[name] = number(name, data.limits[name], preset[name]);
      const most = Math.floor(packed.length_mm * arms[arm].length_scale + 1e-9);
      return { ...chosen, z: Math.round(number("z", [0, most], Math.min(most, preset.z))) };
    }

    function write() {
      const parts = [`nerve=${state.nerve}`, `ml=${state.ml}`, `arm=${state.arm}`, `z=${state.z}`];
      for (const name of SPREAD) if (state[name] !== preset[name]) parts.push(`${name}=${state[name]}`);
      history.replaceState(history.state, "", `#${parts.join("&")}`);
    }

    function table() {
      const made = tables.get(state.nerve) ?? blocks.unpack(packed, state.nerve);
      tables.set(state.nerve, made);
      return made;
    }

    /* What chances and windows rest on. */
    function looks() {
      return [state.nerve, state.ml, state.arm, state.base, state.perMl, state.sd].join(" ");
    }

    /* Chances and windows of the state. */
    function look() {
      const block = packed.blocks[state.nerve];
      const curves = blocks.curves(table(), { length: length(), sd: state.sd, scale: scale(), top: top() });
      /** @param {Reading} reading */
      const windowOf = (reading) => blocks.window(packed, block, curves[reading]);
      const inReach = curves.take_off.wanted.some((chance) => chance > packed.out_of_reach);
      const windows = { take_off: windowOf("take_off"), parting: windowOf("parting") };
      return { curves, windows, inReach, block, top: top(), z: state.z, length: length() };
    }

    function section() {
      return geometry.cut(arm, Math.min(state.z / scale(), arm.top), { girth: arms[state.arm].girth_scale });
    }

    function draw() {
      const now = looks();
      if (now !== key) {
        key = now;
        seen = look();
      }
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
      if (now === cutKey) return;
      cutKey = now;
      cut = section();
      const shown = data.parts[state.nerve].find(there) ?? null;
      adopted.draw(cut, { lit: state.lit !== null && there(state.lit) ? state.lit : shown, narrow: true });
      caption.textContent = inWords.capital(inWords.height(state.z));
      chartLight();
    }

    /** @param {string} id */
    function there(id) {
      return cut.shapes.some((shape) => shape.id === id);
    }

    /* The lines of the event that is pointed at in the table, or of those that a structure of the section stands for. */
    function chartLight() {
      const { lit, event } = state;
      const events = Object.entries(seen.block.events).filter(([id, { structures }]) =>
        event === null ? lit !== null && structures.includes(lit) : id === event,
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
      adopted.describe(inWords.title(state.z, "right", state.arm), say("figure.convention.right"));
      const place = wristward.address.write({ z: state.z, side: "right", arm: state.arm, shown: data.parts[state.nerve][0] });
      find("travel").href = `${data.travel}${place}`;
      write();
    }

    /** @type {BlockAct} */
    const act = {
      set(change) {
        if (change.nerve !== undefined && change.nerve !== state.nerve) closeZoom();
        Object.assign(state, change, { lit: null, event: null });
        state.z = Math.max(0, Math.min(top(), state.z));
        if (change.nerve !== undefined) choose();
        pace.ask();
      },
      goTo(z, from) {
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
        const ids = id === null ? [] : seen.block.events[id].structures;
        Object.assign(state, { lit: ids.find(there) ?? null, event: id });
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
          swap(panel, true);
          zoom = await blockChart.zoom(part("zoom"), chosen.plotly, seen, chosen.roles, (z) => act.goTo(z));
          controls.zoomed(panel, "open");
          // While plotly was on its way the reader may have gone on to another nerve.
          if (gone || panel !== here()) closeZoom(panel);
        } catch (problem) {
          console.warn(problem);
          swap(panel, false);
          controls.zoomed(panel, "failed");
        }
        opening = false;
      },
    };

    /** @type {(panel: BlockPanel, zoomed: boolean) => void} */
    function swap({ part }, zoomed) {
      part("zoom").hidden = !zoomed;
      part("picture").hidden = zoomed;
    }

    function closeZoom(panel = here()) {
      if (zoom === null) return;
      zoom.undo();
      zoom = null;
      swap(panel, false);
      drawChart();
      controls.zoomed(panel, "closed");
    }

    /* Show the panel of the nerve, with the one section of the page beside its chart. */
    function choose() {
      for (const [nerve, { panel }] of panels) panel.hidden = nerve !== state.nerve;
      here().part("beside").append(figure);
    }

    /** @param {News} news */
    const hear = (news) => news.z !== undefined && act.goTo(news.z * scale(), "link");
    const controls = wristward.blockControls(host, find, { data, act, panels });
    const unlink = wristward.link(data.link, hear);
    controls.begin();
    choose();
    draw();
    rest();
    const pointing = wristward.pointing(box, adopted, find("tag"), legend, () => ({ cut }), { light: act.light, pin: act.light });
    on(window, "hashchange", () => act.set(read()));
    host.classList.add("w-ready");

    return () => {
      gone = true;
      closeZoom();
      stop();
      unlink();
      pace.stop();
      pointing.undo();
      controls.undo();
      for (const { panel } of panels.values()) panel.hidden = false;
      panelOf(data.nerve).part("beside").append(figure);
      host.classList.remove("w-ready", "w-moving");
    };
  }
})((window.wristward ??= {}));
