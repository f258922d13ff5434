/* Sentences of the page, all from the word catalogue; figure/telling.py writes the same ones. */
(function (wristward) {
  "use strict";

  const { say } = wristward;
  const { ways, touch_mm, skin_mm } = wristward.shared.telling;
  const words = (wristward.inWords ??= {});

  /* "19.5": centimetres with at most one decimal. */
  words.cm = (z) => (z / 10).toFixed(1).replace(/\.0$/, "");

  /* A text that begins with a capital. */
  words.capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

  /* Heights, as measure/text.py words them. */
  words.height = (z) => (z === 0 ? say("height.crease") : say("height.above", { cm: words.cm(z) }));
  words.shortHeight = (z) => say("height.short", { cm: words.cm(z) });
  words.band = (low, high) => say("height.band", { low: words.cm(low), high: words.cm(high) });
  words.span = (low, high) => say(low > 0 ? "height.up" : "height.up_from_crease", { low: words.cm(low), high: words.cm(high) });

  words.title = (z, side, arm) =>
    say("figure.title", { height: words.height(z), side: say(`figure.side.${side}`), arm: say(`figure.arm.${arm}`) });

  words.way = (bearing) => say(`figure.way.${ways[Math.round((bearing * ways.length) / 360) % ways.length]}`);

  /* Python rounds a half to the even number; here as well, so that both say the same. */
  words.whole = (value) => {
    const low = Math.floor(value), rest = value - low;
    if (Math.abs(rest - 0.5) < 1e-9) return low % 2 === 0 ? low : low + 1;
    return Math.round(value);
  };

  words.depth = (mm) => (mm < skin_mm ? say("figure.depth.skin") : say("figure.depth.mm", { mm: words.whole(mm) }));

  words.gap = (mm, name) =>
    mm < touch_mm ? say("figure.gap.touches", { name }) : say("figure.gap.mm", { mm: words.whole(mm), name });

  words.tissue = (shape, entry) => {
    if (shape.tissue === "tendon" && entry.kind === "muscle") return say("figure.tissue.its_tendon");
    return say(`figure.kind.${shape.tissue}`);
  };

  words.nearest = (told, legend) =>
    told.neighbours.map((one) => words.gap(one.gap_mm, legend[one.id].name)).join("; ");

  /* The line under the figure for one structure. */
  words.line = (shape, entry, told, legend) => {
    const parts = [words.tissue(shape, entry)];
    if (entry.compartment && shape.tissue === "muscle") parts[0] = say(`figure.compartment.${entry.compartment}`);
    if (told !== null) {
      parts.push(words.depth(told.depth_mm));
      if (told.neighbours.length > 0) parts.push(words.gap(told.neighbours[0].gap_mm, legend[told.neighbours[0].id].name));
    }
    return parts.join(" · ");
  };

  /* The paragraph of a section. */
  words.paragraph = ({ z, side, arm, width_mm, height_mm, present, legend, tell }) => {
    const sentences = [
      `${words.title(z, side, arm)}.`,
      say(`figure.convention.${side}`),
      say("figure.words.size", { width: words.whole(width_mm), height: words.whole(height_mm) }),
    ];
    for (const kind of ["nerve", "artery"]) {
      const told = present.filter((shape) => shape.tissue === kind).map((shape) => tell(shape.id));
      const list = told
        .filter((one) => one !== null)
        .sort((a, b) => (legend[a.id].name < legend[b.id].name ? -1 : 1))
        .map((one) =>
          say("figure.words.one", { name: legend[one.id].name, way: words.way(one.bearing_deg), depth: words.depth(one.depth_mm) }),
        );
      if (list.length > 0) sentences.push(say(`figure.words.${kind}s`, { list: list.join("; ") }));
    }
    sentences.push(say("figure.words.model"));
    return sentences.join(" ");
  };

  /* Cells of one row of the table. */
  words.row = (shape, entry, told, legend) => [
    entry.name,
    words.tissue(shape, entry),
    told === null ? "" : String(words.whole(told.depth_mm)),
    told === null ? "" : words.way(told.bearing_deg),
    told === null ? "" : words.nearest(told, legend),
    told === null || told.partner === null || told.partner_gap_mm === null ? "" : words.gap(told.partner_gap_mm, legend[told.partner].name),
  ];
})((window.wristward ??= {}));
