/* Unpacks the outlines of the whole arm and cuts it at any height: the stored millimetres, or between two of them. */
(function (wristward) {
  "use strict";

  const { numbers } = wristward;
  const geometry = (wristward.geometry ??= {});

  /* The packed arm: {unit_mm, step, top_mm, runs: [{id, hi, lo, n, tissues: [[z, tissue], …], layer}], data}. Ordered back
     to front; "skin" and "fascia" come first. Rows run from the elbow (hi) to the wrist (lo). */
  geometry.unpack = (packed) => {
    const take = numbers.reader(packed.data);
    /** @type {Map<string, Run[]>} */
    const found = new Map();
    for (const run of packed.runs) {
      const width = 2 * run.n + 2; // the ring, then the centre
      const length = run.hi - run.lo + 1;
      const rows = new Int16Array(width * length);
      for (const [from, count] of [[0, run.n], [2 * run.n, 1]]) {
        numbers.outlines(take(2 * count * length), rows, { from, count, width, length, step: packed.step });
      }
      found.set(run.id, [...(found.get(run.id) ?? []), { ...run, width, rows }]);
    }
    const parts = [...found].map(([id, runs]) => ({ id, runs }));
    return { unit: packed.unit_mm, top: packed.top_mm, parts, byId: new Map(parts.map((part) => [part.id, part])) };
  };

  /** @type {Arm | null} */
  let drawn = null;
  /* The drawn arm, unpacked once for the figures of a page. */
  geometry.drawn = () => (drawn ??= geometry.unpack(wristward.packedArm));

  /** @type {(run: Run, z: number) => Tissue} */
  function tissueAt(run, z) {
    let tissue = run.tissues[0][1];
    for (const [from, kind] of run.tissues) if (z <= from) tissue = kind;
    return tissue;
  }

  /* Cut the arm: `at` is the height in the stored (mean) arm, any fraction of a mm; side and girth turn the result
     into the arm shown. The shapes are the cut's own; plain arrays are made faster than typed ones of their size. */
  geometry.cut = (arm, at, { side = "right", girth = 1 } = {}) => {
    const unit = arm.unit * girth;
    const unitX = side === "left" ? -unit : unit;
    const upper = Math.min(Math.ceil(at), arm.top), lower = Math.floor(at);
    const shapes = [];
    const nearest = Math.round(at);
    for (const part of arm.parts) {
      const run = part.runs.find((r) => r.lo <= nearest && nearest <= r.hi);
      if (run === undefined) continue;
      const a = Math.min(upper, run.hi), b = Math.max(lower, run.lo);
      const share = a === b ? 0 : a - at;
      const from = (run.hi - a) * run.width, to = (run.hi - b) * run.width;
      const rows = run.rows, last = 2 * run.n, ring = new Array(last);
      for (let k = 0; k < last; k += 2) {
        ring[k] = (rows[from + k] + (rows[to + k] - rows[from + k]) * share) * unitX;
        ring[k + 1] = (rows[from + k + 1] + (rows[to + k + 1] - rows[from + k + 1]) * share) * unit;
      }
      const cx = (rows[from + last] + (rows[to + last] - rows[from + last]) * share) * unitX;
      const cy = (rows[from + last + 1] + (rows[to + last + 1] - rows[from + last + 1]) * share) * unit;
      shapes.push({ id: part.id, ring, count: run.n, cx, cy, tissue: tissueAt(run, nearest) });
    }
    return { at, side, girth, skin: shapes[0], fascia: shapes[1], shapes: shapes.slice(2) };
  };

  /* Even–odd rule on a flat ring. */
  geometry.inside = (x, y, ring, count) => {
    let hit = false;
    let lastX = ring[2 * count - 2], lastY = ring[2 * count - 1];
    for (let k = 0; k < 2 * count; k += 2) {
      const hereX = ring[k], hereY = ring[k + 1];
      if (hereY > y !== lastY > y && x < ((lastX - hereX) * (y - hereY)) / (lastY - hereY) + hereX) hit = !hit;
      lastX = hereX;
      lastY = hereY;
    }
    return hit;
  };

  /* Distance from a point to a ring's edge, mm. */
  geometry.edgeDistance = (x, y, ring, count) => {
    let best = Infinity;
    let ax = ring[2 * count - 2], ay = ring[2 * count - 1];
    for (let k = 0; k < 2 * count; k += 2) {
      const bx = ring[k], by = ring[k + 1];
      const dx = bx - ax, dy = by - ay;
      const along = Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
      best = Math.min(best, (x - ax - along * dx) ** 2 + (y - ay - along * dy) ** 2);
      ax = bx;
      ay = by;
    }
    return Math.sqrt(best);
  };

  geometry.area = (ring, count) => {
    let sum = 0;
    let ax = ring[2 * count - 2], ay = ring[2 * count - 1];
    for (let k = 0; k < 2 * count; k += 2) {
      sum += ax * ring[k + 1] - ring[k] * ay;
      ax = ring[k];
      ay = ring[k + 1];
    }
    return Math.abs(sum) / 2;
  };

  const SMALL = new Set(Object.keys(wristward.shared.drawing.letters));

  /* Name what lies under a point (mm). Front structures win. `reach` (mm) is the slack of a fingertip: within it a
     nerve or vessel is preferred to the belly around it, and the nearest structure to loose tissue. Returns an id,
     or "fat", "loose" or null outside the skin. */
  geometry.nameAt = (cut, x, y, reach = 0) => {
    let exact = null;
    for (let k = cut.shapes.length - 1; k >= 0 && exact === null; k--) {
      const shape = cut.shapes[k];
      if (geometry.inside(x, y, shape.ring, shape.count)) exact = shape;
    }
    if (exact !== null && (reach === 0 || SMALL.has(exact.tissue))) return exact.id;
    if (reach > 0) {
      let nearest = null, least = reach;
      for (const shape of cut.shapes) {
        if (exact !== null && !SMALL.has(shape.tissue)) continue;
        const limit = exact !== null ? reach * 0.6 : reach;
        const distance = geometry.edgeDistance(x, y, shape.ring, shape.count);
        if (distance <= limit && distance < least) {
          least = distance;
          nearest = shape;
        }
      }
      if (nearest !== null) return nearest.id;
    }
    if (exact !== null) return exact.id;
    if (geometry.inside(x, y, cut.fascia.ring, cut.fascia.count)) return "loose";
    return geometry.inside(x, y, cut.skin.ring, cut.skin.count) ? "fat" : null;
  };
})((window.wristward ??= {}));
