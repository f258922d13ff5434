/* A chart over height: pointing at it, or its own slider, moves the sections that share its link. */
(function (wristward) {
  "use strict";

  const { say, inWords, colour, one } = wristward;
  const { roles } = wristward.shared.chart;

  /* data: {figure, assets, link, z, top, left, right, width, plotly}. */
  wristward.mounters.chart = (host, data) => {
    const find = wristward.parts(host);
    const { on, stop } = wristward.listening();
    const picture = find("picture"), slider = find("slider"), told = find("told"), button = find("zoom-button");
    const svg = one(picture, "svg"), cursor = one(svg, ".w-cursor");
    let open = false, gone = false;
    for (const hidden of host.querySelectorAll("[data-script]")) hidden.hidden = false;

    /** @param {number} z */
    function show(z) {
      const x = data.left + (1 - z / data.top) * (data.right - data.left);
      cursor.setAttribute("transform", `translate(${x.toFixed(1)} 0)`);
      cursor.setAttribute("visibility", "visible");
      slider.value = String(data.top - z);
      const values = data.plotly.data.flatMap((line) => {
        const value = line.y[data.top - z];
        return value === null ? [] : [`${line.name} ${wristward.number(value.toFixed(1))}`];
      });
      const words = `${inWords.height(z)}: ${values.length > 0 ? values.join(", ") : say("client.chart.nothing")}`;
      told.textContent = words;
      slider.setAttribute("aria-valuetext", words);
    }

    /** @param {number} z */
    function move(z) {
      const whole = Math.max(0, Math.min(data.top, Math.round(z)));
      show(whole);
      wristward.tell(data.link, { z: whole }, hear);
    }

    /** @param {News} news */
    const hear = (news) => news.z !== undefined && show(Math.max(0, Math.min(data.top, Math.round(news.z))));

    /** @param {MouseEvent} event */
    function point(event) {
      const box = svg.getBoundingClientRect();
      const x = ((event.clientX - box.left) / box.width) * data.width;
      move(data.top * (1 - (x - data.left) / (data.right - data.left)));
    }

    on(svg, "pointermove", (event) => (event.pointerType === "mouse" || event.buttons > 0) && point(event));
    on(svg, "click", point);
    on(slider, "input", () => move(data.top - Number(slider.value)));
    on(button, "click", async () => {
      if (open) return close();
      button.setAttribute("aria-busy", "true");
      try {
        await wristward.load(`${data.assets}plotly.min.js`);
        if (!gone) await draw();
      } catch (problem) {
        console.warn(problem);
        told.textContent = say("client.zoom.failed");
      }
      button.removeAttribute("aria-busy");
    });

    async function draw() {
      const lines = data.plotly.data.map((line, k) => ({ ...line, line: { ...line.line, color: colour(roles[k % roles.length]) } }));
      const axis = { color: colour("quiet-ink"), gridcolor: "rgba(128,128,128,.2)", zeroline: false };
      const layout = {
        ...data.plotly.layout,
        paper_bgcolor: "rgba(0,0,0,0)", plot_bgcolor: "rgba(0,0,0,0)", font: { color: colour("ink") },
        xaxis: { ...axis, ...data.plotly.layout.xaxis }, yaxis: { ...axis, ...data.plotly.layout.yaxis },
      };
      const zoomBox = find("zoom");
      zoomBox.style.height = `${picture.offsetHeight}px`;
      zoomBox.hidden = false;
      picture.hidden = true;
      open = true;
      button.setAttribute("aria-pressed", "true");
      await Plotly.newPlot(zoomBox, lines, layout, { ...wristward.plotlyBase.config, modeBarButtonsToAdd: [] });
      if (open) zoomBox.on("plotly_hover", (event) => move(event.points[0].x * 10));
    }

    function close() {
      wristward.takeOff(find("zoom"));
      picture.hidden = false;
      open = false;
      button.setAttribute("aria-pressed", "false");
    }

    const unlink = wristward.link(data.link, hear);
    if (data.z !== null) show(Math.round(data.z));
    return () => {
      gone = true;
      stop();
      unlink();
      if (open) close();
    };
  };
})((window.wristward ??= {}));
