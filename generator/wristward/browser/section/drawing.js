/* Redraws the inline SVG that Python put into the page: takes over its groups, then only sets attributes. */
(function (wristward) {
  "use strict";

  const { view, labels, geometry } = wristward;
  const LETTERS = { artery: "A", vein: "V", nerve: "N" };
  const HATCHED = new Set(["tendon", "nerve", "vein"]);
  const COMPARTMENTS = ["volar_superficial", "volar_deep", "lateral", "dorsal_superficial", "dorsal_deep", "elbow"];
  const SMALLEST_LETTER = 7;
  const LETTER_STEP = 1; // while the cut moves, a letter is resized by no less, units
  const NARROW_SIZE = 21; // letters on a narrow screen, units; the style sheet says the same
  const NARROW = matchMedia("(max-width: 47.9rem)"); // as in the style sheet
  const svgElement = (name) => document.createElementNS("http://www.w3.org/2000/svg", name);

  const drawing = (wristward.drawing = {});

  /* Palette role of a tissue. */
  drawing.role = (tissue, entry) => {
    if (tissue !== "muscle") return tissue;
    return `muscle-${COMPARTMENTS.includes(entry.compartment) ? entry.compartment : COMPARTMENTS[0]}`;
  };

  const tierOf = (tissue) =>
    tissue === "nerve" || tissue === "artery" ? 0 : tissue === "vein" ? 1 : tissue === "muscle" || tissue === "bone" ? 2 : 3;

  /* Names wanted on a section, in units; `always` is a structure named even if it is usually left out. */
  drawing.wanted = (cut, seen, legend, always = null) => {
    const wanted = [];
    for (const shape of cut.shapes) {
      const entry = legend[shape.id];
      if (entry.companion_of && shape.id !== always) continue;
      const byName = ["nerve", "artery", "vein", "sheet"].includes(shape.tissue);
      wanted.push({
        id: shape.id,
        inside: byName ? null : shape.tissue === "bone" ? entry.name : entry.short,
        outside: shape.tissue === "tendon" ? entry.short : entry.name,
        tier: shape.id === always ? 0 : tierOf(shape.tissue),
        x: view.placeX(seen, shape.cx),
        y: view.placeY(seen, shape.cy),
        count: shape.count,
        ring: inUnits(shape, seen),
      });
    }
    return wanted;
  };

  function inUnits(shape, seen) {
    shape.units ??= new Float64Array(shape.ring.length);
    for (let k = 0; k < 2 * shape.count; k += 2) {
      shape.units[k] = view.placeX(seen, shape.ring[k]);
      shape.units[k + 1] = view.placeY(seen, shape.ring[k + 1]);
    }
    return shape.units;
  }

  drawing.discs = (cut, seen) => {
    const discs = [];
    for (const shape of cut.shapes) {
      if (!(shape.tissue in LETTERS)) continue;
      const radius = Math.sqrt(geometry.area(shape.ring, shape.count) / 3.14159) * seen.scale;
      discs.push({ id: shape.id, tissue: shape.tissue, x: view.placeX(seen, shape.cx), y: view.placeY(seen, shape.cy), radius });
    }
    return discs;
  };

  /* Take over the svg of one figure. Returns draw(cut, {names, hidden, lit}) and the view last drawn. */
  drawing.adopt = (svg, figureId, arm, legend) => {
    const group = (name) => svg.querySelector(`.w-${name}`);
    const ground = { skin: svg.querySelector(".w-skin"), loose: svg.querySelector(".w-loose") };
    const moving = wristward.movingShapes({ tissue: group("tissue"), discs: group("discs") }, (shape) => {
      const { kind } = legend[shape.id];
      return { fill: fillOf(shape), disc: kind in LETTERS, marrow: kind === "bone" };
    });
    const shapes = new Map(), letters = new Map(), names = new Map(), leaders = new Map();
    group("tissue").replaceChildren();
    group("discs").replaceChildren();
    group("letters").replaceChildren();
    group("labels").replaceChildren();
    group("leaders").replaceChildren();
    group("light").replaceChildren(path("w-lit-halo"), path("w-lit"));
    const [litHalo, lit] = group("light").children;
    const scaleBar = svg.querySelector(".w-scale"), scaleText = svg.querySelector(".w-scale-text");
    const title = svg.querySelector("title"), desc = svg.querySelector("desc");
    const compass = new Map([...svg.querySelectorAll(".w-compass")].map((text) => [text.dataset.way, text]));

    for (const part of arm.parts.slice(2)) {
      const entry = legend[part.id];
      const made = { path: path(""), marrow: null, tissue: "", shown: false };
      made.path.dataset.id = part.id;
      made.path.style.display = "none";
      group(entry.kind in LETTERS ? "discs" : "tissue").append(made.path);
      if (entry.kind === "bone") {
        made.marrow = path("w-marrow");
        made.marrow.style.display = "none";
        group("tissue").append(made.marrow);
      }
      shapes.set(part.id, made);
    }

    function path(name) {
      const made = svgElement("path");
      if (name) made.setAttribute("class", name);
      return made;
    }

    function fillOf({ id, tissue }) {
      return HATCHED.has(tissue) ? `url(#${figureId}-${tissue})` : `var(--w-${drawing.role(tissue, legend[id])})`;
    }

    function show(made, shown) {
      if (made.shown === shown) return;
      made.shown = shown;
      made.path.style.display = shown ? "" : "none";
      if (made.marrow) made.marrow.style.display = made.path.style.display;
    }

    function drawShapes(visible, seen) {
      const present = new Set();
      for (const shape of visible.shapes) {
        present.add(shape.id);
        const made = shapes.get(shape.id);
        if (made.tissue !== shape.tissue) {
          made.tissue = shape.tissue;
          made.path.setAttribute("class", `w-shape w-${shape.tissue}`);
          made.path.setAttribute("fill", fillOf(shape));
        }
        made.path.setAttribute("d", view.ringPath(shape.ring, shape.count, seen));
        if (made.marrow) {
          made.marrow.setAttribute("d", view.ringPath(shape.ring, shape.count, seen, 0.72, shape.cx, shape.cy));
        }
      }
      for (const [id, made] of shapes) show(made, present.has(id));
    }

    /* A group carries each letter to its place: a text that is itself moved or resized is laid out anew in each picture. */
    function drawLetters(discs, hidden, rests) {
      const used = new Set();
      for (const disc of discs) {
        if (disc.radius < SMALLEST_LETTER || hidden.has(disc.tissue)) continue;
        used.add(disc.id);
        let made = letters.get(disc.id);
        if (made === undefined) {
          made = svgElement("g");
          const text = svgElement("text");
          text.setAttribute("class", `w-letter w-${disc.tissue}-letter`);
          text.textContent = LETTERS[disc.tissue];
          made.append(text);
          group("letters").append(made);
          letters.set(disc.id, made);
        }
        const size = Math.min(1.35 * disc.radius, labels.SIZE), text = made.firstChild;
        if (rests || Math.abs(size - Number(text.getAttribute("font-size"))) > LETTER_STEP) {
          text.setAttribute("font-size", size.toFixed(1));
        }
        made.setAttribute("transform", `translate(${disc.x.toFixed(1)} ${(disc.y + size * 0.35).toFixed(1)})`);
      }
      keepOnly(letters, used);
    }

    function drawNames(visible, seen, discs, options) {
      const wanted = options.names ? drawing.wanted(visible, seen, legend, options.lit) : [];
      const used = new Set(), led = new Set();
      const room = options.narrow ? { larger: NARROW_SIZE / labels.SIZE, columns: false } : {};
      // A name that trembles with its belly is hard to read; while the cut moves it keeps its place.
      const held = options.rests || visible.side !== side ? null : inside;
      inside = new Map();
      for (const placed of labels.place(wanted, discs, { ...room, held })) {
        used.add(placed.id);
        placeName(placed);
        if (placed.column === "inside") {
          inside.set(placed.id, placed);
          continue;
        }
        led.add(placed.id);
        let pair = leaders.get(placed.id);
        if (pair === undefined) {
          pair = svgElement("g");
          pair.append(path("w-leader-halo"), path("w-leader"));
          group("leaders").append(pair);
          leaders.set(placed.id, pair);
        }
        const line = `M${placed.ax.toFixed(1)} ${placed.ay.toFixed(1)}L${placed.px.toFixed(1)} ${placed.py.toFixed(1)}`;
        for (const stroke of pair.children) stroke.setAttribute("d", line);
        pair.classList.toggle("w-of-lit", placed.id === options.lit);
      }
      keepOnly(names, used);
      keepOnly(leaders, led);
    }

    function placeName(placed) {
      let made = names.get(placed.id);
      const state = `${placed.column}|${placed.lines.join("|")}`;
      if (made === undefined) {
        made = svgElement("g");
        made.append(svgElement("text"));
        group("labels").append(made);
        names.set(placed.id, made);
      }
      if (made.wristwardState !== state) {
        made.wristwardState = state;
        const onBone = legend[placed.id].kind === "bone" ? " w-on-bone" : "";
        made.setAttribute("class", `w-label w-label-${placed.column}${onBone}`);
        const text = made.firstChild;
        text.setAttribute("text-anchor", { inside: "middle", left: "end", right: "start" }[placed.column]);
        const top = (-(placed.lines.length - 1) * labels.LINE) / 2;
        text.replaceChildren(
          ...placed.lines.map((line, k) => {
            const span = svgElement("tspan");
            span.setAttribute("x", "0");
            span.setAttribute("y", (top + k * labels.LINE + labels.SIZE * 0.34).toFixed(1));
            span.textContent = line;
            return span;
          }),
        );
      }
      const at = `translate(${placed.x.toFixed(1)} ${placed.y.toFixed(1)})`;
      if (made.getAttribute("transform") !== at) made.setAttribute("transform", at);
    }

    function keepOnly(made, used) {
      for (const [id, element] of made) {
        const display = used.has(id) ? "" : "none";
        if (element.style.display !== display) element.style.display = display;
      }
    }

    function drawLight(cut, seen, id) {
      const shape = id === null ? undefined : cut.shapes.find((one) => one.id === id);
      const line = shape === undefined ? "" : view.ringPath(shape.ring, shape.count, seen);
      litHalo.setAttribute("d", line);
      lit.setAttribute("d", line);
    }

    let side = null, inside = new Map(); // names placed inside their structure, by id
    const adopted = {
      svg,
      seen: null,
      /* `rests`: false while the cut moves, when only what can be seen is drawn. */
      draw(cut, { names: withNames = true, hidden = new Set(), lit: litId = null, narrow = NARROW.matches, rests = true } = {}) {
        const seen = (adopted.seen = view.of(cut.skin.ring, cut.skin.count));
        ground.skin.setAttribute("d", view.ringPath(cut.skin.ring, cut.skin.count, seen));
        ground.loose.setAttribute("d", view.ringPath(cut.fascia.ring, cut.fascia.count, seen));
        const visible = { ...cut, shapes: cut.shapes.filter((shape) => !hidden.has(shape.tissue)) };
        if (rests) {
          moving.rest();
          drawShapes(visible, seen);
        } else moving.draw(visible.shapes, seen);
        const discs = drawing.discs(cut, seen);
        drawLetters(discs, hidden, rests);
        drawNames(visible, seen, discs, { names: withNames, lit: litId, narrow, rests });
        drawLight(cut, seen, litId);
        const bar = 10 * seen.scale;
        scaleBar.setAttribute("d", `M${view.WIDTH / 2 + 90} 580v8h${bar.toFixed(1)}v-8`);
        scaleText.setAttribute("x", (view.WIDTH / 2 + 98 + bar).toFixed(1));
        if (cut.side !== side) {
          side = cut.side;
          const ends = side === "right" ? ["radial", "ulnar"] : ["ulnar", "radial"];
          ends.forEach((way, k) => {
            compass.get(way).setAttribute("x", k === 0 ? view.COLUMN + 10 : view.WIDTH - view.COLUMN - 10);
            compass.get(way).setAttribute("text-anchor", k === 0 ? "start" : "end");
          });
        }
      },
      light(cut, id) {
        drawLight(cut, adopted.seen, id);
      },
      describe(titleText, descText) {
        title.textContent = titleText;
        desc.textContent = descText;
      },
      /* Millimetres under a pointer, and how many CSS pixels one millimetre takes. */
      under(event) {
        const box = svg.getBoundingClientRect();
        const unit = box.width / view.WIDTH;
        const [x, y] = view.unplace(adopted.seen, (event.clientX - box.left) / unit, (event.clientY - box.top) / unit);
        return { x, y, pixelsPerMm: unit * adopted.seen.scale };
      },
    };
    return adopted;
  };
})((globalThis.wristward ??= {}));
