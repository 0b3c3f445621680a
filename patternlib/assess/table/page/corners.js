// A corner of a piece, cut in one way and folded back, as a small picture beside its name.

import { draw } from "./dom.js";

const SIZE = 104; // px

/** The picture of one way: the paper, the allowance folded over it, what stands over and what is missing. */
export function cornerPicture(shape) {
  const [x0, y0, x1, y1] = shape.box,
    k = SIZE / Math.max(x1 - x0, y1 - y0);
  const d = (rings) =>
    rings
      .map(
        (ring) =>
          `${ring
            .map(([x, y], i) => `${i ? "L" : "M"}${((x - x0) * k).toFixed(1)} ${((y1 - y) * k).toFixed(1)}`)
            .join("")}Z`,
      )
      .join("");
  const svg = draw("svg", {
    class: "dt-corner",
    width: (x1 - x0) * k,
    height: (y1 - y0) * k,
    "aria-hidden": "true",
  });
  for (const part of ["paper", "flap", "lacking", "over"])
    if (shape[part].length) svg.append(draw("path", { class: `dt-c${part}`, d: d(shape[part]) }));
  return svg;
}

/** Ask Python for the ways a corner can be cut, once for what lies on the table; then(): when they are here. */
export function cornerShapes(desk, of, then) {
  const key = JSON.stringify([of, desk.edits]);
  if (desk.corner?.key !== key) {
    desk.corner = { key, shapes: [], then };
    desk.say({ kind: "corner", of, key });
  }
  return desk.corner.shapes;
}
