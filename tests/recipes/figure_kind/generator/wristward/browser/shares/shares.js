/* Bars of a section: a button puts the longest first. */
(function (wristward) {
  "use strict";

  const { say } = wristward;

  /* data: {row, shares}. */
  wristward.mounters.shares = (host, data) => {
    const { on, stop } = wristward.listening();
    const button = host.querySelector('[data-part="sort"]'), told = host.querySelector('[data-part="told"]');
    button.hidden = false;
    on(button, "click", () => {
      const longest = Object.entries(data.shares).sort((a, b) => b[1] - a[1]);
      longest.forEach(([kind], place) =>
        host.querySelector(`[data-kind="${kind}"]`).setAttribute("transform", `translate(0 ${place * data.row})`),
      );
      told.textContent = say("figure.shares.sorted", { kind: say(`figure.kinds.${longest[0][0]}`) });
    });
    return stop;
  };
})((globalThis.wristward ??= {}));
