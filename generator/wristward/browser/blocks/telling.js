/* What is said of a block: the sentences of block/report.py, from the same catalogue. */
(function (wristward) {
  "use strict";

  const { say, inWords } = wristward;
  const { surely, hardly } = wristward.shared.blocks;
  const words = (wristward.blockWords ??= {});

  /* A chance as a whole number of 100; 100 only from `surely` on, 0 only up to `hardly`. */
  words.percent = (chance) => {
    const whole = inWords.whole(100 * chance);
    if (whole === 100 && chance < surely) return say("block_levels.client.over_99");
    if (whole === 0 && chance > hardly) return say("block_levels.client.under_1");
    return String(whole);
  };

  words.names = (ids) => ids.map((id) => say(`block.event.${id}`)).join(say("block.and"));

  /** @type {(packed: PackedBlocks, block: PackedBlock, window: BlockWindow) => string} */
  function found(packed, block, window) {
    const unwanted = block.unwanted.length > 0;
    const what = say(`block.window.${unwanted ? "caught_spared" : "caught"}`, { wanted: words.names(block.wanted) });
    const alike = packed.wanted_at_least === packed.spared_at_least;
    const demand = say(`block.window.${!unwanted ? "demand_caught" : alike ? "demand_alike" : "demand"}`, {
      wanted: words.percent(packed.wanted_at_least), spared: words.percent(packed.spared_at_least),
    });
    if (window.empty) {
      return say("block.window.empty", { what, demand, best: inWords.height(window.best), chance: words.percent(window.chance) });
    }
    return say("block.window.there", { what, demand, span: inWords.span(window.low, window.high) });
  }

  /* The sentence a trainee can repeat, with both readings. */
  words.sentence = (packed, block, { ml, windows, inReach }) => {
    const nerve = inWords.capital(block.name);
    if (!inReach) return say("block.window.beyond_above", { nerve, wanted: words.names(block.wanted) });
    const take_off = found(packed, block, windows.take_off), parting = found(packed, block, windows.parting);
    if (take_off === parting) return say("block.window.both_readings", { nerve, ml, found: parting });
    return say("block.window.each_reading", { nerve, ml, take_off, parting });
  };

  /* What limits a window, or its best compromise, below and above. */
  words.limits = (packed, block, window) => {
    const least = window.empty ? window.below : null;
    const within = least === null ? null : block.events[least.event].within;
    if (least !== null && within !== null && least.chance > within - packed.nearly_all) {
      const event = say(`block.event.${least.event}`);
      return [say("block.window.limit.within", { event, chance: words.percent(least.chance) })];
    }
    return /** @type {const} */ (["below", "above"]).map((side) => {
      const limit = window[side];
      if (limit === null) return say(`block.window.limit.none_${side}`);
      return say(`block.window.limit.${window.empty ? `best_${side}` : side}`, {
        event: say(`block.event.${limit.event}`), chance: words.percent(limit.chance), at: inWords.height(limit.z),
      });
    });
  };

  /** @param {number} value */
  const number = (value) => String(Math.round(value * 100) / 100);

  words.assumed = ({ base, perMl, sd, length }) =>
    say("block.window.assumed", { base: number(base), per_ml: number(perMl), length: number(length), sd: number(sd) });

  /* What stands in the card of one reading. */
  words.card = (window, inReach) => {
    if (!inReach) return say("block_levels.client.card.beyond");
    if (window.empty) {
      return say("block_levels.client.card.empty", { cm: inWords.cm(window.best), chance: words.percent(window.chance) });
    }
    return inWords.band(window.low, window.high);
  };
})((window.wristward ??= {}));
