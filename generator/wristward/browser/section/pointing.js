/* Naming under the pointer or the fingertip: hover lights, a tap or click keeps, Escape puts away. */
(function (wristward) {
  "use strict";

  const FINGER_PX = 11; // slack around a fingertip
  const MOUSE_MOVE_PX = 8; // a press that travels farther is a drag or a scroll, not a tap

  /* host: the box with the svg. state(): {cut}. act: {light(id), pin(id | null)}. Returns its undo. */
  wristward.pointing = (box, adopted, tag, legend, state, act) => {
    const { on, stop } = wristward.listening();
    let pressed = null;

    const nameUnder = (event) => {
      const at = adopted.under(event);
      const reach = event.pointerType === "mouse" || !event.pointerType ? 0 : FINGER_PX / at.pixelsPerMm;
      return wristward.geometry.nameAt(state().cut, at.x, at.y, reach);
    };

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
      if (event.pointerType !== "mouse" || !adopted.svg.contains(event.target)) return;
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
      if (!adopted.svg.contains(event.target)) return;
      if (pressed !== null && Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) > MOUSE_MOVE_PX) return;
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
