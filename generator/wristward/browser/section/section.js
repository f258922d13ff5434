/* One section on a page: names under the pointer; follows charts and sliders that share its link. */
(function (wristward) {
  "use strict";

  const { geometry, drawing, inWords } = wristward;

  /* data: {figure, z, assets, shown, link}. The packed arm is fetched only when the figure is used. */
  wristward.mounters.section = (host, data) => {
    const box = host.querySelector('[data-part="figure"]'), tag = host.querySelector('[data-part="tag"]');
    const caption = host.querySelector('[data-part="caption"]');
    const svg = box.querySelector("svg");
    const { on, stop } = wristward.listening();
    const { legend } = wristward;
    const state = { z: data.z, lit: null, shown: data.shown, cut: null };
    let awake = null, adopted = null, pointing = null, arm = null, frame = 0, gone = false;

    function wake() {
      awake ??= wristward
        .load(`${data.assets}wristward-geometry.js`)
        .then(() => {
          if (gone) return;
          arm = geometry.drawn();
          adopted = drawing.adopt(svg, data.figure, drawing.parts(arm, legend), legend);
          draw();
          pointing = wristward.pointing(box, adopted, tag, legend, () => state, act);
        })
        .catch((problem) => console.warn(problem));
      return awake;
    }

    function draw() {
      frame = 0;
      state.cut = geometry.cut(arm, state.z);
      picture();
      adopted.describe(inWords.title(Math.round(state.z), "right", "mean"), wristward.say("figure.convention.right"));
    }

    function picture() {
      adopted.draw(state.cut, { lit: state.lit ?? state.shown });
    }

    const act = {
      light(id) {
        if (state.lit === id) return;
        state.lit = id;
        picture();
      },
      pin(id) {
        state.shown = id ?? data.shown;
        picture();
      },
    };

    on(box, "pointerenter", wake);
    on(box, "pointerdown", wake);
    const unlink = wristward.link(data.link, (news) => {
      if (news.z === undefined) return;
      state.z = news.z;
      caption.textContent = inWords.capital(inWords.height(Math.round(news.z)));
      wake().then(() => {
        if (frame === 0 && !gone) frame = requestAnimationFrame(draw);
      });
    });

    return () => {
      gone = true;
      stop();
      unlink();
      cancelAnimationFrame(frame);
      pointing?.undo();
    };
  };
})((window.wristward ??= {}));
