// Which pictures to ask for before the hand asks: values near it on the sliders that it holds, and, while it
// is away, a few values of every slider, from which the page blends any other.

import { INCH } from "./lengths.js";
import { tidy } from "./numbers.js";

export const EIGHTH = INCH / 8;
// Of the way to the end of a slider, where a picture is kept ready. The ends come first: with them any press can
// be answered with a blended picture, and the closer values then make it truer.
const SHARES = [1, 0.25, 0, 0.08, 0.5];
const CLOSE = [0, 0.08]; // where a star before gives those that are farther away
const COUNT = 60; // steps each side of the hand
const MOST = 140; // pictures kept ready round the hand

/** Whether between two values of a slider there is nothing: choices and counts. */
export const stepwise = (slider) => slider.choices.length > 0 || slider.unit === "";

/** How a slider moves: {i, step, from}; eighths of an inch where lengths are shown in inches. */
export const axisOf = (desk, i) =>
  desk.sliders[i].unit === "cm" && desk.unit === "in"
    ? { i, step: EIGHTH, from: 0 }
    : { i, step: desk.sliders[i].step };

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

/** Values of one slider from which the others are blended, the nearest first. */
export function anchors(slider, here, { step, from }, shares = SHARES) {
  const { low, high } = slider;
  const first = from ?? low;
  const out = [];
  for (const share of shares) {
    for (const [end, way] of [
      [high, 1],
      [low, -1],
    ]) {
      const wanted = here + share * (end - here);
      const steps = Math.round((wanted - first) / step);
      let v = share === 1 ? end : tidy(first + steps * step);
      if (share === 0) v = tidy(first + (Math.round((here - first) / step) + way) * step);
      if (v >= low && v <= high && v !== here && !out.includes(v)) out.push(v);
    }
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

/** Rows [values, step] from which a star is made, of every slider in turn. only: some of them. */
export function starRows(desk, only = desk.sliders.map((_, i) => i)) {
  const arms = only.map((i) => {
    const lent = desk.star?.lenders[i].some((star) => star.reaches(i));
    return { i, all: anchors(desk.sliders[i], desk.row[i], axisOf(desk, i), lent ? CLOSE : SHARES) };
  });
  const rows = [];
  for (let level = 0; level < 2 * SHARES.length; level += 2) {
    for (const { i, all } of arms) {
      for (const v of all.slice(level, level + 2)) {
        const row = [...desk.row];
        row[i] = v;
        rows.push([row, desk.step]);
      }
    }
  }
  return rows;
}

/** Rows to ask for now: round what is under the hand (axes), or for every slider while it is away (null). */
export function wished(desk, axes) {
  if (!axes) return starRows(desk);
  const held = axes.filter((a) => a.i >= 0).map((a) => a.i);
  const count = axes.length > 1 ? 4 : COUNT;
  const around = axes.map((a) => ({
    i: a.i,
    places:
      a.i < 0 ? nearSteps(desk.step, desk.lastStep()) : near(desk.sliders[a.i], desk.row[a.i], a, count),
  }));
  const rows = rowsAround(desk.row, desk.step, around).slice(0, MOST);
  return [...starRows(desk, held), ...rows];
}
