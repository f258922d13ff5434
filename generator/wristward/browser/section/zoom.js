/* The same section as a plotly figure in the drawing's place: zoom, pan, hover, ruler, image. */
(function (wristward) {
  "use strict";

  const { say, colour, svgElement } = wristward;
  const { letters } = wristward.shared.drawing;
  /** @type {Partial<Record<Tissue, string>>} */
  const HATCH = { vein: "/", tendon: "|", nerve: "." };

  /** @type {(shape: Shape, axis: 0 | 1) => number[]} */
  function closed(shape, axis) {
    const values = new Array(shape.count + 1);
    for (let k = 0; k < shape.count; k++) values[k] = Math.round(shape.ring[2 * k + axis] * 100) / 100;
    values[shape.count] = values[0];
    return values;
  }

  /** @type {(shape: Shape, name: string, fill: string, line: string, width: number) => PlotlyTrace} */
  function trace(shape, name, fill, line, width) {
    const hatch = HATCH[shape.tissue];
    return {
      type: "scatter", mode: "lines", fill: "toself", hoveron: "fills", hoverinfo: "text",
      uid: shape.id, name, text: name, x: closed(shape, 0), y: closed(shape, 1),
      line: { color: line, width }, showlegend: false,
      ...(hatch === undefined
        ? { fillcolor: fill }
        : { fillpattern: { shape: hatch, bgcolor: fill, fgcolor: colour(`${shape.tissue}-hatch`), size: 5, solidity: 0.25 } }),
    };
  }

  /** @type {(cut: Cut, legend: Legend) => PlotlyTrace[]} */
  function traces(cut, legend) {
    return [
      trace({ ...cut.skin, id: "skin" }, say("client.region.fat"), colour("fat"), colour("skin"), 5),
      trace({ ...cut.fascia, id: "fascia" }, say("client.region.loose"), colour("loose"), colour("fascia"), 1.2),
      ...cut.shapes.map((shape) => {
        const role = wristward.drawing.role(shape.tissue, legend[shape.id]);
        return trace(shape, legend[shape.id].name, colour(role), colour(`${shape.tissue}-line`), 1.2);
      }),
      names(cut, legend),
    ];
  }

  /** @type {Partial<Record<Tissue, string>>} */
  const INKS = { muscle: "muscle-ink", bone: "bone-ink", tendon: "muscle-ink" };

  /**
   * Short names and letters, where the drawing has them inside; the rest is named by pointing.
   * @type {(cut: Cut, legend: Legend) => PlotlyTrace}
   */
  function names(cut, legend) {
    const named = cut.shapes.filter((shape) => shape.tissue !== "sheet" && !legend[shape.id].companion_of);
    return {
      type: "scatter", mode: "text", hoverinfo: "skip", uid: "names", showlegend: false,
      x: named.map((shape) => shape.cx), y: named.map((shape) => shape.cy),
      text: named.map((shape) => (shape.tissue in letters ? `<b>${letters[shape.tissue]}</b>` : legend[shape.id].short)),
      textfont: {
        size: named.map((shape) => (shape.tissue in letters ? 10 : 13)),
        color: named.map((shape) => colour(INKS[shape.tissue] ?? `${shape.tissue}-ink`)),
      },
    };
  }

  /** @returns {PlotlyLayout} */
  function layout() {
    const ink = colour("ink"), quiet = colour("quiet-ink");
    const axis = { zeroline: false, gridcolor: "rgba(128,128,128,.18)", color: quiet, ticksuffix: " mm", dtick: 10, fixedrange: false };
    const base = wristward.plotlyBase;
    return {
      ...base.layout,
      paper_bgcolor: "rgba(0,0,0,0)", plot_bgcolor: "rgba(0,0,0,0)", font: { color: ink },
      modebar: { bgcolor: "rgba(0,0,0,0)", color: quiet, activecolor: colour("accent") },
      hoverlabel: { bgcolor: colour("ground"), font: { color: ink }, bordercolor: quiet },
      newshape: { ...base.layout.newshape, line: { color: colour("accent"), width: 3 } },
      xaxis: { ...axis, ...base.layout.xaxis },
      yaxis: { ...axis, ...base.layout.yaxis },
    };
  }

  /* Take a plotly figure off its box. Plotly leaves a listener on the box each time, so another box takes its place. */
  wristward.takeOff = (box) => {
    Plotly.purge(box);
    const next = /** @type {HTMLElement} */ (box.cloneNode(false));
    next.hidden = true;
    box.replaceWith(next);
  };

  /* Resolves when drawn. */
  wristward.zoomFigure = async (box, first, legend, title) => {
    const { on, stop } = wristward.listening();
    let latest = first;
    const look = layout();
    let half = 0;
    for (let k = 0; k < 2 * first.skin.count; k += 2) half = Math.max(half, Math.abs(first.skin.ring[k]), Math.abs(first.skin.ring[k + 1]) / 0.8);
    look.xaxis.range = [-half * 1.06, half * 1.06];
    look.yaxis.range = [-half * 0.9, half * 0.9];
    box.hidden = false;
    box.setAttribute("aria-label", title);
    await Plotly.newPlot(box, traces(first, legend), look, wristward.plotlyBase.config);

    const scheme = new MutationObserver(() => settle(latest));
    scheme.observe(document.body, { attributes: true, attributeFilter: ["data-md-color-scheme"] });
    on(window, "resize", () => Plotly.Plots.resize(box));

    /* Set the paths plotly has already drawn; far cheaper than a redraw. Relies on plotly's class names, which a
       test watches. What is not cut at the height of the last redraw appears when the slider rests. */
    /** @param {Cut} cut */
    function patch(cut) {
      latest = cut;
      const { xaxis, yaxis } = box._fullLayout;
      const present = new Map(cut.shapes.map((shape) => [shape.id, shape]));
      present.set("skin", cut.skin).set("fascia", cut.fascia);
      for (const group of box.querySelectorAll(".scatterlayer > .trace")) {
        const shape = present.get(group.classList[2].replace(/^trace/, ""));
        group.style.display = shape === undefined ? "none" : "";
        if (shape === undefined) continue;
        let path = "";
        for (let k = 0; k < 2 * shape.count; k += 2) {
          path += `${k === 0 ? "M" : "L"}${xaxis.c2p(shape.ring[k]).toFixed(1)},${yaxis.c2p(shape.ring[k + 1]).toFixed(1)}`;
        }
        for (const drawn of group.querySelectorAll(".js-fill, .js-line")) drawn.setAttribute("d", `${path}Z`);
      }
    }

    /** @param {Cut} cut */
    function settle(cut) {
      latest = cut;
      const next = layout(), { xaxis, yaxis, shapes, dragmode } = box.layout ?? look;
      next.xaxis.range = xaxis.range;
      next.yaxis.range = yaxis.range;
      Object.assign(next, { shapes, dragmode });
      for (const group of box.querySelectorAll(".scatterlayer > .trace")) group.style.display = "";
      return Plotly.react(box, traces(cut, legend), next, wristward.plotlyBase.config);
    }

    return {
      patch,
      settle,
      undo() {
        stop();
        scheme.disconnect();
        wristward.takeOff(box);
      },
    };
  };

  /* Save the drawing as it is seen, its colours written into the file. */
  wristward.saveDrawing = (svg, name) => {
    const copy = /** @type {SVGSVGElement} */ (svg.cloneNode(true));
    const roles = [...new Set([...wristward.drawingStyle.matchAll(/--w-([\w-]+)/g), ...svg.outerHTML.matchAll(/--w-([\w-]+)/g)].map((m) => m[1]))];
    const properties = roles.map((role) => `--w-${role}:${colour(role)};`).join("");
    copy.prepend(svgElement("style", {}, `svg{${properties}background:var(--w-ground)}${wristward.drawingStyle}`));
    const url = URL.createObjectURL(new Blob([new XMLSerializer().serializeToString(copy)], { type: "image/svg+xml" }));
    const anchor = document.createElement("a");
    anchor.href = url;
    anchor.download = name;
    anchor.click();
    URL.revokeObjectURL(url);
  };
})((window.wristward ??= {}));
