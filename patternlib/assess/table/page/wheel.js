// The tracing wheel under the hand: pulled along a line of the plan, from stop to stop.

import { closest, distance, endOf, isLine, isPoint, lengthOf, startOf } from "./geometry.js";
import { TOUCH } from "./traced.js";

/** The lines of the plan that lie under the hand where it presses: [{name, line, walk, gap}]. */
export function under(at, on, traced, reach) {
  return [...on]
    .filter(([name, line]) => isLine(line) && !traced.has(name))
    .map(([name, line]) => ({ name, line, ...closest(line, at) }))
    .filter(({ gap }) => gap <= reach);
}

/** The places of the sentence for a wheel pulled from where it was pressed to `at`; null where it was not. */
export function wheeled(lines, at, on, traced) {
  const along = lines
    .map((start) => ({ ...start, end: closest(start.line, at) }))
    .sort((a, b) => a.gap + a.end.gap - b.gap - b.end.gap);
  if (!along.length || along[0].end.gap > Math.abs(along[0].end.walk - along[0].walk)) return null;
  const { name, line, walk, end } = along[0],
    whole = lengthOf(line),
    stops = stopsOf(name, line, on, traced);
  const from = nearest(stops, walk),
    to = nearest(stops, end.walk);
  if (!from || !to || from === to) return { of0: name, of1: "", of2: "" };
  if (from.walk < TOUCH && to.walk > whole - TOUCH) return { of0: name, of1: "", of2: "" };
  return { of0: name, of1: from.name, of2: to.name };
}

/** Where the wheel can begin and end on a line: points on it, or lines that touch it, [{name, walk}]. */
function stopsOf(name, line, on, traced) {
  const found = [];
  for (const [other, v] of on)
    if (isPoint(v)) {
      const { gap, walk } = closest(line, v);
      if (gap <= TOUCH) found.push({ name: other, walk });
    }
  for (const [other, v] of on) {
    if (!isLine(v) || other === name || traced.has(other)) continue;
    const places = [startOf(line), endOf(line)]
      .filter((p) => closest(v, p).gap <= TOUCH)
      .concat([startOf(v), endOf(v)].filter((p) => closest(line, p).gap <= TOUCH));
    const apart = places.filter((p, i) => places.findIndex((q) => distance(p, q) <= TOUCH) === i);
    if (apart.length !== 1) continue;
    const { walk } = closest(line, apart[0]);
    if (!found.some((stop) => Math.abs(stop.walk - walk) <= TOUCH)) found.push({ name: other, walk });
  }
  return found;
}

const nearest = (stops, walk) =>
  stops.reduce(
    (best, stop) => (!best || Math.abs(stop.walk - walk) < Math.abs(best.walk - walk) ? stop : best),
    null,
  );
