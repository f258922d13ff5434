/* Bars of a section: a button puts the longest first. */
(function (wristward) {
  "use strict";

  const { say } = wristward;

  wristward.mounters.shares = (host, data) => {
    const find = wristward.parts(host);
    const { on, stop } = wristward.listening();
    const button = find("sort");
    button.hidden = false;
    on(button, "click", () => {
      const longest = Object.entries(data.shares).sort((a, b) => b[1] - a[1]);
      longest.forEach(([kind], place) =>
        wristward.one(host, `[data-kind="${kind}"]`).setAttribute("transform", `translate(0 ${place * data.row})`),
      );
      find("told").textContent = say("figure.shares.sorted", { kind: say(`figure.kinds.${longest[0][0]}`) });
    });
    return stop;
  };
})((window.wristward ??= {}));
