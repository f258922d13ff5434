/* Arms that are drawn otherwise: each comes as a script of its own when it is chosen, and is joined to the drawn arm. */
(function (wristward) {
  "use strict";

  const { geometry, measures } = wristward;
  const arms = (wristward.arming ??= {});
  /** @type {Map<string, OtherArm>} */
  const joined = new Map();

  /**
   * The stretches of a run that lie outside [lo, hi], rows shared with it.
   * @type {(run: Run, hi: number, lo: number) => Run[]}
   */
  function outside(run, hi, lo) {
    const pieces = [];
    if (run.hi > hi) {
      const low = Math.max(run.lo, hi + 1);
      pieces.push({ ...run, lo: low, rows: run.rows.subarray(0, (run.hi - low + 1) * run.width) });
    }
    if (run.lo < lo) {
      const high = Math.min(run.hi, lo - 1);
      pieces.push({ ...run, hi: high, rows: run.rows.subarray((run.hi - high) * run.width) });
    }
    return pieces;
  }

  /* The drawn arm with the stretch that another draws otherwise in its place. `order`: all its structures, back to front. */
  arms.geometry = (drawn, own, order) => {
    const { hi, lo } = own.parts[0].runs[0]; // the skin is cut wherever anything is
    /** @type {Map<string, ArmPart>} */
    const parts = new Map();
    for (const id of [drawn.parts[0].id, drawn.parts[1].id, ...order]) {
      const kept = (drawn.byId.get(id)?.runs ?? []).flatMap((run) => outside(run, hi, lo));
      const runs = [...kept, ...(own.byId.get(id)?.runs ?? [])].sort((a, b) => b.hi - a.hi);
      if (runs.length > 0) parts.set(id, { id, runs });
    }
    return { unit: drawn.unit, top: drawn.top, parts: [...parts.values()], byId: parts };
  };

  /* What was measured, joined in the same way. */
  arms.measures = (drawn, own, { hi, lo }) => {
    /** @type {Map<string, MeasuredRun[]>} */
    const byId = new Map();
    /** @type {(id: string, run: MeasuredRun) => void} */
    const put = (id, run) => void byId.set(id, [...(byId.get(id) ?? []), run]);
    for (const [id, runs] of drawn.byId) {
      for (const run of runs) {
        /** @type {(high: number, low: number) => MeasuredRun} */
        const cut = (high, low) => ({
          ...run, hi: high, lo: low,
          columns: run.columns.map((column) => column.subarray(run.hi - high, run.hi - low + 1)),
        });
        if (run.hi > hi) put(id, cut(run.hi, Math.max(run.lo, hi + 1)));
        if (run.lo < lo) put(id, cut(Math.min(run.hi, lo - 1), run.lo));
      }
    }
    for (const [id, runs] of own.byId) for (const run of runs) put(id, { ...run, ids: own.ids });
    return { ...drawn, byId };
  };

  /* What is otherwise in an arm, how common that is, on which sources, and which facts it lifts: elements for the page. */
  wristward.armNote = (said, data) => {
    const { element, say, inWords } = wristward;
    /** @param {ArmSource} one */
    const source = (one) => (data.sources === null ? one.source : element("a", { href: `${data.sources}#${one.key}` }, one.source));
    const common = said.common.map((one) => element("li", {}, `${one.text} (`, source(one), ")"));
    const span = say("client.arms.from", { from: inWords.cm(said.span[0]), to: inWords.cm(said.span[1]) });
    const held = say("client.arms.held");
    const parts = [element("p", {}, `${said.differs} ${span}`), element("ul", {}, ...common)];
    if (said.lifted.length > 0) {
      const lifted = said.lifted.map((one) => element("li", {}, element("q", {}, one.says), ` ${one.because}`));
      parts.push(element("p", {}, say("client.arms.lifted")), element("ul", {}, ...lifted));
    }
    return [...parts, element("p", {}, held)];
  };

  /* Load an arm's script once and join it to the drawn arm. */
  arms.load = async (address, name, drawn) => {
    if (!joined.has(name)) await wristward.load(address);
    const made = joined.get(name) ?? join(wristward.packedArms[name], drawn);
    joined.set(name, made);
    return made;
  };

  /** @type {(packed: PackedOtherArm, drawn: Arm) => OtherArm} */
  function join({ legend, said, order, ...packed }, drawn) {
    const own = geometry.unpack(packed.geometry);
    /** @type {Map<MeasureTable, MeasureTable>} */
    const told = new Map(); // the join with each table of the drawn arm
    return {
      arm: arms.geometry(drawn, own, order),
      legend,
      said,
      measures(table) {
        const made = told.get(table) ?? arms.measures(table, measures.unpack(packed.measures), own.parts[0].runs[0]);
        told.set(table, made);
        return made;
      },
    };
  }
})((window.wristward ??= {}));
