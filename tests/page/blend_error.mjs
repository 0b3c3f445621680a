// How far blended pictures lie from exact ones. First call: {sliders, row} on stdin, gives the rows to draw for a
// star. Second call: also {whole, drawn, wanted}, pictures packed by Python, gives the gaps in cm.

import { readFileSync } from "node:fs";
import { starRows } from "../../patternlib/boards/page/ahead.js";
import { Desk } from "../../patternlib/boards/page/desk.js";
import { changed, whole } from "../../patternlib/boards/page/pictures.js";
import { Star } from "../../patternlib/boards/page/star.js";

const SHAPES = ["seam", "cut", "style line", "hem"]; // grain lines and signs stand where there is room
const said = JSON.parse(readFileSync(0, "utf8"));
const sliders = Desk.named(said.sliders);
const desk = { sliders, row: said.row, step: 0, unit: "cm" };
if (!said.whole) console.log(JSON.stringify(starRows(desk).map(([row]) => row)));
else {
  const base = whole(said.whole, 1);
  const star = new Star(sliders, said.row, 0, base, null);
  for (const [row, got] of said.drawn) star.take(row, 0, changed(base, got));
  const gaps = [];
  for (const [row, got] of said.wanted) {
    const exact = changed(base, got);
    const mix = star.blend(row, 0);
    gaps.push(exact.error ? null : mix && gap(mix, exact));
  }
  console.log(JSON.stringify(gaps));
}

/** [largest distance of a point of any line from the exact line, cm; lines that are not there; lines]. */
function gap(mix, exact) {
  let most = 0;
  let missing = 0;
  let lines = 0;
  for (const [key, entry] of exact.items) {
    if (entry[0] !== 0 || !SHAPES.includes(entry[1])) continue;
    lines += 1;
    const [a, b] = [mix.items.get(key)?.[5], entry[5]];
    if (a === b) continue;
    if (!a) missing += 1;
    else for (const p of corners(a)) most = Math.max(most, distance(p, corners(b)));
  }
  return [most / 1000, missing, lines];
}

/** Distance of a point from a line through points. */
function distance([x, y], line) {
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k < line.length; k++) {
    const [a, b] = [line[Math.max(0, k - 1)], line[k]];
    const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    const square = dx * dx + dy * dy;
    const t = square ? Math.min(1, Math.max(0, ((x - a[0]) * dx + (y - a[1]) * dy) / square)) : 0;
    least = Math.min(least, Math.hypot(x - a[0] - t * dx, y - a[1] - t * dy));
  }
  return least;
}

/** Where the pen comes by on a path of relative moves. */
function corners(d) {
  let [x, y] = [0, 0];
  const out = [];
  for (const [, op, numbers] of d.matchAll(/([mlcz])([^mlcz]*)/g)) {
    const v = (numbers.match(/-?\d+/g) ?? []).map(Number);
    let [px, py] = [x, y];
    for (let k = 0; k + 1 < v.length; k += 2) {
      [px, py] = [px + v[k], py + v[k + 1]];
      out.push([px, py]);
    }
    if (op !== "z") [x, y] = [px, py];
  }
  return out;
}
