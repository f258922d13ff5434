/* Where the reader of "Elbow to wrist" is: height, side, arm and what is shown, and how an address says it. */
(function (wristward) {
  "use strict";

  const { address } = wristward;

  /* arm, legend: of the arm shown. */
  wristward.travelPlace = (data, arm, legend) => {
    const others = Object.fromEntries(data.others.map((name) => [name, wristward.others[name]]));
    const arms = { ...wristward.arms, ...others };
    const preset = { z: data.z, side: data.side, arm: data.arm, shown: data.shown };
    /** @param {string} name */
    const longest = (name) => Math.round(arm.top * arms[name].length_scale);
    /** @param {string} text */
    const read = (text) => address.read(text, preset, { arms: Object.keys(arms), ids: Object.keys(legend), longest });
    const scale = () => arms[state.arm].length_scale;

    // Behind the "#", which the page keeps up, or else in the query of a link.
    const begun = location.hash.length > 1 ? location.hash : location.search;
    const first = read(begun);
    // An arm that is drawn otherwise is put on when its script has come.
    /** @type {TravelState} */
    const state = { ...first, arm: first.arm in others ? data.arm : first.arm, lit: null, names: true, hidden: new Set() };

    return {
      state,
      /* The address the page was opened with, where it asks for an arm that is still to come; else null. */
      awaited: first.arm === state.arm ? null : begun,
      read,
      longest,
      isDrawnOtherwise: (name) => name in others,
      /* The height in the stored arm, and the girth by which that is scaled. */
      stored: () => Math.min(state.z / scale(), arm.top),
      girth: () => arms[state.arm].girth_scale,
      /* Go to a height, as near as the arm goes. Says whether that is another one. */
      moveTo(z) {
        const next = Math.max(0, Math.min(longest(state.arm), z));
        const moved = next !== state.z;
        state.z = next;
        return moved;
      },
      /* A height of the stored arm in the arm shown. */
      ofStored: (z) => Math.round(z * scale()),
      /* What is changed, in another arm at the same place by the share of its length. */
      with(changed) {
        const name = changed.arm ?? state.arm;
        return { ...changed, arm: name, z: Math.round((state.z / longest(state.arm)) * longest(name)) };
      },
      /* The next level in a direction, +1 toward the elbow, -1 toward the wrist; undefined beyond the last. */
      levelBeyond(direction) {
        const heights = data.levels.map((one) => Math.round(one.z * scale())).sort((a, b) => direction * (a - b));
        return heights.find((z) => direction * (z - state.z) > 0);
      },
      /* Keep the state in the page's address. */
      keep: () => history.replaceState(history.state, "", address.write(state)),
    };
  };
})((window.wristward ??= {}));
