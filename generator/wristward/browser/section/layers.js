/* The layers of a drawing of a section, as figure/drawing.py writes them. Each takes over a group of the svg that Python
   put there, empties it, and then only sets attributes. What the style sheet calls a thing, and where it stands, is said
   here for all who paint it. */
(function (wristward) {
  "use strict";

  const { view, one, svgElement } = wristward;
  const { letters, marrow_share } = wristward.shared.drawing;
  const { scale_bar_mm, scale_at, scale_foot, scale_tick, compass_in, ends } = wristward.shared.drawing;
  const { width, height, column } = wristward.shared.view;
  const { size, line, baseline } = wristward.shared.labels;
  const layers = (wristward.layers ??= {});

  /* What the style sheet knows each thing by. */
  layers.called = {
    shape: (tissue) => `w-shape w-${tissue}`,
    marrow: "w-marrow",
    letter: (tissue) => `w-letter w-${tissue}-letter`,
    name: ({ column }, isOnBone) => `w-label w-label-${column}${isOnBone ? " w-on-bone" : ""}`,
    leader: ["w-leader-halo", "w-leader"],
    light: ["w-lit-halo", "w-lit"],
  };

  /* Which end of a name stands at its place. */
  layers.anchors = { inside: "middle", left: "end", right: "start" };

  /* How far below a name's place its lines stand. */
  layers.baselines = ({ lines }) => lines.map((_, k) => (k - (lines.length - 1) / 2) * line + size * baseline);

  /**
   * Show those of the elements by id that are used, and hide the others.
   * @type {(made: Map<string, SVGElement>, used: Set<string>) => void}
   */
  function keepOnly(made, used) {
    for (const [id, element] of made) {
      const display = used.has(id) ? "" : "none";
      if (element.style.display !== display) element.style.display = display;
    }
  }

  /* Outlines, each structure by itself, and the marrow of bones. parts: back to front; told: whether an outline
     carries its structure's id. */
  layers.shapes = (places, parts, look, told) => {
    /** @type {Map<string, { path: SVGPathElement, marrow: SVGPathElement | null, tissue: string, shown: boolean }>} */
    const shapes = new Map();
    places.tissue.replaceChildren();
    places.discs.replaceChildren();
    for (const { id, kind } of parts) {
      const path = svgElement("path", { "data-id": told ? id : null });
      const marrow = kind === "bone" ? svgElement("path", { class: layers.called.marrow }) : null;
      (kind in letters ? places.discs : places.tissue).append(path);
      if (marrow !== null) places.tissue.append(marrow);
      shapes.set(id, { path, marrow, tissue: "", shown: true });
    }

    return (visible, seen) => {
      const present = new Set();
      for (const shape of visible) {
        present.add(shape.id);
        const made = shapes.get(shape.id);
        if (made === undefined) continue; // no part of this drawing
        if (made.tissue !== shape.tissue) {
          made.tissue = shape.tissue;
          made.path.setAttribute("class", layers.called.shape(shape.tissue));
          made.path.setAttribute("fill", look(shape).fill);
        }
        made.path.setAttribute("d", view.outline(shape, seen));
        made.marrow?.setAttribute("d", view.outline(shape, seen, marrow_share));
      }
      for (const [id, made] of shapes) {
        if (made.shown === present.has(id)) continue;
        made.shown = !made.shown;
        for (const drawn of [made.path, made.marrow]) if (drawn !== null) drawn.style.display = made.shown ? "" : "none";
      }
    };
  };

  /* Letters on discs. A group carries each letter to its place: a text that is itself moved
     or resized is laid out anew in each picture. */
  layers.letters = (group) => {
    /** @type {Map<string, SVGGElement>} */
    const made = new Map();
    group.replaceChildren();
    return (all) => {
      const used = new Set();
      for (const { id, tissue, text, x, y, size } of all) {
        used.add(id);
        let carrier = made.get(id);
        if (carrier === undefined) {
          carrier = svgElement("g", {}, svgElement("text", { class: layers.called.letter(tissue) }, text));
          group.append(carrier);
          made.set(id, carrier);
        }
        carrier.children[0].setAttribute("font-size", size.toFixed(1));
        carrier.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      }
      keepOnly(made, used);
    };
  };

  /* Names at their places, as labels.place gives them, with the lines that lead to those outside. isOnBone(id): whether a
     name lies on a bone. */
  layers.names = (groups, isOnBone) => {
    /** @type {Map<string, SVGGElement>} */
    const names = new Map();
    /** @type {Map<string, SVGGElement>} */
    const leaders = new Map();
    /** @type {Map<string, string>} */
    const states = new Map();
    groups.labels.replaceChildren();
    groups.leaders.replaceChildren();

    /** @param {PlacedName} placed */
    function put(placed) {
      let made = names.get(placed.id);
      const state = `${placed.column}|${placed.lines.join("|")}`;
      if (made === undefined) {
        made = svgElement("g", {}, svgElement("text"));
        groups.labels.append(made);
        names.set(placed.id, made);
      }
      if (states.get(placed.id) !== state) {
        states.set(placed.id, state);
        made.setAttribute("class", layers.called.name(placed, isOnBone(placed.id)));
        const text = made.children[0], below = layers.baselines(placed);
        text.setAttribute("text-anchor", layers.anchors[placed.column]);
        text.replaceChildren(...placed.lines.map((words, k) => svgElement("tspan", { x: 0, y: below[k].toFixed(1) }, words)));
      }
      const at = `translate(${placed.x.toFixed(1)} ${placed.y.toFixed(1)})`;
      if (made.getAttribute("transform") !== at) made.setAttribute("transform", at);
    }

    /** @type {(placed: PlacedName, lit: string | null) => void} */
    function lead(placed, lit) {
      let pair = leaders.get(placed.id);
      if (pair === undefined) {
        pair = svgElement("g", {}, ...layers.called.leader.map((stroke) => svgElement("path", { class: stroke })));
        groups.leaders.append(pair);
        leaders.set(placed.id, pair);
      }
      const way = `M${placed.ax.toFixed(1)} ${placed.ay.toFixed(1)}L${placed.px.toFixed(1)} ${placed.py.toFixed(1)}`;
      for (const stroke of pair.children) stroke.setAttribute("d", way);
      pair.classList.toggle("w-of-lit", placed.id === lit);
    }

    return (all, lit) => {
      const used = new Set(), led = new Set();
      for (const placed of all) {
        used.add(placed.id);
        put(placed);
        if (placed.column === "inside") continue;
        led.add(placed.id);
        lead(placed, lit);
      }
      keepOnly(names, used);
      keepOnly(leaders, led);
    };
  };

  /* The outline of what is lit up; nothing stands in the group before anything was. */
  layers.light = (group) => {
    group.replaceChildren();
    return (shape, seen) => {
      if (shape !== undefined && group.firstChild === null) {
        group.append(...layers.called.light.map((stroke) => svgElement("path", { class: stroke })));
      }
      const outline = shape === undefined ? "" : view.outline(shape, seen);
      for (const stroke of group.children) stroke.setAttribute("d", outline);
    };
  };

  /* The scale bar of a picture: its line, and where its words begin. */
  layers.bar = (seen) => {
    const left = width / 2 + scale_at, top = height - scale_foot - scale_tick, length = scale_bar_mm * seen.scale;
    return { line: `M${left} ${top}v${scale_tick}h${length.toFixed(1)}v-${scale_tick}`, words: left + length + scale_tick };
  };

  layers.scale = (group) => {
    const bar = one(group, ".w-scale"), text = one(group, ".w-scale-text");
    return (seen) => {
      const { line, words } = layers.bar(seen);
      bar.setAttribute("d", line);
      text.setAttribute("x", words.toFixed(1));
    };
  };

  /* The two ends of the compass that change places with the side. */
  layers.compass = (group) => {
    const compass = [...group.querySelectorAll(".w-compass")];
    /** @type {Side | null} */
    let shown = null;
    return (side) => {
      if (side === shown) return;
      shown = side;
      ends[side].forEach((way, k) => {
        const end = compass.find((one) => one.dataset.way === way);
        end?.setAttribute("x", String(k === 0 ? column + compass_in : width - column - compass_in));
        end?.setAttribute("text-anchor", k === 0 ? "start" : "end");
      });
    };
  };
})((window.wristward ??= {}));
