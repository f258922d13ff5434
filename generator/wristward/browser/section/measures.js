/* Unpacks what was measured in Python at every millimetre; nothing is measured again in the browser. */
(function (wristward) {
  "use strict";

  const { numbers } = wristward;
  const measures = (wristward.measures ??= {});

  /* Packed: {ids, runs: [{id, hi, lo, partner}], neighbours, data}. Lengths in tenths of a mm, areas in tenths of mm². */
  measures.unpack = (packed) => {
    const take = numbers.reader(packed.data);
    /** @type {Map<string, MeasuredRun[]>} */
    const byId = new Map();
    for (const run of packed.runs) {
      const length = run.hi - run.lo + 1;
      const columns = [];
      const width = 4 + (run.partner === null ? 0 : 1) + 3 * packed.neighbours;
      for (let c = 0; c < width; c++) columns.push(numbers.column(take(length)));
      byId.set(run.id, [...(byId.get(run.id) ?? []), { ...run, columns }]);
    }
    return { ids: packed.ids, count: packed.neighbours, byId };
  };

  /* What is known of a structure at a whole mm of the stored arm; girth scales lengths, and areas by its square.
     Null where it is not cut. */
  measures.at = (table, id, z, girth = 1) => {
    const run = (table.byId.get(id) ?? []).find((one) => one.lo <= z && z <= one.hi);
    if (run === undefined) return null;
    const k = run.hi - z;
    let c = 0;
    const take = () => run.columns[c++][k];
    const length = () => (take() / 10) * girth;
    /** @type {Told} */
    const told = {
      id,
      depth_mm: length(),
      straight_depth_mm: length(),
      bearing_deg: take(),
      area_mm2: (take() / 10) * girth * girth,
      partner: run.partner,
      partner_gap_mm: run.partner === null ? null : length(),
      neighbours: [],
    };
    for (let n = 0; n < table.count; n++) {
      const neighbour = take(), gap_mm = length(), eighth = take();
      if (neighbour >= 0) told.neighbours.push({ id: (run.ids ?? table.ids)[neighbour], gap_mm, eighth });
    }
    return told;
  };
})((window.wristward ??= {}));
