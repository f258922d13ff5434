/* Moves the paths of a block's chart, in the drawing that Python put into the page and in the plotly figure that may take
   its place; figure/block_chart.py draws the same picture. */
(function (wristward) {
  "use strict";

  const { svgElement, colour, one } = wristward;
  const { joint, step_mm, tick_drop } = wristward.shared.blocks;
  const blockChart = (wristward.blockChart ??= {});

  /**
   * Values of a path's curve: "both", or "caught.…" of an event.
   * @type {(seen: BlockSeen, key: string, reading: Reading) => Float64Array}
   */
  const valuesOf = (seen, key, reading) => seen.curves[reading][key];

  /* Take over a drawing whose things lie as `frame` says. */
  blockChart.adopt = (svg, frame) => {
    const ticks = one(svg, '[data-part="ticks"]'), cursor = one(svg, '[data-part="cursor"]');
    const bathed = one(svg, '[data-part="bathed"]');
    const panels = frame.each === null ? [frame.joint] : [frame.joint, frame.each];
    const bottom = panels[panels.length - 1][1];
    const lines = svg.querySelectorAll("[data-line]"), bands = svg.querySelectorAll("[data-window]");
    const bests = svg.querySelectorAll("[data-best]"), badges = svg.querySelectorAll("[data-badge]");
    let ticked = -1; // height of the arm that the scale is drawn for

    /** @type {(z: number, top: number) => number} */
    const placeX = (z, top) => frame.left + (1 - z / top) * (frame.right - frame.left);
    /** @type {(chance: number, panel: Panel) => number} */
    const placeY = (chance, [high, low]) => low - chance * (low - high);

    /** @type {(values: Float64Array, panel: Panel, top: number) => string} */
    function path(values, panel, top) {
      let text = "";
      for (let z = 0; z < top; z += frame.step) {
        text += `${z === 0 ? "M" : "L"}${placeX(z, top).toFixed(1)} ${placeY(values[z], panel).toFixed(1)}`;
      }
      return `${text}L${placeX(top, top).toFixed(1)} ${placeY(values[top], panel).toFixed(1)}`;
    }

    /** @param {number} top */
    function drawTicks(top) {
      if (ticked === top) return;
      ticked = top;
      ticks.replaceChildren();
      for (let z = 0; z <= top; z += frame.tick) {
        const x = placeX(z, top).toFixed(1);
        ticks.append(svgElement("path", { class: "w-grid", d: `M${x} ${frame.joint[0]}V${bottom}` }));
        ticks.append(svgElement("text", { class: "w-b-tick", x, y: bottom + tick_drop, "text-anchor": "middle" }, String(z / 10)));
      }
    }

    /** @type {(badge: SVGGElement, values: Float64Array, top: number) => void} */
    function drawBadge(badge, values, top) {
      const number = Number(one(badge, "text").textContent);
      const most = values.reduce((found, value) => Math.max(found, value), 0);
      badge.setAttribute("visibility", most < frame.least ? "hidden" : "visible");
      if (most < frame.least) return;
      const level = Math.min(most, frame.badges[(number - 1) % frame.badges.length]);
      const at = values.findIndex((value) => value >= level);
      badge.setAttribute("transform", `translate(${placeX(at, top).toFixed(1)} ${placeY(values[at], frame.each ?? frame.joint).toFixed(1)})`);
    }

    return {
      svg,
      draw(seen) {
        const { top, windows } = seen;
        drawTicks(top);
        for (const line of lines) {
          const { line: key, reading } = line.dataset;
          line.setAttribute("d", path(valuesOf(seen, key, reading), key === joint || frame.each === null ? frame.joint : frame.each, top));
        }
        for (const band of bands) {
          const window = windows[band.dataset.window];
          const [left, right] = window.empty ? [0, 0] : [placeX(window.high, top).toFixed(1), placeX(window.low, top).toFixed(1)];
          const drawn = panels.map(([high, low]) => `M${left} ${high}H${right}V${low}H${left}Z`);
          band.setAttribute("d", window.empty ? "" : drawn.join(""));
        }
        for (const best of bests) {
          const window = windows[best.dataset.best];
          const place = `${placeX(window.best, top).toFixed(1)} ${placeY(window.chance, frame.joint).toFixed(1)}`;
          best.setAttribute("transform", `translate(${place})`);
          best.setAttribute("visibility", seen.inReach ? "visible" : "hidden");
        }
        for (const badge of badges) drawBadge(badge, valuesOf(seen, badge.dataset.badge, "take_off"), top);
      },
      /* The block's level and the length bathed around it. */
      point({ z, top, length }) {
        cursor.setAttribute("transform", `translate(${placeX(z, top).toFixed(1)} 0)`);
        const left = placeX(Math.min(top, z + length / 2), top), right = placeX(Math.max(0, z - length / 2), top);
        bathed.setAttribute("d", `M${left.toFixed(1)} ${frame.bathed}H${right.toFixed(1)}`);
      },
      /* Light the lines of some events, or none. */
      light(keys) {
        for (const line of lines) line.classList.toggle("w-b-lit", keys.has(line.dataset.line));
      },
      /* Height under a pointer, mm. */
      under(event, top) {
        const box = svg.getBoundingClientRect();
        const x = ((event.clientX - box.left) / box.width) * frame.width;
        return top * (1 - (x - frame.left) / (frame.right - frame.left));
      },
    };
  };

  /**
   * What a trace stands for, and in which reading, from its uid.
   * @param {string} uid
   */
  function meant(uid) {
    const last = uid.lastIndexOf("-");
    return { kind: uid.slice(0, last), reading: /** @type {Reading} */ (uid.slice(last + 1)) };
  }

  /**
   * Points of one trace, in centimetres and of 100.
   * @type {(uid: string, seen: BlockSeen) => { x: number[], y: number[] }}
   */
  function pointsOf(uid, seen) {
    const { kind, reading } = meant(uid);
    if (uid.startsWith("cursor")) return { x: [seen.z / 10, seen.z / 10], y: [0, 100] };
    if (kind.startsWith("window")) {
      const window = seen.windows[reading];
      const [low, high] = window.empty ? [-5, -4] : [window.low / 10, window.high / 10];
      return { x: [low, high, high, low, low], y: [0, 0, 100, 100, 0] };
    }
    const values = valuesOf(seen, kind, reading);
    const heights = Array.from({ length: Math.floor(seen.top / step_mm) + 1 }, (_, k) => step_mm * k);
    return { x: heights.map((z) => z / 10), y: heights.map((z) => Math.round(1000 * values[z]) / 10) };
  }

  /** @type {(trace: PlotlyTrace, seen: BlockSeen, roles: Record<string, string>) => PlotlyTrace} */
  function coloured(trace, seen, roles) {
    const made = { ...trace, ...pointsOf(trace.uid, seen) };
    const { kind, reading } = meant(trace.uid);
    if (trace.fill) return { ...made, fillcolor: colour(reading === "parting" ? "b-band-parting" : "b-band") };
    if (trace.uid.startsWith("cursor")) return { ...made, line: { color: colour("accent"), width: 1.5 } };
    const role = roles[kind];
    const dash = role === "apart" ? "dot" : reading === "parting" ? "dash" : "solid";
    return { ...made, line: { color: colour(`b-${role}`), width: role === "unwanted" ? 2 : 3, dash } };
  }

  /* The chart as a plotly figure in `box`. */
  blockChart.zoom = async (box, plotly, first, roles, point) => {
    const axis = { color: colour("quiet-ink"), gridcolor: "rgba(128,128,128,.2)", zeroline: false };
    /** @param {BlockSeen} seen */
    const layout = (seen) => {
      const { xaxis, yaxis, yaxis2 } = plotly.layout;
      /** @type {PlotlyLayout} */
      const made = {
        ...plotly.layout, paper_bgcolor: "rgba(0,0,0,0)", plot_bgcolor: "rgba(0,0,0,0)", font: { color: colour("ink") },
        xaxis: { ...axis, ...xaxis, range: box.layout === undefined ? [seen.top / 10, 0] : box.layout.xaxis.range },
        yaxis: { ...axis, ...yaxis },
      };
      if (yaxis2 !== undefined) made.yaxis2 = { ...axis, ...yaxis2 };
      return made;
    };
    /** @param {BlockSeen} seen */
    const traces = (seen) => plotly.data.map((trace) => coloured(trace, seen, roles));
    const config = { ...wristward.plotlyBase.config, modeBarButtonsToAdd: [] };
    await Plotly.newPlot(box, traces(first), layout(first), config);
    box.on("plotly_hover", (event) => point(event.points[0].x * 10));
    let last = first;
    const scheme = new MutationObserver(() => settle(last));
    scheme.observe(document.body, { attributes: true, attributeFilter: ["data-md-color-scheme"] });

    /* Set the paths that plotly has drawn, as browser/section/zoom.js does; far cheaper than a redraw. */
    /** @param {BlockSeen} seen */
    function patch(seen) {
      last = seen;
      const { xaxis, yaxis, yaxis2 } = box._fullLayout;
      const byUid = new Map(plotly.data.map((trace) => [trace.uid, trace]));
      for (const group of box.querySelectorAll(".scatterlayer > .trace")) {
        const uid = group.classList[2].replace(/^trace/, "");
        const { x, y } = pointsOf(uid, seen);
        const up = byUid.get(uid)?.yaxis === "y2" ? yaxis2 : yaxis;
        let path = "";
        for (let k = 0; k < x.length; k++) {
          path += `${k === 0 ? "M" : "L"}${xaxis.c2p(x[k]).toFixed(1)},${up.c2p(y[k]).toFixed(1)}`;
        }
        for (const drawn of group.querySelectorAll(".js-fill, .js-line")) drawn.setAttribute("d", path);
      }
    }

    /** @param {BlockSeen} seen */
    function settle(seen) {
      last = seen;
      return Plotly.react(box, traces(seen), layout(seen), config);
    }

    return {
      patch,
      settle,
      undo() {
        scheme.disconnect();
        wristward.takeOff(box);
      },
    };
  };
})((window.wristward ??= {}));
