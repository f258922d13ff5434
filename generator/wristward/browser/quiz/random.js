/* Whole numbers from a seed, the same as quiz/random.py. */
(function (wristward) {
  "use strict";

  const WORD = 4294967296;

  wristward.random = (seed) => {
    let state = (seed ^ 0x9e3779b9) >>> 0;
    for (const factor of [0x7feb352d, 0x846ca68b]) {
      state = (state ^ (state >>> 15)) >>> 0;
      state = Math.imul(state, factor) >>> 0;
    }
    state = (state ^ (state >>> 16)) >>> 0 || 1;

    /** @type {Chance} */
    const made = {
      word() {
        state = (state ^ (state << 13)) >>> 0;
        state = (state ^ (state >>> 17)) >>> 0;
        state = (state ^ (state << 5)) >>> 0;
        return state;
      },
      below(count) {
        const limit = WORD - (WORD % count);
        let word = made.word();
        while (word >= limit) word = made.word();
        return word % count;
      },
      choice: (values) => values[made.below(values.length)],
      shuffled(values) {
        const mixed = [...values];
        for (let last = mixed.length - 1; last > 0; last--) {
          const other = made.below(last + 1);
          [mixed[last], mixed[other]] = [mixed[other], mixed[last]];
        }
        return mixed;
      },
    };
    return made;
  };
})((window.wristward ??= {}));
