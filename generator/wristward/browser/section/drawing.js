/* Redraws the inline SVG of a section: takes over the groups that Python put into it, then only sets attributes. */
(function (wristward) {
  "use strict";

  const { view, labels, layers, geometry, one } = wristward;
  const { letters, smallest_letter, letter_share, letter_baseline, hatched, tone, round, empty } = wristward.shared.drawing;
  const { size, tiers, beside_only, narrow_screen, narrow_size } = wristward.shared.labels;
  /** @type {Set<string>} */
  const NOTHING = new Set();

  const drawing = (wristward.drawing ??= {});

  /* Where names stand inside their structures alone. */
  drawing.narrow = matchMedia(narrow_screen);

  /* Palette role of a tissue. */
  drawing.role = (tissue, entry) => {
    if (tissue !== "muscle") return tissue;
    return `muscle-${entry.tone ?? tone}`;
  };

  /* A cut in which all that is round is drawn as a tendon is, so that nothing tells them apart. */
  drawing.alike = (cut) => ({
    ...cut,
    shapes: cut.shapes.map((shape) => (round.includes(shape.tissue) ? { ...shape, tissue: "tendon" } : shape)),
  });

  /* Names wanted on a section, in units; `always` is a structure named even if it is usually left out. */
  drawing.wanted = (cut, seen, legend, always = null) => {
    const wanted = [];
    for (const shape of cut.shapes) {
      const entry = legend[shape.id];
      if (entry.companion_of && shape.id !== always) continue;
      const inside = beside_only.includes(shape.tissue) ? null : shape.tissue === "bone" ? entry.name : entry.short;
      wanted.push({
        id: shape.id,
        inside,
        outside: shape.tissue === "tendon" ? entry.short : entry.name,
        tier: shape.id === always ? 0 : tiers[shape.tissue],
        x: view.placeX(seen, shape.cx),
        y: view.placeY(seen, shape.cy),
        count: shape.count,
        ring: inside === null ? [] : inUnits(shape, seen),
      });
    }
    return wanted;
  };

  /** @type {(shape: Shape, seen: Seen) => number[]} */
  function inUnits({ ring, count }, seen) {
    const units = new Array(2 * count);
    for (let k = 0; k < 2 * count; k += 2) {
      units[k] = view.placeX(seen, ring[k]);
      units[k + 1] = view.placeY(seen, ring[k + 1]);
    }
    return units;
  }

  drawing.discs = (cut, seen) => {
    const discs = [];
    for (const shape of cut.shapes) {
      if (!(shape.tissue in letters)) continue;
      const radius = Math.sqrt(geometry.area(shape.ring, shape.count) / Math.PI) * seen.scale;
      discs.push({ id: shape.id, tissue: shape.tissue, x: view.placeX(seen, shape.cx), y: view.placeY(seen, shape.cy), radius });
    }
    return discs;
  };

  /* Letters of those discs that have room for one, each at its baseline. */
  drawing.letters = (discs) =>
    discs
      .filter((disc) => disc.radius >= smallest_letter)
      .map(({ id, tissue, x, y, radius }) => {
        const tall = Math.min(letter_share * radius, size);
        return { id, tissue, text: letters[tissue] ?? "", x, y: y + tall * letter_baseline, size: tall };
      });

  /* What an arm's drawing holds, back to front. */
  drawing.parts = (arm, legend) => arm.parts.slice(2).map(({ id }) => ({ id, kind: legend[id].kind }));

  /* Hatches and empty groups for a figure of this page, without compass and scale. */
  drawing.empty = (svg, figureId) => {
    svg.innerHTML = empty.replaceAll("{id}", figureId);
  };

  /* Take over the svg of one figure. told: whether outlines carry their structures' ids; moving: what paints the picture
     while the cut moves, null where the svg does. */
  drawing.adopt = (svg, figureId, parts, legend, { told = true, moving = null } = {}) => {
    const kinds = new Map(parts.map(({ id, kind }) => [id, kind]));
    const places = { tissue: one(svg, ".w-tissue"), discs: one(svg, ".w-discs") };
    const skin = one(svg, ".w-skin"), loose = one(svg, ".w-loose"), frame = one(svg, ".w-frame");
    const drawn = {
      shapes: layers.shapes(places, parts, look, told),
      letters: layers.letters(one(svg, ".w-letters")),
      names: layers.names({ labels: one(svg, ".w-labels"), leaders: one(svg, ".w-leaders") }, isOnBone),
      light: layers.light(one(svg, ".w-light")),
      compass: layers.compass(frame),
      scale: svg.querySelector(".w-scale") === null ? null : layers.scale(frame),
    };

    /** @param {string} id */
    function isOnBone(id) {
      return kinds.get(id) === "bone";
    }

    /** @type {Look} */
    function look({ id, tissue }) {
      const fill = hatched.includes(tissue) ? `url(#${figureId}-${tissue})` : `var(--w-${drawing.role(tissue, legend[id])})`;
      const kind = kinds.get(id) ?? tissue;
      return { fill, disc: kind in letters, bone: kind === "bone" };
    }

    /** @type {Side | null} */
    let side = null;
    /** @type {Map<string, PlacedName>} */
    let inside = new Map(); // names placed inside their structure

    /**
     * A name that trembles with its belly is hard to read; while the cut moves it keeps its place.
     * @type {(visible: Cut, seen: Seen, discs: Disc[], how: Required<Pick<DrawOptions, "names" | "lit" | "narrow" | "rests">>) => PlacedName[]}
     */
    function placed(visible, seen, discs, { names, lit, narrow, rests }) {
      const wanted = names ? drawing.wanted(visible, seen, legend, lit) : [];
      const room = narrow ? { larger: narrow_size / size, columns: false } : {};
      const held = rests || visible.side !== side ? null : inside;
      const all = labels.place(wanted, discs, { ...room, held });
      inside = new Map(all.filter((one) => one.column === "inside").map((one) => [one.id, one]));
      return all;
    }

    /** @type {Adopted} */
    const adopted = {
      svg,
      seen: { scale: 1, x: 0, y: 0 },
      /* hidden: tissues; unlettered: structures without a letter; rests: false while the cut moves. */
      draw(cut, { names = true, hidden = NOTHING, unlettered = NOTHING, lit = null, narrow = drawing.narrow.matches, rests = true } = {}) {
        const seen = (adopted.seen = view.of(cut.skin.ring, cut.skin.count));
        const visible = { ...cut, shapes: cut.shapes.filter((shape) => !hidden.has(shape.tissue)) };
        const discs = drawing.discs(cut, seen);
        const lettered = drawing.letters(discs.filter((disc) => !hidden.has(disc.tissue) && !unlettered.has(disc.id)));
        const named = placed(visible, seen, discs, { names, lit, narrow, rests });
        const lighted = cut.shapes.find((one) => one.id === lit);
        drawn.compass(cut.side);
        side = cut.side;
        if (!rests && moving !== null) {
          moving.paint({ cut: visible, seen, letters: lettered, names: named, light: lighted }, { look, isOnBone });
          return;
        }
        skin.setAttribute("d", view.outline(cut.skin, seen));
        loose.setAttribute("d", view.outline(cut.fascia, seen));
        drawn.shapes(visible.shapes, seen);
        drawn.letters(lettered);
        drawn.names(named, lit);
        drawn.light(lighted, seen);
        drawn.scale?.(seen);
        moving?.rest();
      },
      describe(title, text) {
        one(svg, "title").textContent = title;
        one(svg, "desc").textContent = text;
      },
      /* Millimetres under a pointer, and how many CSS pixels one millimetre takes. */
      under(event) {
        const box = svg.getBoundingClientRect(), shown = svg.viewBox.baseVal;
        const unit = box.width / shown.width;
        const [x, y] = view.unplace(adopted.seen, shown.x + (event.clientX - box.left) / unit, shown.y + (event.clientY - box.top) / unit);
        return { x, y, pixelsPerMm: unit * adopted.seen.scale };
      },
    };
    return adopted;
  };
})((window.wristward ??= {}));
