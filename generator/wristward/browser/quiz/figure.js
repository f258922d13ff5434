/* A section for a question: no name in it before the answer; numbers, a marker, and afterwards names and a light. */
(function (wristward) {
  "use strict";

  const { view, geometry, drawing, element, svgElement: svg, say } = wristward;
  const { layers, ends, up_and_down } = wristward.shared.drawing;
  const { width, height, crop_left, crop_width } = wristward.shared.view;
  const FLAG_OUT = 34, FLAG_TURN = 0.13;
  const STEP_MM = 0.5, FAR_STEP_MM = 5;
  let serial = 0;

  /** @type {Record<string, [number, number]>} */
  const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

  /**
   * What is drawn, by layer and place: the order of the elements must not spell the names.
   * @type {(cut: Cut, alike: boolean) => DrawnPart[]}
   */
  function partsOf(cut, alike) {
    /** @param {Shape} shape */
    const kindOf = ({ id, tissue }) => (alike && tissue === "tendon" ? tissue : wristward.legend[id].kind);
    return cut.shapes
      .map((shape) => ({ id: shape.id, kind: kindOf(shape), cx: shape.cx, cy: shape.cy }))
      .sort((a, b) => layers.indexOf(a.kind) - layers.indexOf(b.kind) || a.cx - b.cx || a.cy - b.cy);
  }

  /**
   * Numbers outside the skin, each with a line to its structure, turned apart where they would touch.
   * @type {(cut: Cut, seen: Seen, numbers: string[]) => SVGGElement[]}
   */
  function flags(cut, seen, numbers) {
    const middle = [width / 2, height / 2];
    let half = [0, 0];
    for (let k = 0; k < 2 * cut.skin.count; k += 2) {
      half = [
        Math.max(half[0], Math.abs(view.placeX(seen, cut.skin.ring[k]) - middle[0])),
        Math.max(half[1], Math.abs(view.placeY(seen, cut.skin.ring[k + 1]) - middle[1])),
      ];
    }
    const placed = numbers
      .flatMap((id, k) => {
        const shape = cut.shapes.find((one) => one.id === id);
        if (shape === undefined) return [];
        const x = view.placeX(seen, shape.cx), y = view.placeY(seen, shape.cy);
        return [{ x, y, text: String(k + 1), angle: Math.atan2((y - middle[1]) / half[1], (x - middle[0]) / half[0]) }];
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

  /** @param {number} value */
  const rounded = (value) => Math.round(Math.abs(value));

  /* Make the figure. numbers: ids in order; alike: whether what is round is drawn alike. */
  wristward.quizFigure = ({ z, side, numbers = [], alike = false, marker = false, heard = () => {} }) => {
    const { on, stop } = wristward.listening();
    const figureId = `w-quiz-figure-${serial++}`;
    const cut = geometry.cut(geometry.drawn(), z, { side });
    const cross = svg("g", { class: "w-quiz-marker" },
      svg("circle", { r: 14 }), svg("path", { d: "M-24 0H-5M5 0H24M0 -24V-5M0 5V24" }));
    const picture = svg("svg", { class: "w-drawing", role: "img", "aria-label": say("quiz.play.section_of") });
    const box = element("div", { class: "w-quiz-box" }, picture);
    const host = element("figure", { class: "w-quiz-figure" }, box, element("figcaption", {}, say(`quiz.view.${side}`)));

    const adopted = draw({ names: false, alike });
    const { seen } = adopted;
    let at = [seen.x, seen.y], moved = false;

    /**
     * The drawing anew, cropped where it has no columns of names.
     * @param {{ names: boolean, lit?: string | null, alike?: boolean }} how
     */
    function draw({ names, lit = null, alike = false }) {
      const whole = names && !drawing.narrow.matches;
      picture.setAttribute("viewBox", whole ? `0 0 ${width} ${height}` : `${crop_left} 0 ${crop_width} ${height}`);
      drawing.empty(picture, figureId);
      const shown = alike ? drawing.alike(cut) : cut;
      const made = drawing.adopt(picture, figureId, partsOf(shown, alike), wristward.legend, { told: false });
      made.draw(shown, { names, lit, unlettered: new Set(numbers) });
      picture.append(...flags(cut, made.seen, numbers), ...(marker ? [cross] : []));
      return made;
    }

    function place() {
      cross.setAttribute("transform", `translate(${view.placeX(seen, at[0]).toFixed(1)} ${view.placeY(seen, at[1]).toFixed(1)})`);
    }

    function told() {
      const across = say(`quiz.side.${ends[side][at[0] > seen.x ? 1 : 0]}`);
      const along = say(`quiz.side.${up_and_down[at[1] > seen.y ? 0 : 1]}`);
      heard(say("quiz.play.marker_at", { x: rounded(at[0] - seen.x), y: rounded(at[1] - seen.y), across, along }));
    }

    /** @type {(x: number, y: number) => void} */
    function move(x, y) {
      at = [x, y];
      moved = true;
      place();
      told();
    }

    if (marker) {
      place();
      box.tabIndex = 0;
      box.setAttribute("role", "application");
      box.setAttribute("aria-label", say("quiz.play.marker"));
      on(box, "click", (event) => {
        const { x, y } = adopted.under(event);
        move(x, y);
      });
      on(box, "keydown", (event) => {
        const step = event.shiftKey ? FAR_STEP_MM : STEP_MM * 2;
        const way = WAYS[event.key];
        if (way === undefined) return;
        event.preventDefault();
        move(at[0] + way[0] * step, at[1] + way[1] * step);
      });
    }
    return {
      host,
      /* {distance, under}: mm from the marker to the target's edge, what lies under it; null before it is placed. */
      tap(target) {
        if (!moved) return null;
        const shape = cut.shapes.find((one) => one.id === target);
        if (shape === undefined) return null;
        const { ring, count } = shape, [x, y] = at;
        if (geometry.inside(x, y, ring, count)) return { distance: 0, under: target };
        const name = geometry.nameAt(cut, x, y);
        const under = name !== null && name in wristward.legend ? name : null;
        return { distance: geometry.edgeDistance(x, y, ring, count), under };
      },
      /* Take the marker from the reader and show names, and the structure that is asked for. */
      answer(lit) {
        stop();
        box.removeAttribute("role");
        box.removeAttribute("tabindex");
        box.removeAttribute("aria-label");
        picture.setAttribute("aria-label", lit === null ? say("quiz.play.section_of") : wristward.legend[lit].name);
        draw({ names: true, lit });
      },
      undo: stop,
    };
  };
})((window.wristward ??= {}));
