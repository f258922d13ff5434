/* How a canvas fills, draws and writes what the page's style sheet says of the drawing: asked of the sheet itself, once a
   thing and colour scheme. */
(function (wristward) {
  "use strict";

  const { element, svgElement, one } = wristward;
  const { fine } = wristward.shared.view;
  /* What changes how the sheet looks without a change of the page's own scheme. */
  const SCREENS = ["(prefers-color-scheme: dark)", "(forced-colors: active)", wristward.shared.labels.narrow_screen];
  const inks = (wristward.inks ??= {});

  /* Fill and draw a line, or what the pen has led. */
  inks.put = (pen, { fill, stroke, fade, width, join, cap }, line = null) => {
    if (fill !== null) {
      pen.fillStyle = fill;
      if (line === null) pen.fill();
      else pen.fill(line);
    }
    if (stroke === null) return;
    pen.strokeStyle = stroke;
    pen.lineWidth = width;
    pen.lineJoin = join;
    pen.lineCap = cap;
    pen.globalAlpha = fade;
    if (line === null) pen.stroke();
    else pen.stroke(line);
    pen.globalAlpha = 1;
  };

  /** @param {number} value */
  const tenth = (value) => Math.round(10 * value) / 10;

  /* Write a text at its baseline, by the tenth of a unit as in the svg. tall: the type's size where the sheet does not say it. */
  inks.write = (pen, { font, spacing, fill, stroke, width, join }, { text, anchor, tall = font[1], ...at }) => {
    const x = tenth(at.x), y = tenth(at.y);
    pen.font = `${font[0]}${tall}${font[2]}`;
    pen.letterSpacing = spacing;
    pen.textAlign = anchor === "middle" ? "center" : anchor;
    // Its outline lies behind a letter.
    if (stroke !== null) {
      pen.strokeStyle = stroke;
      pen.lineWidth = width;
      pen.lineJoin = join;
      pen.strokeText(text, x, y);
    }
    pen.fillStyle = fill ?? "transparent";
    pen.fillText(text, x, y);
  };

  /* unit: pixels of the canvas a unit of the drawing. */
  inks.of = (svg) => {
    const { on, stop } = wristward.listening();
    /** @type {Map<string, Ink>} */
    const known = new Map();
    let unit = 1;
    const forget = () => known.clear();
    for (const screen of SCREENS) on(matchMedia(screen), "change", forget);
    const scheme = new MutationObserver(forget);
    scheme.observe(document.body, { attributes: true, attributeFilter: ["data-md-color-scheme"] });

    /** @type {(worn: Element) => Ink} */
    function inkOf(worn) {
      const look = getComputedStyle(worn);
      return {
        fill: look.fill === "none" ? null : look.fill.startsWith("url(") ? hatch(look.fill) : look.fill,
        stroke: look.stroke === "none" ? null : look.stroke,
        fade: Number(look.strokeOpacity),
        width: parseFloat(look.strokeWidth),
        join: /** @type {CanvasLineJoin} */ (look.strokeLinejoin),
        cap: /** @type {CanvasLineCap} */ (look.strokeLinecap),
        font: [`${look.fontStyle} ${look.fontWeight} `, look.fontSize, ` ${look.fontFamily}`],
        spacing: look.letterSpacing === "normal" ? "0px" : look.letterSpacing,
      };
    }

    /**
     * One of the drawing's hatches; a tile has as many pixels as on the screen.
     * @type {(paint: string) => CanvasPattern | null}
     */
    function hatch(paint) {
      const [id] = /#[^"')]+/.exec(paint) ?? [""], pattern = /** @type {SVGPatternElement} */ (one(svg, id));
      const wide = pattern.width.baseVal.value, pixels = Math.ceil((wide * unit) / fine);
      const tile = element("canvas", { width: pixels, height: pixels }), pen = tile.getContext("2d");
      if (pen === null) return null;
      pen.scale(pixels / wide, pixels / wide);
      for (const mark of pattern.children) {
        const line = new Path2D(mark.getAttribute("d") ?? "");
        if (mark instanceof SVGCircleElement) {
          line.arc(mark.cx.baseVal.value, mark.cy.baseVal.value, mark.r.baseVal.value, 0, 2 * Math.PI);
        }
        inks.put(pen, inkOf(mark), line);
      }
      const made = pen.createPattern(tile, "repeat");
      made?.setTransform(new DOMMatrix().scale(wide / pixels));
      return made;
    }

    return {
      /* Of an element of a class, as it would be in this drawing. */
      of(name, called, fill = null) {
        const key = `${called} ${fill}`;
        let ink = known.get(key);
        if (ink === undefined) {
          const worn = svgElement(name, { class: called, fill }), hidden = svgElement("g", { style: "display:none" }, worn);
          svg.append(hidden);
          ink = inkOf(worn);
          hidden.remove();
          known.set(key, ink);
        }
        return ink;
      },
      /* Hatches are made of pixels. */
      scale(pixels) {
        if (pixels !== unit) forget();
        unit = pixels;
      },
      undo() {
        stop();
        scheme.disconnect();
      },
    };
  };
})((window.wristward ??= {}));
