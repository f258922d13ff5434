/* Chances read off the packed tables, and the window found in them: the arithmetic of block/table.py and
   block/window.py. Nothing is computed anew; between the nodes it is interpolated. */
(function (wristward) {
  "use strict";

  const { numbers } = wristward;
  const blocks = (wristward.blocks ??= {});
  blocks.READINGS = wristward.shared.blocks.readings;

  /* The tables of one block: name of a curve → its whole numbers, edge slowest, sd fastest. */
  blocks.unpack = (packed, nerve) => {
    const block = packed.blocks[nerve];
    const { edge_mm, length_mm, sd_mm } = packed.axes;
    const take = numbers.reader(block.data);
    const count = edge_mm.count, lengths = length_mm.length, sds = sd_mm.length;
    const cubes = [];
    for (let c = 0; c < block.count; c++) {
      const cube = new Int16Array(count * lengths * sds);
      for (let l = 0; l < lengths; l++) {
        for (let s = 0; s < sds; s++) {
          const column = numbers.column(take(count));
          for (let e = 0; e < count; e++) {
            const at = (e * lengths + l) * sds + s;
            cube[at] = column[e] + (l > 0 ? cube[at - sds] : 0);
          }
        }
      }
      cubes.push(cube);
    }
    return { axes: packed.axes, full: packed.full, block, cubes };
  };

  /**
   * The node below a value and how far it lies to the next one; never the last node.
   * @type {(value: number, nodes: number[]) => [number, number]}
   */
  function place(value, nodes) {
    const held = Math.min(Math.max(value, nodes[0]), nodes[nodes.length - 1]);
    let index = 0;
    while (index < nodes.length - 2 && nodes[index + 1] <= held) index++;
    return [index, (held - nodes[index]) / (nodes[index + 1] - nodes[index])];
  }

  /* One curve over every whole mm of the arm. `setting`: {length, sd, scale, top}, mm of the arm. */
  blocks.curve = (table, reading, name, { length, sd, scale, top }) => {
    const { axes, cubes, block } = table;
    const cube = cubes[block.curves[name] ?? block.curves[`${reading}/${name}`]];
    const lengths = axes.length_mm.length, sds = axes.sd_mm.length, { start, step, count } = axes.edge_mm;
    const [l, alongLength] = place(length / scale, axes.length_mm);
    const [s, alongSd] = place((sd / scale) ** 2, axes.sd_mm.map((one) => one * one));
    const line = new Float64Array(count);
    for (let e = 0; e < count; e++) {
      const at = (e * lengths + l) * sds + s, longer = at + sds;
      const short = cube[at] + (cube[at + 1] - cube[at]) * alongSd;
      const long = cube[longer] + (cube[longer + 1] - cube[longer]) * alongSd;
      line[e] = (short + (long - short) * alongLength) / table.full;
    }
    const values = new Float64Array(top + 1);
    for (let z = 0; z <= top; z++) {
      const edge = Math.min(Math.max(((z + length / 2) / scale - start) / step, 0), count - 1);
      const e = Math.min(Math.floor(edge), count - 2);
      values[z] = line[e] + (line[e + 1] - line[e]) * (edge - e);
    }
    return values;
  };

  /* Every curve of a block under a setting: {take_off: {wanted, spared, both, "caught.…"}, parting: {…}}. */
  blocks.curves = (table, setting) => {
    const { block } = table;
    const names = ["wanted", "spared", "both", ...Object.keys(block.events).map((id) => `caught.${id}`)];
    /** @type {Record<Reading, Curves>} */
    const found = { take_off: {}, parting: {} };
    for (const reading of blocks.READINGS) {
      for (const name of names) {
        const same = reading === "parting" && name in block.curves;
        found[reading][name] = same ? found.take_off[name] : blocks.curve(table, reading, name, setting);
      }
    }
    return found;
  };

  /** @type {(curves: Curves, events: string[], z: number, least: boolean) => BlockLimit | null} */
  function limit(curves, events, z, least) {
    if (events.length === 0 || z < 0 || z >= curves.wanted.length) return null;
    /** @param {string} id */
    const key = (id) => Math.round(curves[`caught.${id}`][z] * 1e9);
    /** @type {(a: string, b: string) => boolean} */
    const before = (a, b) => (key(a) === key(b) ? a < b : key(a) < key(b));
    const event = events.reduce((best, id) => ((least ? before(id, best) : before(best, id)) ? id : best));
    return { event, chance: curves[`caught.${event}`][z], z };
  }

  /* The window of a block in the curves of one reading. */
  blocks.window = (packed, block, curves) => {
    const { wanted, spared, both } = curves;
    /** @type {number | null} */
    let low = null;
    let high = 0, top = -1;
    for (let z = 0; z < both.length; z++) {
      if (wanted[z] >= packed.wanted_at_least && spared[z] >= packed.spared_at_least) {
        low ??= z;
        high = z;
      }
      top = Math.max(top, both[z]);
    }
    /** @type {number[]} */
    const near = [];
    for (let z = 0; z < both.length; z++) if (both[z] >= top - packed.near_best) near.push(z);
    const middle = (near[0] + near[near.length - 1]) / 2;
    const best = near.reduce((found, z) => (Math.abs(z - middle) < Math.abs(found - middle) ? z : found));
    const told = {
      best, chance: both[best],
      below: limit(curves, block.wanted, low === null ? best : low - 1, true),
      above: limit(curves, block.unwanted, low === null ? best : high + 1, false),
    };
    return low === null ? { empty: true, low, high: null, ...told } : { empty: false, low, high, ...told };
  };
})((window.wristward ??= {}));
