/* From millimetres to drawing units; the same arithmetic as figure/view.py, with the same numbers. */
(function (wristward) {
  "use strict";

  const { width, height, fit_width, fit_height, base_scale, growth, fine } = wristward.shared.view;
  const view = (wristward.view ??= {});

  /* Scale and middle for a skin outline: flat [x0, y0, x1, y1, …] in mm, `count` points. */
  view.of = (ring, count) => {
    let left = Infinity, right = -Infinity, low = Infinity, high = -Infinity;
    for (let k = 0; k < 2 * count; k += 2) {
      const x = ring[k], y = ring[k + 1];
      if (x < left) left = x;
      if (x > right) right = x;
      if (y < low) low = y;
      if (y > high) high = y;
    }
    const fit = Math.min(fit_width / (right - left), fit_height / (high - low));
    const scale = fit <= base_scale ? fit : base_scale * (fit / base_scale) ** growth;
    return { scale, x: (left + right) / 2, y: (low + high) / 2 };
  };

  view.placeX = (seen, x) => width / 2 + (x - seen.x) * seen.scale;
  view.placeY = (seen, y) => height / 2 - (y - seen.y) * seen.scale;
  view.unplace = (seen, ux, uy) => [(ux - width / 2) / seen.scale + seen.x, (height / 2 - uy) / seen.scale + seen.y];

  /* Lead a pen along the smooth closed line of a ring, in whole tenths of a unit. `share` shrinks the ring about (cx, cy),
     for the marrow of a bone. A canvas is such a pen. */
  view.trace = (pen, { ring, count, cx, cy }, seen, share = 1) => {
    const scale = seen.scale * fine;
    const x0 = (width / 2) * fine + (cx * (1 - share) - seen.x) * scale;
    const y0 = (height / 2) * fine - (cy * (1 - share) - seen.y) * scale;
    const sx = scale * share;
    const last = 2 * count - 2;
    let px = Math.round(x0 + ring[last] * sx), py = Math.round(y0 - ring[last + 1] * sx);
    let hx = Math.round(x0 + ring[0] * sx), hy = Math.round(y0 - ring[1] * sx);
    const firstX = hx, firstY = hy;
    pen.moveTo((px + hx) >> 1, (py + hy) >> 1);
    for (let k = 2; k <= last; k += 2) {
      px = hx;
      py = hy;
      hx = Math.round(x0 + ring[k] * sx);
      hy = Math.round(y0 - ring[k + 1] * sx);
      pen.quadraticCurveTo(px, py, (px + hx) >> 1, (py + hy) >> 1);
    }
    pen.quadraticCurveTo(hx, hy, (hx + firstX) >> 1, (hy + firstY) >> 1);
    pen.closePath();
  };

  /* The same line as the text of a path. */
  view.outline = (shape, seen, share = 1) => {
    let line = "";
    /** @type {Pen} */
    const pen = {
      moveTo: (x, y) => void (line += `M${x} ${y}`),
      quadraticCurveTo: (hx, hy, x, y) => void (line += `Q${hx} ${hy} ${x} ${y}`),
      closePath: () => void (line += "Z"),
    };
    view.trace(pen, shape, seen, share);
    return line;
  };
})((window.wristward ??= {}));
