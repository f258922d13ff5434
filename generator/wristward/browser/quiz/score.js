/* How answers are scored: by the numbers of quiz/scoring.py (tests/quiz/scoring.py does the same arithmetic), and the interval of a share. */
(function (wristward) {
  "use strict";

  const score = (wristward.score ??= {});
  score.FULL = 0.9;
  score.STEP_MM = 5;

  score.tap = (distance, insideOther) =>
    distance <= 0 ? 1 : insideOther ? 0 : Math.max(0, 1 - distance / 3);

  score.tau = (answer) => {
    const count = answer.length;
    let agree = 0;
    for (let i = 0; i < count; i++) for (let j = i + 1; j < count; j++) if (answer[i] < answer[j]) agree++;
    return (4 * agree) / (count * (count - 1)) - 1;
  };
  score.order = (answer) => Math.max(0, score.tau(answer));

  score.range = (value, low, high) => {
    if (low <= value && value <= high) return 1;
    return Math.max(low - value, value - high) <= (high - low) / 2 ? 0.5 : 0;
  };
  score.height = (value, key) => score.range(value, key - 10, key + 10);

  score.credit = (value, credit) => {
    const at = Math.min(Math.max(value / score.STEP_MM, 0), credit.length - 1);
    const low = Math.min(Math.floor(at), credit.length - 2), share = at - low;
    return ((1 - share) * credit[low] + share * credit[low + 1]) / 100;
  };

  score.many = (chosen, right) => {
    const agree = right.filter((is, k) => is === chosen[k]).length;
    return Math.max(0, (2 * agree) / right.length - 1);
  };

  /* Wilson's 95 % interval of a share, [low, high]. */
  score.interval = (right, asked) => {
    if (asked === 0) return [0, 1];
    const z = 1.959963984540054, share = right / asked, z2 = (z * z) / asked;
    const middle = (share + z2 / 2) / (1 + z2);
    const half = (z * Math.sqrt((share * (1 - share)) / asked + z2 / (4 * asked))) / (1 + z2);
    return [Math.max(0, middle - half), Math.min(1, middle + half)];
  };
})((window.wristward ??= {}));
