/* One section on a page: names under the pointer; follows charts and sliders that share its link. */
(function (wristward) {
  "use strict";

  const { geometry, drawing, inWords, say, one } = wristward;

  /* The packed arm is fetched only when the figure is used. */
  wristward.mounters.section = (host, data) => {
    const find = wristward.parts(host), box = find("figure"), caption = find("caption");
    const { on, stop } = wristward.listening();
    let z = data.z, frame = 0, gone = false;
    /** @type {{ draw: () => void, undo: Undo } | null} */
    let live = null;
    /** @type {Promise<void> | null} */
    let awake = null;

    function wake() {
      awake ??= wristward
        .load(`${data.assets}wristward-geometry.js`)
        .then(() => {
          if (!gone) live = come();
        })
        .catch((problem) => console.warn(problem));
      return awake;
    }

    /* Take the drawing over, once the outlines have come. */
    function come() {
      const { legend } = wristward, arm = geometry.drawn();
      const adopted = drawing.adopt(one(box, "svg"), data.figure, drawing.parts(arm, legend), legend);
      /** @type {string | null} */
      let lit = null;
      let cut = geometry.cut(arm, z), { shown } = data;
      const picture = () => adopted.draw(cut, { lit: lit ?? shown });
      const draw = () => {
        cut = geometry.cut(arm, z);
        picture();
        adopted.describe(inWords.title(Math.round(z), "right", "mean"), say("figure.convention.right"));
      };
      draw();
      const { undo } = wristward.pointing(box, adopted, find("tag"), legend, () => ({ cut }), {
        light(id) {
          if (lit === id) return;
          lit = id;
          picture();
        },
        pin(id) {
          shown = id ?? data.shown;
          picture();
        },
      });
      return { draw, undo };
    }

    on(box, "pointerenter", wake);
    on(box, "pointerdown", wake);
    const unlink = wristward.link(data.link, (news) => {
      if (news.z === undefined) return;
      z = news.z;
      caption.textContent = inWords.capital(inWords.height(Math.round(z)));
      wake().then(() => {
        if (frame !== 0 || gone) return;
        frame = requestAnimationFrame(() => {
          frame = 0;
          live?.draw();
        });
      });
    });

    return () => {
      gone = true;
      stop();
      unlink();
      cancelAnimationFrame(frame);
      live?.undo();
    };
  };
})((window.wristward ??= {}));
