/* Which items a quiz holds, and in which order: the same as generator/quiz/compose.py. */
(function (wristward) {
  "use strict";

  const compose = (wristward.compose = {});

  compose.fits = (item, topic) =>
    topic === null || item.topics.some((one) => one === topic || one.startsWith(`${topic}_`));

  /* What an educator's fence asks for: null asks for nothing; the same as generator/quiz/choose.py. */
  compose.choose = (items, { kinds = null, topics = null, levels = null, ids = null }) => {
    const bands = levels?.map((mm) => `level_${Math.floor(mm / 10) * 10}`);
    return items.filter(
      (item) =>
        (kinds === null || kinds.includes(item.kind)) &&
        (topics === null || topics.some((topic) => compose.fits(item, topic))) &&
        (levels === null || bands.some((band) => item.topics.includes(band))) &&
        (ids === null || ids.includes(item.id)),
    );
  };

  const byId = (a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

  compose.draw = (items, { topic = null, count = 10, seed = 1 } = {}) => {
    const chance = wristward.random(seed);
    const byKind = new Map();
    for (const item of items.filter((one) => compose.fits(one, topic)).sort(byId)) {
      if (!byKind.has(item.kind)) byKind.set(item.kind, []);
      byKind.get(item.kind).push(item);
    }
    const kinds = chance.shuffled([...byKind.keys()].sort());
    const rows = new Map(kinds.map((kind) => [kind, compose.inTurns(chance.shuffled(byKind.get(kind)))]));
    const drawn = [];
    while (drawn.length < count && kinds.some((kind) => rows.get(kind).length > 0)) {
      for (const kind of kinds) {
        if (rows.get(kind).length > 0 && drawn.length < count) drawn.push(rows.get(kind).shift());
      }
    }
    return drawn.map((item) => compose.ask(item, chance));
  };

  compose.inTurns = (items) => {
    const rounds = new Map();
    const numbered = items.map((item) => {
      const round = rounds.get(item.target) ?? 0;
      rounds.set(item.target, round + 1);
      return [round, item];
    });
    return numbered.sort((a, b) => a[0] - b[0]).map(([, item]) => item);
  };

  compose.ask = (item, chance) => {
    const side = chance.choice(["right", "left"]);
    let order = chance.shuffled(item.options.map((_, k) => k));
    if (item.kind === "look_alike") order.sort((a, b) => (item.options[a].text < item.options[b].text ? -1 : 1));
    if (item.form === "order" && order.every((place, k) => place === k)) order = order.reverse();
    return { item, side, order };
  };
})((globalThis.wristward ??= {}));
