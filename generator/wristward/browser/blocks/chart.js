/* Moves the paths of a block's chart, in the drawing that Python put into the page and in the plotly figure that may take
   its place; figure/block_chart.py draws the same picture. */
(function (wristward) {
  "use strict";

  const blockChart = (wristward.blockChart = {});
  const svgElement = (name, attributes, text) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    return made;
  };

  /* Values of a path's curve: "both", or "caught.…" of an event. */
  const valuesOf = (seen, key, reading) => seen.curves[reading][key];

  /* svg: the drawing; frame: where things lie, units. draw(seen) takes {curves, windows, top, z, length}. */
  blockChart.adopt = (svg, frame) => {
    const ticks = svg.querySelector('[data-part="ticks"]'), cursor = svg.querySelector('[data-part="cursor"]');
    const bathed = svg.querySelector('[data-part="bathed"]');
    const panels = frame.each === null ? [frame.joint] : [frame.joint, frame.each];
    const bottom = panels[panels.length - 1][1];
    const each = (name) => [...svg.querySelectorAll(`[data-${name}]`)];
    const lines = each("line"), bands = each("window"), bests = each("best"), badges = each("badge");
    let ticked = null;

    const placeX = (z, top) => frame.left + (1 - z / top) * (frame.right - frame.left);
    const placeY = (chance, [high, low]) => low - chance * (low - high);

    function path(values, panel, top) {
      let text = "";
      for (let z = 0; z < top; z += frame.step) {
        text += `${z === 0 ? "M" : "L"}${placeX(z, top).toFixed(1)} ${placeY(values[z], panel).toFixed(1)}`;
      }
      return `${text}L${placeX(top, top).toFixed(1)} ${placeY(values[top], panel).toFixed(1)}`;
    }

    function drawTicks(top) {
      if (ticked === top) return;
      ticked = top;
      ticks.replaceChildren();
      for (let z = 0; z <= top; z += frame.tick) {
        const x = placeX(z, top).toFixed(1);
        ticks.append(svgElement("path", { class: "w-grid", d: `M${x} ${frame.joint[0]}V${bottom}` }));
        ticks.append(svgElement("text", { class: "w-b-tick", x, y: bottom + 15, "text-anchor": "middle" }, z / 10));
      }
    }

    function drawBadge(badge, values, top) {
      const number = Number(badge.querySelector("text").textContent);
      const most = values.reduce((found, value) => Math.max(found, value), 0);
      badge.setAttribute("visibility", most < frame.least ? "hidden" : "visible");
      if (most < frame.least) return;
      const level = Math.min(most, frame.badges[(number - 1) % frame.badges.length]);
      const at = values.findIndex((value) => value >= level);
      badge.setAttribute("transform", `translate(${placeX(at, top).toFixed(1)} ${placeY(values[at], frame.each).toFixed(1)})`);
    }

    return {
      svg,
      draw(seen) {
        const { top, windows } = seen;
        drawTicks(top);
        for (const line of lines) {
          const { line: key, reading } = line.dataset;
          line.setAttribute("d", path(valuesOf(seen, key, reading), key === "both" ? frame.joint : frame.each, top));
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

  const colour = (role) => getComputedStyle(document.body).getPropertyValue(role).trim();

  /* Points of one trace, in centimetres and of 100, from its uid. */
  function pointsOf(uid, seen) {
    const [kind, reading] = [uid.slice(0, uid.lastIndexOf("-")), uid.slice(uid.lastIndexOf("-") + 1)];
    if (uid.startsWith("cursor")) return { x: [seen.z / 10, seen.z / 10], y: [0, 100] };
    if (kind.startsWith("window")) {
      const window = seen.windows[reading];
      const [low, high] = window.empty ? [-5, -4] : [window.low / 10, window.high / 10];
      return { x: [low, high, high, low, low], y: [0, 0, 100, 100, 0] };
    }
    const values = valuesOf(seen, kind, reading), x = [], y = [];
    for (let z = 0; z <= seen.top; z += 2) {
      x.push(z / 10);
      y.push(Math.round(1000 * values[z]) / 10);
    }
    return { x, y };
  }

  function coloured(trace, seen, roles) {
    const made = { ...trace, ...pointsOf(trace.uid, seen) };
    const reading = trace.uid.slice(trace.uid.lastIndexOf("-") + 1);
    if (trace.fill) {
      made.fillcolor = colour(reading === "entry" ? "--w-b-band-entry" : "--w-b-band");
      return made;
    }
    if (trace.uid.startsWith("cursor")) return { ...made, line: { color: colour("--w-accent"), width: 1.5 } };
    const role = roles[trace.uid.slice(0, trace.uid.lastIndexOf("-"))];
    const dash = role === "apart" ? "dot" : reading === "entry" ? "dash" : "solid";
    return { ...made, line: { color: colour(`--w-b-${role}`), width: role === "unwanted" ? 2 : 3, dash } };
  }

  /* The chart as a plotly figure in `box`. Resolves to {patch(seen), settle(seen), undo}. */
  blockChart.zoom = async (box, plotly, first, roles, point) => {
    const axis = { color: colour("--w-quiet-ink"), gridcolor: "rgba(128,128,128,.2)", zeroline: false };
    const layout = (seen) => {
      const made = { ...plotly.layout, paper_bgcolor: "rgba(0,0,0,0)", plot_bgcolor: "rgba(0,0,0,0)" };
      made.font = { color: colour("--w-ink") };
      for (const name of ["xaxis", "yaxis", "yaxis2"]) if (name in made) made[name] = { ...axis, ...made[name] };
      made.xaxis.range = box.layout === undefined ? [seen.top / 10, 0] : box.layout.xaxis.range;
      return made;
    };
    const traces = (seen) => plotly.data.map((trace) => coloured(trace, seen, roles));
    const config = { ...wristward.plotlyBase.config, modeBarButtonsToAdd: [] };
    await Plotly.newPlot(box, traces(first), layout(first), config);
    box.on("plotly_hover", (event) => point(event.points[0].x * 10));
    let last = first;
    const scheme = new MutationObserver(() => settle(last));
    scheme.observe(document.body, { attributes: true, attributeFilter: ["data-md-color-scheme"] });

    /* Set the paths that plotly has drawn, as browser/section/zoom.js does; far cheaper than a redraw. */
    function patch(seen) {
      last = seen;
      const { xaxis, yaxis, yaxis2 } = box._fullLayout;
      const byUid = new Map(plotly.data.map((trace) => [trace.uid, trace]));
      for (const group of box.querySelectorAll(".scatterlayer > .trace")) {
        const uid = group.classList[2].replace(/^trace/, "");
        const trace = byUid.get(uid), { x, y } = pointsOf(uid, seen);
        const up = trace.yaxis === "y2" ? yaxis2 : yaxis;
        let path = "";
        for (let k = 0; k < x.length; k++) {
          path += `${k === 0 ? "M" : "L"}${xaxis.c2p(x[k]).toFixed(1)},${up.c2p(y[k]).toFixed(1)}`;
        }
        for (const drawn of group.querySelectorAll(".js-fill, .js-line")) drawn.setAttribute("d", path);
      }
    }

    function settle(seen) {
      last = seen;
      return Plotly.react(box, traces(seen), layout(seen), config);
    }

    return {
      patch,
      settle,
      undo() {
        scheme.disconnect();
        Plotly.purge(box);
      },
    };
  };
})((globalThis.wristward ??= {}));
