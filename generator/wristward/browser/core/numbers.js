/* Reads the whole numbers that bridge/pack/numbers.py wrote, and the outlines that bridge/pack/pyramid.py made numbers of. */
(function (wristward) {
  "use strict";

  const numbers = (wristward.numbers ??= {});

  const LARGE = 31, LANES = 128, SHARES = 4096, LEAST = 32768;
  const APART = 64;

  /**
   * What a state says, by table and its place in it: the symbol, its share, and how far behind the share's start.
   * @type {(tables: number[][]) => Int32Array}
   */
  function slots(tables) {
    const said = new Int32Array(tables.length * SHARES);
    let at = 0;
    for (const shares of tables) {
      for (let symbol = 0; symbol < shares.length; symbol++) {
        for (let k = 0; k < shares[symbol]; k++) said[at++] = (shares[symbol] << 17) | (k << 5) | symbol;
      }
    }
    return said;
  }

  /** @type {(text: string) => Uint16Array} */
  function wordsOf(text) {
    const bytes = atob(text), words = new Uint16Array(bytes.length / 2);
    for (let k = 0; k < words.length; k++) words[k] = bytes.charCodeAt(2 * k) | (bytes.charCodeAt(2 * k + 1) << 8);
    return words;
  }

  /* Read all packed numbers at once, since one loop is soon made fast; then hand out the next so many. */
  numbers.reader = ({ count, tables, large, words: text }) => {
    const said = slots(tables), last = tables.length - 1, words = wordsOf(text), read = new Int32Array(count);
    const states = new Int32Array(LANES);
    let at = 2 * LANES, rest = 0;
    for (let k = 0; k < LANES; k++) states[k] = words[2 * k] | (words[2 * k + 1] << 16);
    let a = 0, b = 0, c = 0, d = 0; // sizes of the last four
    for (let k = 0; k < count; k++) {
      const near = a + b + c + d, lane = k & (LANES - 1), state = states[lane];
      const slot = said[(near < last ? near : last) * SHARES + (state & (SHARES - 1))], symbol = slot & 31;
      const next = (slot >>> 17) * (state >>> 12) + ((slot >>> 5) & (SHARES - 1));
      states[lane] = next < LEAST ? (next << 16) | words[at++] : next;
      d = c;
      c = b;
      b = a;
      a = (symbol + 1) >> 1;
      const folded = symbol === LARGE ? LARGE + large[rest++] : symbol;
      read[k] = (folded >>> 1) ^ -(folded & 1);
    }
    let told = 0;
    return (length) => read.subarray(told, (told += length));
  };

  /* Sum up a column: a first value, a first step, then changes of the step. */
  numbers.column = (column) => {
    for (let k = 2; k < column.length; k++) column[k] += column[k - 1];
    for (let k = 1; k < column.length; k++) column[k] += column[k - 1];
    return column;
  };

  /* Fill `count` points from column `from` on in each of some rows, coarse to fine. */
  numbers.outlines = (found, rows, { from, count, width, length, step }) => {
    const off = new Int32Array(2 * count);
    /** @type {number[]} */
    const order = []; // points as they come, each with the two beside it that lead it
    let coarsest = 1, at = 0;
    while (count % (2 * coarsest) === 0 && count > 2 * coarsest) coarsest *= 2;
    for (let point = 0, before = 0; point < count; before = point, point += coarsest) order.push(2 * point, 2 * before, 2 * before);
    for (let half = coarsest >> 1; half > 0; half >>= 1) {
      for (let point = half; point < count; point += 2 * half) order.push(2 * point, 2 * (point - half), 2 * ((point + half) % count));
    }

    /**
     * One row, forecast by the mean of two others, which for the first row are itself, still empty.
     * @type {(row: number, above: number, below: number) => void}
     */
    function fill(row, above, below) {
      const here = row * width + from, a = above * width + from, b = below * width + from;
      off[0] = off[1] = 0;
      for (let k = 0; k < order.length; k += 3) {
        const x = order[k], before = order[k + 1], after = order[k + 2];
        off[x] = ((off[before] + off[after]) >> 1) + found[at++] * step;
        off[x + 1] = ((off[before + 1] + off[after + 1]) >> 1) + found[at++] * step;
        rows[here + x] = ((rows[a + x] + rows[b + x]) >> 1) + off[x];
        rows[here + x + 1] = ((rows[a + x + 1] + rows[b + x + 1]) >> 1) + off[x + 1];
      }
    }

    for (let row = 0; row < length; row += APART) fill(row, Math.max(0, row - APART), Math.max(0, row - APART));
    for (let half = APART >> 1; half > 0; half >>= 1) {
      for (let row = half; row < length; row += 2 * half) fill(row, row - half, row + half < length ? row + half : row - half);
    }
  };
})((window.wristward ??= {}));
