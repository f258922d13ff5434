/* The figure of "Elbow to wrist": the arm that is shown, its cut, and the drawing or the plotly figure that shows it. */
(function (wristward) {
  "use strict";

  const { geometry, drawing, measures, one } = wristward;

  /* `arm` and `legend` of what is returned are those of the arm shown, and whoever holds them goes on to hold them when
     the arm changes. */
  wristward.travelFigure = (host, find, data) => {
    const drawn = geometry.drawn(), svg = one(find("figure"), "svg"), moving = wristward.canvasOver(find("figure"), svg);
    const arm = { ...drawn }, legend = { ...wristward.legend };
    /** @type {OtherArm | null} */
    let worn = null; // the arm drawn otherwise that is shown
    /** @type {MeasureTable | null} */
    let table = null; // measures of the drawn arm, once they have come
    /** @type {ZoomedFigure | null} */
    let zoom = null; // the plotly figure, while it is open
    let adopted = adopt();

    function adopt() {
      return drawing.adopt(svg, data.figure, drawing.parts(arm, legend), legend, { moving });
    }

    return {
      arm,
      legend,
      svg,
      worn: () => worn,
      isZoomed: () => zoom !== null,
      /* Put an arm on, null for the drawn one: its outlines, its names, its paths. */
      wear(other) {
        if (other === worn) return;
        worn = other;
        Object.assign(arm, other === null ? drawn : other.arm);
        Object.assign(legend, wristward.legend, other === null ? {} : other.legend);
        adopted = adopt();
      },
      /* One picture of a cut; `rests` is false while it moves. options: as adopted.draw takes them. */
      draw(cut, options, rests) {
        if (zoom === null) adopted.draw(cut, { ...options, rests });
        else if (rests) zoom.settle(cut);
        else zoom.patch(cut);
      },
      describe: (title, text) => adopted.describe(title, text),
      under: (event) => adopted.under(event),
      /* Load the numbers that the words need and the picture does not. */
      async measure() {
        await wristward.load(`${data.assets}wristward-measures.js`);
        table = measures.unpack(wristward.packedMeasures);
      },
      /* What is known of a structure at a whole mm of the stored arm; null before the measures have come. */
      tell(id, z, girth) {
        if (table === null) return null;
        return measures.at(worn === null ? table : worn.measures(table), id, z, girth);
      },
      /* Put the plotly figure in the drawing's place. */
      async openZoom(cut, title) {
        await wristward.load(`${data.assets}plotly.min.js`);
        zoom = await wristward.zoomFigure(find("zoom"), cut, legend, title);
        host.classList.add("w-zoomed");
      },
      closeZoom() {
        if (zoom === null) return;
        zoom.undo();
        zoom = null;
        host.classList.remove("w-zoomed");
      },
      undo() {
        moving?.undo();
      },
    };
  };
})((window.wristward ??= {}));
