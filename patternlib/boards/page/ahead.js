// Which pictures to ask for before the hand asks: values near it on the sliders that it holds.

import { tidy } from "./numbers.js";

/** [value, distance in steps] of the places the hand can reach on one slider, its present place first. */
export function near(slider, here, { step, from }, count) {
  const out = [[here, 0]];
  const { low, high, heading = 0 } = slider;
  // what lies the way the hand is going comes first
  const far = (v) => (Math.abs(v - here) / step) * ((v - here) * heading < 0 ? 2 : 1);
  const first = from ?? low;
  const middle = Math.round((here - first) / step);
  for (let k = -count; k <= count; k++) {
    const v = tidy(first + (middle + k) * step);
    if (v >= low - 1e-9 && v <= high + 1e-9 && v !== here) out.push([v, far(v)]);
  }
  for (const end of [low, high]) {
    if (end !== here && Math.abs(end - here) < count * step) out.push([end, far(end)]);
  }
  return out;
}

/** As `near`, on the step slider of a draft of `last - 1` steps; step 0 is the finished drawing. */
export function nearSteps(step, last) {
  const here = step || last;
  return Array.from({ length: last }, (_, k) => [k === last - 1 ? 0 : k + 1, Math.abs(k + 1 - here)]);
}

/** Rows [values, step] to ask for, nearest first. axes: [{i, places}], i = -1 is the step slider. */
export function rowsAround(row, step, axes) {
  let rows = [[[...row], step, 0]];
  for (const { i, places } of axes) {
    rows = rows.flatMap(([values, at, far]) =>
      places.map(([v, d]) => {
        if (i < 0) return [values, v, far + d * d];
        const next = [...values];
        next[i] = v;
        return [next, at, far + d * d];
      }),
    );
  }
  return rows.sort((a, b) => a[2] - b[2]).map(([values, at]) => [values, at]);
}
