/* The drawing while its cut moves, painted on a canvas that lies over the svg: to style, lay out and paint the elements of
   the svg takes most of a moved frame. What is painted, and in which order, is what the layers of the svg show. */
(function (wristward) {
  "use strict";

  const { view, layers, inks, element, one } = wristward;
  const { marrow_share } = wristward.shared.drawing;
  const { fine } = wristward.shared.view;
  /* Without a graphics processor a canvas of three pixels to one is filled in nearly three times the time of one to one, of
     two in less than twice; finer than that nobody sees a cut that moves. */
  const MOST_PIXELS = 2;

  /* box: holds the svg. Null where the browser gives no canvas: then the svg has to move. */
  wristward.canvasOver = (box, svg) => {
    const canvas = element("canvas", { class: "w-canvas", "aria-hidden": "true" }), pen = canvas.getContext("2d");
    return pen === null ? null : painter(box, svg, canvas, pen);
  };

  /** @type {(box: HTMLElement, svg: SVGSVGElement, canvas: HTMLCanvasElement, pen: CanvasRenderingContext2D) => MovingPicture} */
  function painter(box, svg, canvas, pen) {
    const worn = inks.of(svg);
    let lies = { unit: 1, left: 0, top: 0 }; // the drawing on the canvas, pixels
    let painting = false;

    /* The canvas comes over the drawing, with a pixel for each of the screen's, up to a number. */
    function begin() {
      painting = true;
      if (canvas.parentNode === null) svg.after(canvas);
      const ratio = Math.min(devicePixelRatio, MOST_PIXELS), frame = box.getBoundingClientRect(), drawn = svg.getBoundingClientRect();
      const shown = svg.viewBox.baseVal, unit = (drawn.width / shown.width) * ratio;
      const width = Math.ceil(frame.width * ratio), height = Math.ceil(frame.height * ratio);
      if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
      // Just as large as its pixels: stretched by a part of one it would be a blur.
      Object.assign(canvas.style, { width: `${width / ratio}px`, height: `${height / ratio}px` });
      lies = { unit, left: (drawn.left - frame.left) * ratio - shown.x * unit, top: (drawn.top - frame.top) * ratio - shown.y * unit };
      worn.scale(unit);
      box.classList.add("w-painted");
    }

    /** @param {number} share */
    const inUnits = (share) => pen.setTransform(lies.unit * share, 0, 0, lies.unit * share, lies.left, lies.top);

    /** @type {(shape: Shape, seen: Seen, ink: Ink, share?: number) => void} */
    function outline(shape, seen, ink, share = 1) {
      pen.beginPath();
      view.trace(pen, shape, seen, share);
      inks.put(pen, ink);
    }

    /** @type {(shapes: Shape[], seen: Seen, look: Look, discs: boolean) => void} */
    function structures(shapes, seen, look, discs) {
      inUnits(1 / fine);
      for (const shape of shapes) {
        const { fill, disc, bone } = look(shape);
        if (disc !== discs) continue;
        outline(shape, seen, worn.of("path", layers.called.shape(shape.tissue), fill));
        if (bone) outline(shape, seen, worn.of("path", layers.called.marrow), marrow_share);
      }
    }

    /** @param {PlacedName[]} names */
    function leaders(names) {
      inUnits(1);
      for (const { column, ax, ay, px, py } of names) {
        if (column === "inside") continue;
        pen.beginPath();
        pen.moveTo(ax, ay);
        pen.lineTo(px, py);
        for (const called of layers.called.leader) inks.put(pen, worn.of("path", called));
      }
    }

    /** @type {(names: PlacedName[], isOnBone: (id: string) => boolean) => void} */
    function labels(names, isOnBone) {
      for (const name of names) {
        const ink = worn.of("text", layers.called.name(name, isOnBone(name.id))), below = layers.baselines(name);
        const { x, y, lines } = name, anchor = layers.anchors[name.column];
        lines.forEach((text, k) => inks.write(pen, ink, { text, x, y: y + below[k], anchor }));
      }
    }

    /**
     * Compass and scale: words as the svg has them, the bar as long as a centimetre of the picture.
     * @param {Seen} seen
     */
    function frame(seen) {
      const bar = layers.bar(seen), told = one(svg, ".w-scale-text");
      inks.put(pen, worn.of("path", "w-scale"), new Path2D(bar.line));
      /** @type {[SVGTextElement, number][]} */
      const words = [[told, bar.words]];
      for (const end of svg.querySelectorAll(".w-compass")) words.push([end, Number(end.getAttribute("x"))]);
      for (const [text, x] of words) {
        const anchor = /** @type {Anchor} */ (text.getAttribute("text-anchor") ?? "start");
        const ink = worn.of("text", text.getAttribute("class") ?? "");
        inks.write(pen, ink, { text: text.textContent ?? "", x, y: Number(text.getAttribute("y")), anchor });
      }
    }

    return {
      paint({ cut, seen, letters, names, light }, { look, isOnBone }) {
        if (!painting) begin();
        pen.resetTransform();
        pen.clearRect(0, 0, canvas.width, canvas.height);
        inUnits(1 / fine);
        outline(cut.skin, seen, worn.of("path", "w-skin"));
        outline(cut.fascia, seen, worn.of("path", "w-loose"));
        structures(cut.shapes, seen, look, false);
        leaders(names);
        structures(cut.shapes, seen, look, true);
        inUnits(1);
        for (const { tissue, text, x, y, size } of letters) {
          const ink = worn.of("text", layers.called.letter(tissue));
          // In half units: each further size of a type is made from its outlines anew.
          inks.write(pen, ink, { text, x, y, anchor: "middle", tall: `${Math.round(2 * size) / 2}px` });
        }
        inUnits(1 / fine);
        if (light !== undefined) for (const called of layers.called.light) outline(light, seen, worn.of("path", called));
        inUnits(1);
        labels(names, isOnBone);
        frame(seen);
      },
      /* The svg shows the cut again. */
      rest() {
        painting = false;
        box.classList.remove("w-painted");
      },
      undo() {
        worn.undo();
        canvas.remove();
        box.classList.remove("w-painted");
      },
    };
  }
})((window.wristward ??= {}));
