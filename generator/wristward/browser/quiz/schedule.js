/* Spaced practice: FSRS-6 with its published default weights, two learning steps and one relearning step.
   Days are whole spans of 24 hours between two answers, so that the hour of the first answer decides, not the time zone.
   A card is always computed from its log, oldest answer first: nothing but the log is kept. */
(function (wristward) {
  "use strict";

  const schedule = (wristward.schedule ??= {});
  const AGAIN = 1, HARD = 2, GOOD = 3, EASY = 4;
  const MINUTE = 60000, DAY = 86400000;
  const RETENTION = 0.9, LONGEST_DAYS = 36500, LEAST_STABILITY = 0.001;

  /* The weights by what they do, in the order in which they are published. */
  const W = {
    first: [0.212, 1.2931, 2.3065, 8.2956],
    hardBase: 6.4133, hardSlope: 0.8334, hardStep: 3.0194, hardReturn: 0.001,
    recallGain: 1.8722, recallFade: 0.1666, recallSpacing: 0.796,
    forgetBase: 1.4835, forgetHard: 0.0614, forgetStable: 0.2629, forgetSpacing: 1.6483,
    hardPenalty: 0.6014, easyBonus: 1.8729,
    sameDayGain: 0.5425, sameDayShift: 0.0912, sameDayFade: 0.0658, decay: 0.1542,
  };
  const FACTOR = 0.9 ** (-1 / W.decay) - 1;
  const LEARNING = [1, 10], RELEARNING = [10]; // minutes

  /** @type {(value: number, low: number, high: number) => number} */
  const within = (value, low, high) => Math.min(Math.max(value, low), high);
  /** @param {number} value */
  const stable = (value) => Math.max(value, LEAST_STABILITY);
  /** @param {Rating} rating */
  const firstHard = (rating) => W.hardBase - Math.exp(W.hardSlope * (rating - 1)) + 1;

  /* Chance of recall after whole days. */
  schedule.recall = (days, stability) => (1 + (FACTOR * days) / stability) ** -W.decay;

  /**
   * Half to even, as the reference implementation rounds.
   * @param {number} value
   */
  function rounded(value) {
    const low = Math.floor(value), rest = value - low;
    return rest < 0.5 || (rest === 0.5 && low % 2 === 0) ? low : low + 1;
  }

  /** @param {number} stability */
  const days = (stability) =>
    within(rounded((stability / FACTOR) * (RETENTION ** (-1 / W.decay) - 1)), 1, LONGEST_DAYS);

  /** @type {(hard: number, rating: Rating) => number} */
  function nextHard(hard, rating) {
    const moved = hard - (W.hardStep * (rating - GOOD) * (10 - hard)) / 9;
    return within(W.hardReturn * firstHard(EASY) + (1 - W.hardReturn) * moved, 1, 10);
  }

  /** @type {(stability: number, rating: Rating) => number} */
  function sameDay(stability, rating) {
    const gain = Math.exp(W.sameDayGain * (rating - GOOD + W.sameDayShift)) * stability ** -W.sameDayFade;
    return stable(stability * (rating === AGAIN ? gain : Math.max(gain, 1)));
  }

  /** @type {(stability: number, hard: number, recall: number, rating: Rating) => number} */
  function later(stability, hard, recall, rating) {
    if (rating === AGAIN) {
      const long =
        W.forgetBase * hard ** -W.forgetHard * ((stability + 1) ** W.forgetStable - 1) *
        Math.exp((1 - recall) * W.forgetSpacing);
      return stable(Math.min(long, stability / Math.exp(W.sameDayGain * W.sameDayShift)));
    }
    const gain =
      Math.exp(W.recallGain) * (11 - hard) * stability ** -W.recallFade *
      (Math.exp((1 - recall) * W.recallSpacing) - 1) *
      (rating === HARD ? W.hardPenalty : 1) * (rating === EASY ? W.easyBonus : 1);
    return stable(stability * (1 + gain));
  }

  /* The card after one more answer. card: null for a new one, or {state, step, stability, hard, last, due}. */
  schedule.answer = (card, rating, at) => {
    let state = card?.state ?? "learning", step = card === null ? 0 : card.step, wait = 0;
    let stability = stable(W.first[rating - 1]), hard = within(firstHard(rating), 1, 10);
    if (card !== null) {
      const passed = Math.floor((at - card.last) / DAY);
      stability =
        passed < 1 ? sameDay(card.stability, rating)
        : later(card.stability, card.hard, schedule.recall(Math.max(0, passed), card.stability), rating);
      hard = nextHard(card.hard, rating);
    }
    if (state === "review" && rating !== AGAIN) wait = days(stability) * DAY;
    else if (state === "review") [state, step, wait] = ["relearning", 0, RELEARNING[0] * MINUTE];
    else {
      const steps = state === "learning" ? LEARNING : RELEARNING, done = step ?? 0;
      if (rating === AGAIN) [step, wait] = [0, steps[0] * MINUTE];
      else if (rating === HARD) {
        wait = done > 0 ? steps[done] : steps.length === 1 ? steps[0] * 1.5 : (steps[0] + steps[1]) / 2;
        wait *= MINUTE;
      } else if (rating === EASY || done + 1 === steps.length) [state, step, wait] = ["review", null, days(stability) * DAY];
      else [step, wait] = [done + 1, steps[done + 1] * MINUTE];
    }
    return { state, step, stability, hard, last: at, due: at + wait };
  };

  /* The rating of an answer: wrong 1; partly right, or right without being sure 2; right 3; right and sure 4. */
  schedule.rating = (marks, sure) => {
    if (marks < 0.5) return AGAIN;
    if (marks < wristward.score.FULL || sure === false) return HARD;
    return sure === true ? EASY : GOOD;
  };

  /* Cards by item from a log in any order: [{item, at, rating, edition, …}]. editions: what is right now, by item; an
     answer to another edition says nothing of this one, and the question begins anew. */
  schedule.cards = (log, editions = new Map()) => {
    const cards = new Map();
    /** @param {Logged} entry */
    const current = ({ item, edition = null }) => edition === null || (editions.get(item) ?? edition) === edition;
    for (const entry of log.filter(current).sort((a, b) => a.at - b.at)) {
      cards.set(entry.item, schedule.answer(cards.get(entry.item) ?? null, entry.rating, entry.at));
    }
    return cards;
  };

  schedule.due = (cards, now) => [...cards].filter(([, card]) => card.due <= now).map(([item]) => item).sort();
})((window.wristward ??= {}));
