/* The list beside the figure: every structure of the section, reachable by keyboard, lighting what has the focus. */
(function (wristward) {
  "use strict";

  const { element, say } = wristward;
  const { kinds } = wristward.shared.telling;

  /* Build into `host`. act: {light(id | null), pin(id)}. Returns {fill(cut, tell), mark(pinned, lit), undo}. */
  wristward.structureList = (host, legend, act) => {
    const { on, stop } = wristward.listening();
    const list = element("div", { role: "listbox", class: "w-list", "aria-label": say("client.list.label") });
    host.replaceChildren(list);
    /** @type {HTMLElement[]} */
    let options = [];
    let current = ""; // id that holds the tab stop
    let marked = ""; // what is marked already, in every frame of a cut that moves
    let typed = "", typedAt = 0;

    /** @type {(cut: Cut, tell: Tell) => void} */
    function fill(cut, tell) {
      const hadFocus = list.contains(document.activeElement);
      const groups = [];
      options = [];
      for (const kind of kinds) {
        const members = cut.shapes
          .filter((shape) => shape.tissue === kind)
          .sort((a, b) => (legend[a.id].name < legend[b.id].name ? -1 : 1));
        if (members.length === 0) continue;
        const heading = element("div", { class: "w-list-kind", role: "presentation" }, say(`figure.kinds.${kind}`));
        const group = element("div", { role: "group", "aria-label": say(`figure.kinds.${kind}`) }, heading);
        for (const shape of members) {
          const told = tell(shape.id);
          const mark = element("span", { class: `w-mark w-mark-${kind}`, "aria-hidden": "true" });
          if (kind === "muscle") mark.style.background = `var(--w-${wristward.drawing.role(kind, legend[shape.id])})`;
          const option = element("div", { role: "option", tabindex: "-1", class: "w-option" }, mark, legend[shape.id].name);
          if (told !== null) {
            option.append(element("span", { class: "w-option-depth" }, wristward.inWords.depth(told.depth_mm)));
          }
          option.dataset.id = shape.id;
          options.push(option);
          group.append(option);
        }
        groups.push(group);
      }
      list.replaceChildren(...groups);
      marked = "";
      if (!options.some((option) => option.dataset.id === current)) current = idOf(options[0]);
      const stopAt = options.find((option) => option.dataset.id === current);
      if (stopAt !== undefined) stopAt.tabIndex = 0;
      if (hadFocus) stopAt?.focus({ preventScroll: true });
    }

    /** @param {HTMLElement | undefined} option */
    function idOf(option) {
      return option?.dataset.id ?? "";
    }

    /** @type {(pinned: string | null, lit: string | null) => void} */
    function mark(pinned, lit) {
      if (marked === `${pinned} ${lit}`) return;
      marked = `${pinned} ${lit}`;
      for (const option of options) {
        option.setAttribute("aria-selected", String(option.dataset.id === pinned));
        option.classList.toggle("w-option-lit", option.dataset.id === lit);
      }
    }

    /** @param {number} index */
    function goTo(index) {
      const option = options[Math.max(0, Math.min(options.length - 1, index))];
      if (option === undefined) return;
      for (const other of options) other.tabIndex = -1;
      option.tabIndex = 0;
      current = idOf(option);
      option.focus();
    }

    /** @type {(letter: string, from: number) => void} */
    function byLetter(letter, from) {
      typed = Date.now() - typedAt < 700 ? typed + letter : letter;
      typedAt = Date.now();
      const begin = typed.length > 1 ? from : from + 1;
      for (let k = 0; k < options.length; k++) {
        const index = (begin + k) % options.length;
        if (legend[idOf(options[index])].name.toLowerCase().startsWith(typed)) return goTo(index);
      }
    }

    /** @param {Event} event */
    const optionOf = (event) => (event.target instanceof Element ? event.target.closest("[role=option]") : null);
    /** @type {(event: Event, act: (id: string) => void) => void} */
    const withOption = (event, act) => {
      const option = optionOf(event);
      if (option !== null) act(idOf(option));
    };

    on(list, "keydown", (event) => {
      const index = options.findIndex((option) => option === optionOf(event));
      if (index < 0 || event.ctrlKey || event.metaKey || event.altKey) return;
      /** @type {Record<string, number>} */
      const steps = { ArrowDown: index + 1, ArrowUp: index - 1, Home: 0, End: options.length - 1, PageDown: index + 8, PageUp: index - 8 };
      if (event.key in steps) goTo(steps[event.key]);
      else if (event.key === "Enter" || event.key === " ") act.pin(idOf(options[index]));
      else if (event.key.length === 1 && event.key !== " ") byLetter(event.key.toLowerCase(), index);
      else return;
      event.preventDefault();
    });
    on(list, "focusin", (event) => withOption(event, act.light));
    on(list, "focusout", () => act.light(null));
    on(list, "pointerover", (event) => event.pointerType === "mouse" && withOption(event, act.light));
    on(list, "pointerleave", () => act.light(null));
    on(list, "click", (event) => withOption(event, act.pin));

    return { fill, mark, undo: stop };
  };
})((window.wristward ??= {}));
