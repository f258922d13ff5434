/* The part of the address that can be shared: z (mm in the arm shown), side, arm, shown structure. */
(function (wristward) {
  "use strict";

  const address = (wristward.address ??= {});

  /* What an address asks for, or what `preset` holds where it asks for nothing or for something unknown. */
  address.read = (text, preset, { arms, ids, longest }) => {
    const asked = new URLSearchParams(text.replace(/^[#?]/, ""));
    /** @param {string} name */
    const of = (name) => asked.get(name) ?? "";
    const arm = arms.includes(of("arm")) ? of("arm") : preset.arm;
    const z = /^\d+(\.\d+)?$/.test(of("z")) ? Math.round(Number(of("z"))) : preset.z;
    const side = of("side");
    return {
      z: Math.max(0, Math.min(longest(arm), z)),
      side: side === "left" || side === "right" ? side : preset.side,
      arm,
      shown: ids.includes(of("show")) ? of("show") : preset.shown,
    };
  };

  address.write = ({ z, side, arm, shown }) => {
    const parts = [`z=${z}`];
    if (side !== "right") parts.push(`side=${side}`);
    if (arm !== "mean") parts.push(`arm=${arm}`);
    if (shown !== null) parts.push(`show=${shown}`);
    return `#${parts.join("&")}`;
  };
})((window.wristward ??= {}));
