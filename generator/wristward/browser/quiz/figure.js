/* A section for a question: no name in it before the answer; numbers, a marker, and afterwards names and a light. */
(function (wristward) {
  "use strict";

  const { view, geometry, element, say } = wristward;
  const NAMESPACE = "http://www.w3.org/2000/svg";
  const LAYERS = ["muscle", "tendon", "bone", "sheet", "vein", "artery", "nerve"];
  const LETTERS = { artery: "A", vein: "V", nerve: "N" };
  const ROUND = ["tendon", "vein", "artery", "nerve"];
  const NARROW = matchMedia("(max-width: 47.9rem)"), NARROW_SIZE = 21; // as drawing.js
  const FLAG_OUT = 34, FLAG_TURN = 0.13;
  const SMALLEST_LETTER = 7, STEP_MM = 0.5, FAR_STEP_MM = 5;

  const svg = (name, attributes = {}, ...children) => {
    const made = document.createElementNS(NAMESPACE, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    made.append(...children);
    return made;
  };

  /* Draw a cut. numbers: ids in order; named: whether names are written; lit: an id; alike: whether what is round
     is drawn alike, without the colours and letters that tell nerve, artery, vein and tendon apart. */
  function draw(cut, seen, { numbers = [], named = false, lit = null, alike = false } = {}) {
    const path = (shape, name, fill) => {
      const made = svg("path", { class: name, d: view.ringPath(shape.ring, shape.count, seen) });
      if (fill) made.setAttribute("fill", fill);
      return made;
    };
    // Ordered by layer and place: the order of the elements must not spell the names.
    const shapes = [...cut.shapes].sort(
      (a, b) => LAYERS.indexOf(a.tissue) - LAYERS.indexOf(b.tissue) || a.cx - b.cx || a.cy - b.cy,
    );
    const tissue = svg("g", { transform: "scale(0.1)" }, path(cut.skin, "w-skin"), path(cut.fascia, "w-loose"));
    const letters = svg("g");
    for (const shape of shapes) {
      const tissueShown = alike && ROUND.includes(shape.tissue) ? "tendon" : shape.tissue;
      const role = wristward.drawing.role(tissueShown, wristward.legend[shape.id]);
      tissue.append(path(shape, `w-shape w-${tissueShown}`, `var(--w-${role})`));
      if (alike) continue;
      const radius = Math.sqrt(geometry.area(shape.ring, shape.count) / Math.PI) * seen.scale;
      if (!(shape.tissue in LETTERS) || radius < SMALLEST_LETTER || numbers.includes(shape.id)) continue;
      const size = Math.min(1.35 * radius, 17);
      letters.append(
        svg("text", {
          class: `w-letter w-${shape.tissue}-letter`, "font-size": size.toFixed(1),
          x: view.placeX(seen, shape.cx).toFixed(1), y: (view.placeY(seen, shape.cy) + size * 0.35).toFixed(1),
        }, LETTERS[shape.tissue]),
      );
    }
    const parts = [tissue, letters];
    const target = cut.shapes.find((shape) => shape.id === lit);
    if (target !== undefined) {
      parts.push(svg("g", { transform: "scale(0.1)" }, path(target, "w-lit-halo"), path(target, "w-lit")));
    }
    if (named) parts.push(names(cut, seen, lit));
    parts.push(...flags(cut, seen, numbers));
    return parts;
  }

  /* Numbers outside the skin, each with a line to its structure, turned apart where they would touch. */
  function flags(cut, seen, numbers) {
    const middle = [view.WIDTH / 2, view.HEIGHT / 2];
    let half = [0, 0];
    for (let k = 0; k < 2 * cut.skin.count; k += 2) {
      half = [
        Math.max(half[0], Math.abs(view.placeX(seen, cut.skin.ring[k]) - middle[0])),
        Math.max(half[1], Math.abs(view.placeY(seen, cut.skin.ring[k + 1]) - middle[1])),
      ];
    }
    const placed = numbers
      .map((id, k) => ({ shape: cut.shapes.find((one) => one.id === id), text: String(k + 1) }))
      .filter(({ shape }) => shape !== undefined)
      .map(({ shape, text }) => {
        const x = view.placeX(seen, shape.cx), y = view.placeY(seen, shape.cy);
        return { x, y, text, angle: Math.atan2((y - middle[1]) / half[1], (x - middle[0]) / half[0]) };
      })
      .sort((a, b) => a.angle - b.angle);
    for (let round = 0; round < 20; round++) {
      for (let k = 1; k < placed.length; k++) {
        const short = FLAG_TURN - (placed[k].angle - placed[k - 1].angle);
        if (short > 0) {
          placed[k].angle += short / 2;
          placed[k - 1].angle -= short / 2;
        }
      }
    }
    return placed.map(({ x, y, text, angle }) => {
      const fx = middle[0] + (half[0] + FLAG_OUT) * Math.cos(angle), fy = middle[1] + (half[1] + FLAG_OUT) * Math.sin(angle);
      return svg("g", { class: "w-quiz-flag" },
        svg("path", { class: "w-quiz-line", d: `M${x.toFixed(1)} ${y.toFixed(1)}L${fx.toFixed(1)} ${fy.toFixed(1)}` }),
        svg("circle", { class: "w-quiz-dot", cx: x.toFixed(1), cy: y.toFixed(1), r: 3.5 }),
        svg("circle", { cx: fx.toFixed(1), cy: fy.toFixed(1), r: 17 }),
        svg("text", { x: fx.toFixed(1), y: (fy + 7).toFixed(1), "text-anchor": "middle" }, text));
    });
  }

  function names(cut, seen, lit) {
    const wanted = wristward.drawing.wanted(cut, seen, wristward.legend, lit);
    const group = svg("g");
    const room = NARROW.matches ? { larger: NARROW_SIZE / wristward.labels.SIZE, columns: false } : {};
    for (const placed of wristward.labels.place(wanted, wristward.drawing.discs(cut, seen), room)) {
      if (placed.column !== "inside") {
        const d = `M${placed.ax.toFixed(1)} ${placed.ay.toFixed(1)}L${placed.px.toFixed(1)} ${placed.py.toFixed(1)}`;
        group.append(svg("path", { class: "w-leader-halo", d }), svg("path", { class: "w-leader", d }));
      }
      const top = (-(placed.lines.length - 1) * wristward.labels.LINE) / 2;
      const bone = wristward.legend[placed.id].kind === "bone" ? " w-on-bone" : "";
      group.append(
        svg("g", { class: `w-label w-label-${placed.column}${bone}`, transform: `translate(${placed.x.toFixed(1)} ${placed.y.toFixed(1)})` },
          svg("text", { "text-anchor": { inside: "middle", left: "end", right: "start" }[placed.column] },
            ...placed.lines.map((line, k) =>
              svg("tspan", { x: 0, y: (top + k * wristward.labels.LINE + wristward.labels.SIZE * 0.34).toFixed(1) }, line)))),
      );
    }
    return group;
  }

  const rounded = (value) => Math.round(Math.abs(value));

  /* Make the figure. options: {z, side, numbers, alike, marker, heard(text)}. Returns {host, tap(), answer(lit, named), undo}. */
  wristward.quizFigure = ({ z, side, numbers = [], alike = false, marker = false, heard = () => {} }) => {
    const { on, stop } = wristward.listening();
    const arm = geometry.drawn();
    const cut = geometry.cut(arm, z, { side });
    const seen = view.of(cut.skin.ring, cut.skin.count);
    const body = svg("g");
    body.append(...draw(cut, seen, { numbers, alike }));
    const cross = svg("g", { class: "w-quiz-marker" },
      svg("circle", { r: 14 }), svg("path", { d: "M-24 0H-5M5 0H24M0 -24V-5M0 5V24" }));
    const picture = svg("svg", { class: "w-drawing", viewBox: "150 0 740 600", role: "img", "aria-label": say("quiz.play.section_of") }, body);
    const box = element("div", { class: "w-quiz-box" }, picture);
    const host = element("figure", { class: "w-quiz-figure" }, box, element("figcaption", {}, say(`quiz.view.${side}`)));
    let at = [seen.x, seen.y], moved = false;

    function place() {
      cross.setAttribute("transform", `translate(${view.placeX(seen, at[0]).toFixed(1)} ${view.placeY(seen, at[1]).toFixed(1)})`);
    }
    function told() {
      const ulnar = side === "left" ? at[0] < seen.x : at[0] > seen.x;
      const across = say(`quiz.side.${ulnar ? "ulnar" : "radial"}`), along = say(`quiz.side.${at[1] > seen.y ? "volar" : "dorsal"}`);
      heard(say("quiz.play.marker_at", { x: rounded(at[0] - seen.x), y: rounded(at[1] - seen.y), across, along }));
    }
    if (marker) {
      picture.append(cross);
      place();
      box.tabIndex = 0;
      box.setAttribute("role", "application");
      box.setAttribute("aria-label", say("quiz.play.marker"));
      on(box, "click", (event) => {
        const bounds = picture.getBoundingClientRect();
        const unit = bounds.width / 740;
        at = view.unplace(seen, 150 + (event.clientX - bounds.left) / unit, (event.clientY - bounds.top) / unit);
        moved = true;
        place();
        told();
      });
      on(box, "keydown", (event) => {
        const step = event.shiftKey ? FAR_STEP_MM : STEP_MM * 2;
        const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
        if (way === undefined) return;
        event.preventDefault();
        at = [at[0] + way[0] * step, at[1] + way[1] * step];
        moved = true;
        place();
        told();
      });
    }
    return {
      host,
      focus: () => box.focus(),
      /* {distance, inside, other}: mm from the marker to the target's edge, what lies under it; null before it is placed. */
      tap(target) {
        if (!moved) return null;
        const fresh = geometry.cut(arm, z, { side });
        const shape = fresh.shapes.find((one) => one.id === target);
        const inside = geometry.inside(at[0], at[1], shape.ring, shape.count);
        const distance = geometry.edgeDistance(at[0], at[1], shape.ring, shape.count);
        const name = geometry.nameAt(fresh, at[0], at[1]);
        return { distance: inside ? 0 : distance, under: inside ? target : name in wristward.legend ? name : null };
      },
      answer(lit) {
        stop();
        box.removeAttribute("role");
        box.removeAttribute("tabindex");
        box.removeAttribute("aria-label");
        const fresh = geometry.cut(arm, z, { side });
        if (!NARROW.matches) picture.setAttribute("viewBox", "0 0 1040 600");
        picture.setAttribute("aria-label", lit === null ? say("quiz.play.section_of") : wristward.legend[lit].name);
        body.replaceChildren(...draw(fresh, seen, { numbers, named: true, lit }));
      },
      undo: stop,
    };
  };
})((globalThis.wristward ??= {}));
