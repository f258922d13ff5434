/* Fetches plotly ahead of being asked for it, on a wide screen, when nothing has moved for a while. */
(function (wristward) {
  "use strict";

  const IDLE_MS = 2000;
  const WIDE_PX = 960;

  /* host: the figure, marked while its cut moves. Returns its undo. */
  wristward.plotlyAhead = (host, address) => {
    const { on, stop } = wristward.listening();
    let idle = 0;

    function wait() {
      clearTimeout(idle);
      if (innerWidth < WIDE_PX || navigator.connection?.saveData) return;
      idle = setTimeout(() => {
        if (host.classList.contains("w-moving")) wait();
        else wristward.load(address).catch((problem) => console.warn(problem));
      }, IDLE_MS);
    }

    on(host, "input", wait);
    on(window, "pointermove", () => idle !== 0 && wait());
    wait();
    return () => {
      stop();
      clearTimeout(idle);
    };
  };
})((window.wristward ??= {}));
