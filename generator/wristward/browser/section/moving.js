/* The structures of a section while the cut moves: all that look alike as one path. A browser styles, lays out and
   paints each element that changes, and a dozen of them take half as long as the hundred that lie there at rest. */
(function (wristward) {
  "use strict";

  const { view, svgElement } = wristward;
  const { layers, marrow_share } = wristward.shared.drawing;
  const GROUP = "w-moving-shapes";
  /** @type {string[]} */
  const ORDER = layers.flatMap((layer) => (layer === "bone" ? [layer, "marrow"] : [layer])); // back to front

  /* places: the groups that hold each structure by itself at rest, {tissue, discs}; look(shape) → {fill, disc, marrow}. Returns
     {draw(shapes, seen), rest()}: the paths stand in the drawing between the two only. */
  wristward.movingShapes = (places, look) => {
    /** @type {(resting: SVGGElement) => MovingGroup} */
    const held = (resting) => {
      // A drawing may be taken over while its cut moves, as by another arm: what stood for the one before goes.
      const left = resting.previousElementSibling;
      if (left?.getAttribute("class") === GROUP) left.remove();
      resting.style.display = "";
      const group = /** @type {SVGGElement} */ (resting.cloneNode(false));
      group.setAttribute("class", GROUP);
      return { resting, group, paths: new Map() };
    };
    const tissue = held(places.tissue), discs = held(places.discs);
    let moving = false;

    /** @type {(held: MovingGroup, tissue: string, fill: string) => MovingPath} */
    function pathOf({ group, paths }, tissue, fill) {
      const key = `${ORDER.indexOf(tissue)} ${fill}`;
      let made = paths.get(key);
      if (made === undefined) {
        const styled = tissue === "marrow" ? "w-marrow" : `w-shape w-${tissue}`;
        made = { key, element: svgElement("path", { class: styled, fill: fill || null }), line: "", drawn: "" };
        const before = [...paths.values()].filter((one) => one.key > key).sort((a, b) => (a.key < b.key ? -1 : 1))[0];
        group.insertBefore(made.element, before?.element ?? null);
        paths.set(key, made);
      }
      return made;
    }

    return {
      draw(shapes, seen) {
        for (const shape of shapes) {
          const { fill, disc, marrow } = look(shape);
          pathOf(disc ? discs : tissue, shape.tissue, fill).line += view.ringPath(shape.ring, shape.count, seen);
          if (marrow) {
            pathOf(tissue, "marrow", "").line += view.ringPath(shape.ring, shape.count, seen, marrow_share, shape.cx, shape.cy);
          }
        }
        for (const { paths, resting, group } of [tissue, discs]) {
          for (const made of paths.values()) {
            if (made.line !== made.drawn) made.element.setAttribute("d", made.line);
            made.drawn = made.line;
            made.line = "";
          }
          if (!moving) resting.before(group);
          resting.style.display = "none";
        }
        moving = true;
      },
      rest() {
        if (!moving) return;
        moving = false;
        for (const { resting, group } of [tissue, discs]) {
          group.remove();
          resting.style.display = "";
        }
      },
    };
  };
})((window.wristward ??= {}));
