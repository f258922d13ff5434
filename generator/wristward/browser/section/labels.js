/* Where names go on a section; the same arithmetic as figure/labels.py, which explains it, with the same numbers. */
(function (wristward) {
  "use strict";

  const { width, height, column } = wristward.shared.view;
  const { size, line, margin, gap, port, clear, ems, half_height, spread, tries, eighths } = wristward.shared.labels;
  const narrow = new Set(wristward.shared.labels.narrow), wide = new Set(wristward.shared.labels.wide);
  const room = column - port - margin;

  const labels = (wristward.labels ??= {});
  /** @type {Map<string, number>} */
  const widths = new Map();
  /** @type {Map<string, string[]>} */
  const wrapped = new Map();

  labels.textWidth = (text) => {
    const known = widths.get(text);
    if (known !== undefined) return known;
    let sum = 0;
    for (const letter of text) {
      if (narrow.has(letter)) sum += ems.narrow;
      else if (wide.has(letter)) sum += ems.wide;
      else sum += letter !== letter.toLowerCase() ? ems.capital : ems.other;
    }
    widths.set(text, sum * size);
    return sum * size;
  };

  labels.wrap = (text) => {
    const known = wrapped.get(text);
    if (known !== undefined) return known;
    /** @type {string[]} */
    const lines = [];
    for (const word of text.split(" ")) {
      const longer = `${lines[lines.length - 1]} ${word}`;
      if (lines.length > 0 && labels.textWidth(longer) <= room) lines[lines.length - 1] = longer;
      else lines.push(word);
    }
    wrapped.set(text, lines);
    return lines;
  };

  /** @param {Wanted} want */
  const tall = (want) => labels.wrap(want.outside).length * line + gap;
  /** @type {(a: Wanted, b: Wanted) => number} */
  const byId = (a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

  /* On a narrow screen letters are `larger` and the columns are not there. A name that was `held` inside its structure
     stays where it is while it fits. */
  labels.place = (wanted, discs, { larger = 1, columns = true, held = null } = {}) => {
    const inside = [], rest = [];
    for (const want of wanted) {
      const placed = placeInside(want, discs, larger, held?.get(want.id));
      if (placed === null) rest.push(want);
      else inside.push(placed);
    }
    if (!columns) return inside;
    const left = rest.filter((want) => want.x < width / 2), right = rest.filter((want) => want.x >= width / 2);
    balance(left, right);
    return [...inside, ...stacked(left, "left"), ...stacked(right, "right")];
  };

  /** @type {(want: Wanted, discs: Disc[], larger: number, held: PlacedName | undefined) => PlacedName | null} */
  function placeInside(want, discs, larger, held) {
    const { id, inside } = want;
    if (inside === null) return null;
    const halfW = (larger * labels.textWidth(inside)) / 2, halfH = larger * size * half_height;
    /** @type {(x: number, y: number) => PlacedName | null} */
    const at = (x, y) =>
      fits(want, x, y, halfW, halfH) && !discs.some((disc) => covers(x, y, halfW, halfH, disc))
        ? { id, lines: [inside], x, y, column: "inside", ax: x, ay: y, px: x, py: y }
        : null;
    const stays = held === undefined ? null : at(held.x, held.y);
    if (stays !== null) return stays;
    let left = Infinity, right = -Infinity, low = Infinity, high = -Infinity;
    for (let k = 0; k < 2 * want.count; k += 2) {
      left = Math.min(left, want.ring[k]);
      right = Math.max(right, want.ring[k]);
      low = Math.min(low, want.ring[k + 1]);
      high = Math.max(high, want.ring[k + 1]);
    }
    if (right - left < 2 * halfW || high - low < 2 * halfH) return null;
    for (const [across, along] of tries) {
      const placed = at(want.x + (across * (right - left)) / eighths, want.y + (along * (high - low)) / eighths);
      if (placed !== null) return placed;
    }
    return null;
  }

  /** @type {(want: Wanted, x: number, y: number, halfW: number, halfH: number) => boolean} */
  function fits(want, x, y, halfW, halfH) {
    for (let sx = -1; sx <= 1; sx++)
      for (let sy = -1; sy <= 1; sy += 2)
        if (!wristward.geometry.inside(x + sx * halfW, y + sy * halfH, want.ring, want.count)) return false;
    return true;
  }

  /** @type {(x: number, y: number, halfW: number, halfH: number, disc: Disc) => boolean} */
  function covers(x, y, halfW, halfH, disc) {
    const dx = Math.max(Math.abs(disc.x - x) - halfW, 0), dy = Math.max(Math.abs(disc.y - y) - halfH, 0);
    return dx * dx + dy * dy < (disc.radius + clear) ** 2;
  }

  /** @type {(left: Wanted[], right: Wanted[]) => void} */
  function balance(left, right) {
    const most = height - 2 * margin;
    /** @param {Wanted[]} side */
    const sum = (side) => side.reduce((total, want) => total + tall(want), 0);
    for (;;) {
      const leftSum = sum(left), rightSum = sum(right);
      if (Math.max(leftSum, rightSum) <= most) return;
      const [full, other] = leftSum >= rightSum ? [left, right] : [right, left];
      /** @param {Wanted} want */
      const off = (want) => Math.abs(want.x - width / 2);
      const nearest = full.reduce((a, b) => ((off(b) - off(a) || byId(b, a)) < 0 ? b : a));
      if (Math.min(leftSum, rightSum) + tall(nearest) <= most) {
        full.splice(full.indexOf(nearest), 1);
        other.push(nearest);
        continue;
      }
      const least = full.reduce((a, b) => ((b.tier - a.tier || byId(b, a)) > 0 ? b : a));
      full.splice(full.indexOf(least), 1);
    }
  }

  /** @type {(side: Wanted[], name: "left" | "right") => PlacedName[]} */
  function stacked(side, name) {
    const px = name === "left" ? column : width - column;
    const x = name === "left" ? column - port : width - column + port;
    const order = [...side].sort((a, b) => a.y - b.y || byId(a, b));
    let heights = stack(order);
    for (let pass = 0; pass < order.length; pass++) {
      let swapped = false;
      for (let k = 0; k < order.length - 1; k++) {
        const a = order[k], b = order[k + 1];
        if (cross(a.x, a.y, px, heights[k], b.x, b.y, px, heights[k + 1])) {
          order[k] = b;
          order[k + 1] = a;
          heights = stack(order);
          swapped = true;
        }
      }
      if (!swapped) break;
    }
    return order.map((want, k) => ({
      id: want.id, lines: labels.wrap(want.outside), x, y: heights[k], column: name, ax: want.x, ay: want.y, px, py: heights[k],
    }));
  }

  /** @type {(order: Wanted[]) => number[]} */
  function stack(order) {
    /** @type {number[]} */
    const offsets = [];
    /** @type {[number, number][]} */
    const blocks = []; // [where it begins, how many it holds]
    let total = 0;
    for (const want of order) {
      offsets.push(total + tall(want) / 2);
      total += tall(want);
    }
    order.forEach((want, k) => {
      blocks.push([height / 2 + (want.y - height / 2) * spread - offsets[k], 1]);
      while (blocks.length > 1 && blocks[blocks.length - 2][0] > blocks[blocks.length - 1][0]) {
        const [[before, number], [value, count]] = blocks.splice(-2);
        blocks.push([(before * number + value * count) / (number + count), number + count]);
      }
    });
    const starts = blocks.flatMap(([value, count]) => Array(count).fill(value));
    return starts.map((start, k) => Math.min(Math.max(start, margin), height - margin - total) + offsets[k]);
  }

  /** @type {(...at: number[]) => boolean} Whether the way from a to b crosses that from c to d. */
  function cross(ax, ay, bx, by, cx, cy, dx, dy) {
    /** @type {(...at: number[]) => number} */
    const side = (px, py, qx, qy, rx, ry) => (qx - px) * (ry - py) - (qy - py) * (rx - px);
    return (
      side(ax, ay, bx, by, cx, cy) * side(ax, ay, bx, by, dx, dy) < 0 &&
      side(cx, cy, dx, dy, ax, ay) * side(cx, cy, dx, dy, bx, by) < 0
    );
  }
})((window.wristward ??= {}));
