// A dimension line: from point to point, or beside them, with arrows and its number.

import { draw } from "./dom.js";
import { add, distance, left, middle, minus, unit } from "./geometry.js";
import { round, write } from "./lettering.js";
import { writeLength } from "./measure.js";

/**
 * a, b: cm; off: px to the left of the way from a to b that the line stands aside; className: of its lines;
 * said: its number, else how far it is. Returns what writes the number, for when all lines are drawn.
 */
export function dimensionLine(paper, a, b, { layer, taken, off = 0, className = "", said = "" }) {
  const u = unit(minus(b, a)),
    aside = left(u);
  const [from, to] = [a, b].map((p) => add(p, aside, off / paper.k));
  if (off)
    for (const [p, q] of [
      [a, from],
      [b, to],
    ])
      layer.append(paper.ruled(p, q, `dt-dimension dt-extension${className}`));
  const [p, q] = [paper.px(from), paper.px(to)];
  layer.append(draw("line", { class: `dt-dimension${className}`, x1: p[0], y1: p[1], x2: q[0], y2: q[1] }));
  for (const [[x, y], s] of [
    [p, 1],
    [q, -1],
  ]) {
    const at = (along, sideways) =>
      `${x + s * u.x * along - u.y * sideways} ${y - s * u.y * along - u.x * sideways}`;
    layer.append(
      draw("path", { class: `dt-arrow${className}`, d: `M${at(9, 3.5)}L${x} ${y}L${at(9, -3.5)}` }),
    );
  }
  if (off) taken.push(between(p, q));
  const outward = off < 0 ? { x: -aside.x, y: -aside.y } : aside;
  const spot = paper.px(middle(from, to));
  const places = [
    ...beside(...spot, u, off ? outward : null),
    ...(off ? [beyond(p, q), beyond(q, p)] : []),
    ...round(...spot, [18, 30, 44]), // rather than on another number
  ];
  const text = said || writeLength(distance(a, b), paper.desk.unit);
  return () => write(paper, text, `dt-measure${className}`, places, layer, taken);
}

const between = ([x1, y1], [x2, y2]) => [
  Math.min(x1, x2) - 1,
  Math.min(y1, y2) - 1,
  Math.max(x1, x2) + 1,
  Math.max(y1, y2) + 1,
];

/** Beyond an end of a line that is too short for its number. */
function beyond([x1, y1], [x2, y2]) {
  if (Math.abs(x2 - x1) > Math.abs(y2 - y1))
    return x1 < x2 ? [x1 - 6, y1 + 4, "end"] : [x1 + 6, y1 + 4, "start"];
  return y1 < y2 ? [x1, y1 - 5, "middle"] : [x1, y1 + 16, "middle"];
}

function beside(x, y, u, outward) {
  if (Math.abs(u.x) > 0.7) {
    const ways =
      outward && outward.y < 0 ? [17, 32, -7, -22] : outward ? [-7, -22, 17, 32] : [17, -7, 32, -22];
    return ways.map((dy) => [x, y + dy, "middle"]);
  }
  const places = [
    [x - 8, y + 4, "end"],
    [x + 8, y + 4, "start"],
    [x - 8, y + 24, "end"],
    [x + 8, y + 24, "start"],
  ];
  return outward && outward.x > 0 ? [places[1], places[0], places[3], places[2]] : places;
}
