/* The part of the address that can be shared: z (mm in the arm shown), side, arm, shown structure. */
(function (wristward) {
  "use strict";

  const address = (wristward.address = {});

  /* What an address asks for, or what `preset` holds where it asks for nothing or for something unknown. */
  address.read = (text, preset, { arms, ids, longest }) => {
    const asked = new URLSearchParams(text.replace(/^[#?]/, ""));
    const arm = arms.includes(asked.get("arm")) ? asked.get("arm") : preset.arm;
    const z = asked.has("z") && /^\d+(\.\d+)?$/.test(asked.get("z")) ? Math.round(Number(asked.get("z"))) : preset.z;
    return {
      z: Math.max(0, Math.min(longest(arm), z)),
      side: ["left", "right"].includes(asked.get("side")) ? asked.get("side") : preset.side,
      arm,
      shown: ids.includes(asked.get("show")) ? asked.get("show") : preset.shown,
    };
  };

  address.write = ({ z, side, arm, shown }) => {
    const parts = [`z=${z}`];
    if (side !== "right") parts.push(`side=${side}`);
    if (arm !== "mean") parts.push(`arm=${arm}`);
    if (shown !== null) parts.push(`show=${shown}`);
    return `#${parts.join("&")}`;
  };
})((globalThis.wristward ??= {}));
