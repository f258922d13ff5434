/* What stands around the figure of "Elbow to wrist": slider, readout, switches, list, words, live region. */
(function (wristward) {
  "use strict";

  const { inWords, say, element, one } = wristward;
  const { kinds } = wristward.shared.telling;

  /* act: what a control does to the state. Returns the calls by which the state shows itself. */
  wristward.travelPanel = (host, find, { legend, arm, data, act, longest }) => {
    const { on, stop } = wristward.listening();
    const slider = find("slider"), readout = find("readout"), levelName = find("level"), line = find("line");
    const live = find("live"), paragraph = find("paragraph"), body = one(find("table"), "tbody");
    const course = find("course"), cursor = find("cursor"), zoomButton = find("zoom-button"), note = find("note");
    const otherwise = find("arm-note"), arms = one(host, "select");
    const [lineName, lineDetail] = line.children;
    const list = wristward.structureList(find("list"), legend, act);
    for (const hidden of host.querySelectorAll("[data-script]")) hidden.hidden = false;

    on(slider, "input", () => act.goTo(Number(slider.max) - Number(slider.value)));
    on(find("proximal-level"), "click", () => act.level(1));
    on(find("distal-level"), "click", () => act.level(-1));
    on(find("proximal-step"), "click", () => act.goTo(Math.round(now.z) + 1));
    on(find("distal-step"), "click", () => act.goTo(Math.round(now.z) - 1));
    on(zoomButton, "click", () => act.zoom());
    on(find("save"), "click", () => act.save());
    on(find("copy"), "click", copy);
    on(arms, "change", () => act.set({ arm: arms.value }));
    on(host, "change", ({ target }) => {
      if (!(target instanceof HTMLInputElement)) return;
      const { name, value, checked } = target;
      if (name === `${data.figure}-side`) act.set({ side: /** @type {Side} */ (value) });
      else if (name === `${data.figure}-names`) act.set({ names: checked });
      else if (name === `${data.figure}-kind`) act.hide(value, !checked);
    });
    let now = { z: data.z };
    let detail = ""; // what the line under the figure says of a structure

    async function copy() {
      try {
        await navigator.clipboard.writeText(location.href);
        note.textContent = say("client.copy.done");
      } catch {
        note.textContent = say("client.copy.by_hand", { address: location.href });
      }
    }

    /** @type {(z: number, scale: number) => { name: string, distance: number } | null} */
    function nearestLevel(z, scale) {
      let best = null;
      for (const one of data.levels) {
        const distance = Math.abs(one.z * scale - z);
        if (best === null || distance < best.distance) best = { ...one, distance };
      }
      return best !== null && best.distance <= 4 ? best : null;
    }

    /** @type {(state: TravelState, cut: Cut, tell: Tell) => { id: string, shape: Shape | undefined, told: Told | null } | null} */
    function lineFor(state, cut, tell) {
      const id = state.lit ?? state.shown;
      if (id === null) return null;
      const shape = cut.shapes.find((one) => one.id === id);
      return { id, shape, told: tell(id) };
    }

    /**
     * A text is laid out again whenever it is set, even to what it was.
     * @type {(place: Element, text: string) => void}
     */
    function write(place, text) {
      if (place.textContent !== text) place.textContent = text;
    }

    /** @type {TravelPanel} */
    const panel = {
      /* While sliding: the few texts that belong to the picture. */
      follow(state, cut, tell, share) {
        now = state;
        const value = Number(slider.max) - state.z;
        if (Number(slider.value) !== value && document.activeElement !== slider) slider.value = String(value);
        else if (Math.round(Number(slider.value)) !== Math.round(value)) slider.value = String(value);
        const z = Math.round(state.z);
        const heard = inWords.height(z);
        if (slider.getAttribute("aria-valuetext") !== heard) slider.setAttribute("aria-valuetext", heard);
        write(readout, inWords.shortHeight(z));
        const level = nearestLevel(z, longest(state.arm) / arm.top);
        write(levelName, level === null ? say("client.readout") : level.name);
        cursor.setAttribute("x1", ((1 - share) * arm.top).toFixed(2));
        cursor.setAttribute("x2", ((1 - share) * arm.top).toFixed(2));
        const told = lineFor(state, cut, tell);
        if (told === null) {
          write(lineName, say("client.line.hint"));
          write(lineDetail, "");
          detail = "";
        } else {
          write(lineName, legend[told.id].name);
          const said = told.shape === undefined ? panel.elsewhere(told.id, state) : inWords.line(told.shape, legend[told.id], told.told, legend);
          if (detail !== `${legend[told.id].latin} ${said}`) lineDetail.replaceChildren(...latin(legend[told.id], " · "), said);
          detail = `${legend[told.id].latin} ${said}`;
        }
        line.dataset.kind = told === null ? "" : legend[told.id].kind;
        list.mark(state.shown, state.lit ?? state.shown);
      },

      /* Where a structure that is not cut here can be met. */
      elsewhere(id, state) {
        const scale = longest(state.arm) / arm.top;
        const runs = arm.byId.get(id)?.runs ?? [];
        if (runs.length === 0) return say("client.line.nowhere");
        const hi = Math.max(...runs.map((run) => run.hi)), lo = Math.min(...runs.map((run) => run.lo));
        return say("client.line.elsewhere", { from: inWords.cm(Math.round(hi * scale)), to: inWords.cm(Math.round(lo * scale)) });
      },

      /* When the slider rests: list, words, and one sentence for those who listen. */
      rest(state, cut, tell) {
        list.fill(cut, tell);
        list.mark(state.shown, state.lit ?? state.shown);
        const { skin } = cut;
        const xs = skin.ring.filter((_, k) => k % 2 === 0 && k < 2 * skin.count);
        const ys = skin.ring.filter((_, k) => k % 2 === 1 && k < 2 * skin.count);
        /** @param {number[]} values */
        const extent = (values) => Math.max(...values) - Math.min(...values);
        const z = Math.round(state.z);
        paragraph.textContent = inWords.paragraph({
          z, side: state.side, arm: state.arm, width_mm: extent(xs), height_mm: extent(ys),
          present: cut.shapes, legend, tell,
        });
        fillTable(cut, tell);
        const told = lineFor(state, cut, tell);
        const heard = [inWords.height(z), say("client.live.count", { count: cut.shapes.length })];
        if (!otherwise.hidden) heard.unshift(inWords.capital(say(`figure.arm.${state.arm}`)));
        if (told !== null) heard.push(`${lineName.textContent}: ${lineDetail.textContent}`);
        const sentence = `${heard.join(". ")}.`;
        if (live.textContent !== sentence) live.textContent = sentence;
      },

      description(state, cut) {
        const nerves = cut.shapes.filter((shape) => shape.tissue === "nerve").map((shape) => legend[shape.id].name);
        return `${say(`figure.convention.${state.side}`)} ${say("figure.desc.nerves", { names: nerves.sort().join(", ") })}`;
      },

      /* Another arm: length of the slider, which way is radial on the strip, and what is otherwise in it. */
      arm(state, most, other) {
        slider.max = String(most);
        slider.value = String(most - state.z);
        host.classList.toggle("w-left", state.side === "left");
        for (const choice of host.querySelectorAll("input")) {
          if (choice.name === `${data.figure}-side`) choice.checked = choice.value === state.side;
        }
        arms.value = state.arm;
        otherwise.replaceChildren(...(other === null ? [] : wristward.armNote(other.said, data)));
        otherwise.hidden = other === null;
      },

      /* While an arm's script is on its way, and what to say when it did not come. */
      waiting(waiting, text = "") {
        arms.setAttribute("aria-busy", String(waiting));
        note.textContent = waiting ? say("client.arms.coming") : text;
      },

      /* The shown structure's way along the forearm, seen from the front. */
      course(state) {
        const part = state.shown === null ? undefined : arm.byId.get(state.shown);
        course.dataset.kind = part === undefined ? "" : legend[part.id].kind;
        let path = "";
        for (const run of part?.runs ?? []) {
          for (let z = run.hi; z >= run.lo; z--) {
            const x = run.rows[(run.hi - z) * run.width + 2 * run.n] * arm.unit;
            path += `${z === run.hi ? "M" : "L"}${arm.top - z} ${(-x).toFixed(1)}`;
          }
        }
        for (const stroke of course.children) stroke.setAttribute("d", path);
      },

      zoomed(open) {
        zoomButton.setAttribute("aria-pressed", String(open));
        zoomButton.textContent = say(open ? "client.zoom.close" : "client.zoom.open");
        note.textContent = open ? say("client.zoom.how") : "";
      },
      busy(waiting) {
        zoomButton.setAttribute("aria-busy", String(waiting));
        if (waiting) note.textContent = say("client.zoom.coming");
      },
      complain(text) {
        note.textContent = text;
      },
      undo() {
        stop();
        list.undo();
        for (const hidden of host.querySelectorAll("[data-script]")) hidden.hidden = true;
      },
    };

    /**
     * The Latin name of a structure that is called otherwise here.
     * @type {(entry: Entry, after: string, before?: string) => Child[]}
     */
    function latin(entry, after, before = "") {
      return entry.latin === undefined ? [] : [before, element("i", { class: "w-latin", lang: "la" }, entry.latin), after];
    }

    /** @type {(cut: Cut, tell: Tell) => void} */
    function fillTable(cut, tell) {
      const rows = [];
      for (const kind of kinds) {
        const members = cut.shapes.filter((shape) => shape.tissue === kind);
        for (const shape of members.sort((a, b) => (legend[a.id].name < legend[b.id].name ? -1 : 1))) {
          const cells = inWords.row(shape, legend[shape.id], tell(shape.id), legend);
          const page = data.pages[shape.id];
          const head = element("th", { scope: "row" }, page === undefined ? cells[0] : element("a", { href: page }, cells[0]), ...latin(legend[shape.id], "", " "));
          rows.push(element("tr", {}, head, ...cells.slice(1).map((cell) => element("td", {}, cell))));
        }
      }
      body.replaceChildren(...rows);
    }

    return panel;
  };
})((window.wristward ??= {}));
