/* Which items a quiz holds, and in which order: the same as quiz/compose.py. */
(function (wristward) {
  "use strict";

  const compose = (wristward.compose ??= {});

  compose.fits = (item, topic) =>
    topic === null || item.topics.some((one) => one === topic || one.startsWith(`${topic}_`));

  /* What an educator's fence asks for: null asks for nothing; the same as quiz/choose.py. */
  compose.choose = (items, { kinds = null, topics = null, levels = null, ids = null }) => {
    const bands = levels?.map((mm) => `level_${Math.floor(mm / 10) * 10}`) ?? [];
    return items.filter(
      (item) =>
        (kinds === null || kinds.includes(item.kind)) &&
        (topics === null || topics.some((topic) => compose.fits(item, topic))) &&
        (levels === null || bands.some((band) => item.topics.includes(band))) &&
        (ids === null || ids.includes(item.id)),
    );
  };

  /* What is special about the kind of an item: {drawn_alike, in_order, before_list}, each there where it holds. */
  compose.kindOf = (item) => wristward.quizData.kinds[item.kind];

  /** @type {(a: Item, b: Item) => number} */
  const byId = (a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

  compose.draw = (items, { topic = null, count = 10, seed = 1 } = {}) => {
    const chance = wristward.random(seed);
    const byKind = new Map();
    for (const item of items.filter((one) => compose.fits(one, topic)).sort(byId)) {
      if (!byKind.has(item.kind)) byKind.set(item.kind, []);
      byKind.get(item.kind).push(item);
    }
    const kinds = chance.shuffled([...byKind.keys()].sort());
    /* Places in line: which time its target is asked for, then its turn in the kind, then the kind's own turn. */
    const line = kinds.flatMap((kind, turn) => {
      const times = new Map();
      const turns = new Map();
      /** @type {<Key>(counts: Map<Key, number>, key: Key) => number} */
      const next = (counts, key) => {
        const count = (counts.get(key) ?? -1) + 1;
        counts.set(key, count);
        return count;
      };
      return chance.shuffled(byKind.get(kind)).map((item) => {
        const time = next(times, item.target ?? item.id);
        return { item, place: [time, next(turns, time), turn] };
      });
    });
    line.sort((a, b) => a.place[0] - b.place[0] || a.place[1] - b.place[1] || a.place[2] - b.place[2]);
    return line.slice(0, count).map(({ item }) => compose.ask(item, chance));
  };

  compose.ask = (item, chance) => {
    const side = chance.choice(/** @type {Side[]} */ (["right", "left"]));
    let order = chance.shuffled(item.options.map((_, k) => k));
    if (compose.kindOf(item).in_order) order.sort((a, b) => (item.options[a].text < item.options[b].text ? -1 : 1));
    if (item.form === "order" && order.every((place, k) => place === k)) order = order.reverse();
    return { item, side, order };
  };
})((window.wristward ??= {}));
