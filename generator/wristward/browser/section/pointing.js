/* Naming under the pointer or the fingertip: hover lights, a tap or click keeps, Escape puts away. */
(function (wristward) {
  "use strict";

  const FINGER_PX = 11; // slack around a fingertip
  const MOUSE_MOVE_PX = 8; // a press that travels farther is a drag or a scroll, not a tap

  /* `box` holds the svg, and `tag` over it. */
  wristward.pointing = (box, pointed, tag, legend, state, act) => {
    const { on, stop } = wristward.listening();
    let pressed = { x: NaN, y: NaN }; // nowhere yet

    /** @param {MouseEvent} event */
    const nameUnder = (event) => {
      const at = pointed.under(event);
      const finger = event instanceof PointerEvent && !["mouse", ""].includes(event.pointerType);
      const reach = finger ? FINGER_PX / at.pixelsPerMm : 0;
      return wristward.geometry.nameAt(state().cut, at.x, at.y, reach);
    };

    /** @param {Event} event */
    const isOver = (event) => event.target instanceof Node && pointed.svg.contains(event.target);

    /** @type {(event: MouseEvent, id: string | null) => void} */
    function showTag(event, id) {
      if (id === null) return hideTag();
      tag.textContent = legend[id]?.name ?? wristward.say(`client.region.${id}`);
      tag.hidden = false;
      const frame = box.getBoundingClientRect();
      const x = event.clientX - frame.left, y = event.clientY - frame.top;
      const left = Math.min(Math.max(x - tag.offsetWidth / 2, 4), frame.width - tag.offsetWidth - 4);
      tag.style.transform = `translate(${left}px, ${y - tag.offsetHeight - 14 < 0 ? y + 18 : y - tag.offsetHeight - 14}px)`;
    }

    function hideTag() {
      tag.hidden = true;
    }

    on(box, "pointermove", (event) => {
      if (event.pointerType !== "mouse" || !isOver(event)) return;
      const id = nameUnder(event);
      showTag(event, id);
      act.light(id !== null && legend[id] !== undefined ? id : null);
    });
    on(box, "pointerleave", () => {
      hideTag();
      act.light(null);
    });
    on(box, "pointerdown", (event) => (pressed = { x: event.clientX, y: event.clientY }));
    on(box, "click", (event) => {
      if (!isOver(event)) return;
      if (Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) > MOUSE_MOVE_PX) return;
      const id = nameUnder(event);
      showTag(event, id);
      act.pin(id !== null && legend[id] !== undefined ? id : null);
    });
    on(document, "keydown", (event) => {
      if (event.key !== "Escape") return;
      hideTag();
      act.light(null);
    });
    return { hideTag, undo: stop };
  };
})((window.wristward ??= {}));
