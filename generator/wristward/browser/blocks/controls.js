/* What stands around the chart of "Block levels": choice of nerve, sliders, table, sentences, live region. */
(function (wristward) {
  "use strict";

  const { inWords, say, element, blocks, blockWords } = wristward;
  const SLIDERS = /** @type {const} */ (["ml", "base", "perMl", "sd"]);

  wristward.blockControls = (host, find, { data, act, panels }) => {
    const { on, stop } = wristward.listening();
    const live = find("live");
    const sliders = SLIDERS.map((name) => ({ name, input: find(name), shown: find(`${name}-shown`) }));

    for (const { name, input } of sliders) on(input, "input", () => act.set({ [name]: Number(input.value) }));
    on(find("reset"), "click", () => act.set({ ...data.spread }));
    on(host, "change", ({ target }) => {
      if (!(target instanceof HTMLInputElement)) return;
      if (target.name === `${data.figure}-nerve`) act.set({ nerve: target.value });
      if (target.name === `${data.figure}-arm`) act.set({ arm: target.value });
    });
    for (const panel of panels.values()) listen(panel);

    /** @param {BlockPanel} here */
    function listen({ panel, part, chart }) {
      const slider = part("slider");
      on(slider, "input", () => act.goTo(Number(slider.max) - Number(slider.value)));
      /** @param {MouseEvent} event */
      const point = (event) => act.goTo(chart.under(event, Number(slider.max)));
      on(chart.svg, "pointermove", (event) => (event.pointerType === "mouse" || event.buttons > 0) && point(event));
      on(chart.svg, "click", point);
      on(part("zoom-button"), "click", act.zoom);
      for (const reading of blocks.READINGS) on(part(`best-${reading}`), "click", () => act.best(reading));
      for (const row of panel.querySelectorAll("[data-event]")) {
        const button = wristward.one(row, "button"), show = () => act.event(row.dataset.event), hide = () => act.event(null);
        on(row, "pointerenter", (event) => event.pointerType === "mouse" && show());
        on(row, "pointerleave", (event) => event.pointerType === "mouse" && hide());
        on(button, "focus", show);
        on(button, "blur", hide);
        on(button, "click", show);
      }
    }

    const names = () => host.querySelectorAll("[data-event] button");

    /** @type {(seen: BlockSeen, z: number, reading: Reading) => { caught: number, spared: number, both: number }} */
    function chances(seen, z, reading) {
      const curves = seen.curves[reading];
      return { caught: curves.wanted[z], spared: curves.spared[z], both: curves.both[z] };
    }

    /**
     * Both readings at a height, in one line.
     * @type {(state: BlockState, seen: BlockSeen) => string}
     */
    function told(state, seen) {
      const first = chances(seen, state.z, "take_off"), second = chances(seen, state.z, "parting");
      const { percent } = blockWords;
      const height = inWords.height(state.z);
      if (seen.block.unwanted.length === 0) {
        return say("block_levels.client.told_caught", { height, caught: percent(first.caught) });
      }
      return say("block_levels.client.told", {
        height, caught: percent(first.caught),
        spared: percent(first.spared), spared_parting: percent(second.spared),
        both: percent(first.both), both_parting: percent(second.both),
      });
    }

    /** @type {BlockControls} */
    const controls = {
      /* The first time, with everything loaded: what only works by script appears. */
      begin() {
        for (const hidden of host.querySelectorAll("[data-script]")) hidden.hidden = false;
        for (const button of names()) button.disabled = false;
      },

      /* While moving: the few texts that belong to the picture. */
      follow(state, seen, { part, panel }) {
        for (const { name, input, shown } of sliders) {
          if (Number(input.value) !== state[name]) input.value = String(state[name]);
          shown.textContent = say(`block_levels.client.value.${name}`, { value: state[name] });
          input.setAttribute("aria-valuetext", shown.textContent);
        }
        for (const choice of host.querySelectorAll("input")) {
          if (choice.name === `${data.figure}-nerve`) choice.checked = choice.value === state.nerve;
          if (choice.name === `${data.figure}-arm`) choice.checked = choice.value === state.arm;
        }
        const slider = part("slider");
        slider.max = String(seen.top);
        if (Number(slider.value) !== seen.top - state.z) slider.value = String(seen.top - state.z);
        const line = told(state, seen);
        part("told").textContent = line;
        slider.setAttribute("aria-valuetext", line);
        for (const row of panel.querySelectorAll("[data-event]")) {
          for (const reading of blocks.READINGS) {
            const cell = wristward.one(row, `[data-caught="${reading}"]`);
            cell.textContent = blockWords.percent(seen.curves[reading][`caught.${row.dataset.event}`][state.z]);
          }
        }
        const half = seen.length / 2;
        part("setting").textContent = say("block_levels.client.setting", {
          ml: state.ml, arm: say(`figure.arm.${state.arm}`), height: inWords.height(state.z),
          low: inWords.cm(inWords.whole(Math.max(0, state.z - half))), high: inWords.cm(inWords.whole(Math.min(seen.top, state.z + half))),
        });
        for (const reading of blocks.READINGS) {
          part(`card-${reading}`).textContent = blockWords.card(seen.windows[reading], seen.inReach);
          part(`best-${reading}`).disabled = !seen.inReach;
        }
      },

      /* When it rests: the sentences, and one for those who listen. */
      rest(state, seen, { panel, part }) {
        const { block, windows, inReach } = seen;
        part("sentence").textContent = blockWords.sentence(wristward.packedBlocks, block, { ml: state.ml, windows, inReach });
        for (const reading of blocks.READINGS) {
          const list = panel.querySelector(`[data-part="limits-${reading}"]`);
          if (list === null) continue;
          const said = inReach ? blockWords.limits(wristward.packedBlocks, block, windows[reading]) : [say("block_levels.client.beyond")];
          list.replaceChildren(...said.map((text) => element("li", {}, text)));
        }
        find("assumed").textContent = blockWords.assumed({ ...state, length: state.base + state.perMl * state.ml });
        const sentence = `${block.name}. ${told(state, seen)}`;
        if (live.textContent !== sentence) live.textContent = sentence;
        find("reset").disabled = SLIDERS.every((name) => name === "ml" || state[name] === data.spread[name]);
      },

      zoomed({ part }, how) {
        const button = part("zoom-button");
        button.setAttribute("aria-pressed", String(how === "open"));
        if (how === "busy") button.setAttribute("aria-busy", "true");
        else button.removeAttribute("aria-busy");
        if (how === "failed") part("told").textContent = say("client.zoom.failed");
      },

      undo() {
        stop();
        for (const hidden of host.querySelectorAll("[data-script]")) hidden.hidden = true;
        for (const button of names()) button.disabled = true;
      },
    };
    return controls;
  };
})((window.wristward ??= {}));
