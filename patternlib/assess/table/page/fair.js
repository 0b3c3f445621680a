// Fair curves, as Python draws them (geometry/fair_curve.py), so that a curve in work follows the hand.
// The directions and handles are those of J. D. Hobby, 'Smooth, easy to compute interpolating splines',
// Discrete & Computational Geometry 1 (1986).

import {
  add,
  angleOf,
  cross,
  direction,
  distance,
  dot,
  left,
  middle,
  minus,
  point,
  unit,
} from "./geometry.js";

const BENDS_ONCE = 5, // degrees; these four stand in geometry/fair_curve.py with their reasons
  LEAST = 0.6,
  NEARLY_S = 0.1;
const BENT = [0.05, 4]; // shares of the fair handles between which a curve is bent

const times = (a, b) => point(a.x * b.x - a.y * b.y, a.x * b.y + a.y * b.x);
const turned = (a, radians) => times(a, point(Math.cos(radians), Math.sin(radians)));
const between = (a, b) => Math.atan2(cross(a, b), dot(a, b)); // radians from arrow a to arrow b

function handle(theta, phi) {
  const [st, sp, ct, cp] = [Math.sin(theta), Math.sin(phi), Math.cos(theta), Math.cos(phi)];
  const above = 2 + Math.SQRT2 * (st - sp / 16) * (sp - st / 16) * (ct - cp),
    below = 3 * (1 + ((Math.sqrt(5) - 1) / 2) * ct + ((3 - Math.sqrt(5)) / 2) * cp);
  return above / below < 4 / 3 ? above / below : 4 / 3;
}

/** A fair curve through points; start, end: arrows, or null where it runs as it likes. */
export function fair(points, start = null, end = null, fullness = 1) {
  const n = points.length - 1,
    chord = points.slice(1).map((p, k) => minus(p, points[k])),
    d = chord.map((c) => Math.hypot(c.x, c.y));
  if (n < 1 || d.some((far) => far < 1e-9))
    throw new Error("A curve needs two or more points, and no two of them on one spot.");
  const psi = [0, ...chord.slice(1).map((c, k) => between(chord[k], c)), 0],
    zeros = () => new Array(n + 1).fill(0);
  const [below, above, given] = [zeros(), zeros(), zeros()],
    mid = new Array(n + 1).fill(1);
  if (start) given[0] = between(chord[0], start);
  else {
    above[0] = 1;
    given[0] = -psi[1];
  }
  for (let k = 1; k < n; k++) {
    below[k] = 1 / d[k - 1];
    above[k] = 1 / d[k];
    mid[k] = 2 / d[k - 1] + 2 / d[k];
    given[k] = (-2 * psi[k]) / d[k - 1] - psi[k + 1] / d[k];
  }
  if (end) given[n] = between(chord[n - 1], end);
  else if (!start && n === 1)
    above[0] = 0; // straight
  else below[n] = 1;
  for (let k = 1; k <= n; k++) {
    const f = below[k] / mid[k - 1];
    mid[k] -= f * above[k - 1];
    given[k] -= f * given[k - 1];
  }
  const theta = zeros();
  theta[n] = given[n] / mid[n];
  for (let k = n - 1; k >= 0; k--) theta[k] = (given[k] - above[k] * theta[k + 1]) / mid[k];
  const c = chord.map((way, k) => {
    const [t, p] = [theta[k], -psi[k + 1] - theta[k + 1]],
      a = add(points[k], turned(way, t), handle(t, p) * fullness),
      b = add(points[k + 1], turned(way, -p), -handle(p, t) * fullness);
    return [points[k].x, points[k].y, a.x, a.y, b.x, b.y, points[k + 1].x, points[k + 1].y];
  });
  return { c };
}

// the smaller of the angles by which one cubic turns to the left and to the right, degrees
function turnsBack({ c: [s] }) {
  const at = (k) => point(s[k], s[k + 1]),
    [a, b, c] = [minus(at(2), at(0)), minus(at(4), at(2)), minus(at(6), at(4))];
  const [ab, ac, bc] = [cross(a, b), cross(a, c), cross(b, c)],
    square = ab - ac + bc,
    linear = ac - 2 * ab,
    root = linear * linear - 4 * square * ab;
  const places = [0, 1];
  if (root > 0) {
    const far = -(linear + (linear < 0 ? -1 : 1) * Math.sqrt(root)) / 2;
    for (const u of [far ? ab / far : 0, square ? far / square : 0]) if (u > 0 && u < 1) places.push(u);
  }
  const ways = places
    .sort((u, v) => u - v)
    .map((u) => add(add(add(point(0, 0), a, (1 - u) ** 2), b, 2 * u * (1 - u)), c, u * u));
  const turns = ways.slice(1).map((way, k) => (between(ways[k], way) * 180) / Math.PI);
  const sum = (some) => some.reduce((x, y) => x + y, 0);
  return Math.min(sum(turns.filter((t) => t > 0)), -sum(turns.filter((t) => t < 0)));
}

/** A fair curve between two points with both directions given; it bends once where one bend can do it. */
export function fairBetween(first, last, start, end) {
  const chord = minus(last, first),
    one = fair([first, last], start, end);
  const [leaves, arrives] = [between(chord, start), -between(chord, end)];
  if (leaves * arrives <= 0 || turnsBack(one) <= BENDS_ONCE) return one;
  const back = (fullness) => turnsBack(fair([first, last], start, end, fullness)),
    least = back(LEAST);
  let fullness = LEAST + (1 - LEAST) * Math.min(1, least / BENDS_ONCE - 1);
  if (least <= BENDS_ONCE) {
    let [low, high] = [LEAST, 1];
    for (let n = 0; n < 40; n++) {
      const half = (low + high) / 2;
      [low, high] = back(half) <= BENDS_ONCE ? [half, high] : [low, half];
    }
    fullness = low;
  }
  const [small, large] = [Math.abs(leaves), Math.abs(arrives)].sort((a, b) => a - b);
  return fair([first, last], start, end, 1 - Math.min(1, small / large / NEARLY_S) * (1 - fullness));
}

// how far one cubic lies off the straight line between its ends half-way, above 0 to the left
function halfWayOff({ c: [s] }) {
  const [a, b] = [point(s[0], s[1]), point(s[6], s[7])],
    m = middle(a, b),
    u = unit(minus(b, a));
  const at = (t) => {
    const v = 1 - t,
      [w0, w1, w2, w3] = [v * v * v, 3 * v * v * t, 3 * v * t * t, t * t * t];
    return point(
      w0 * s[0] + w1 * s[2] + w2 * s[4] + w3 * s[6],
      w0 * s[1] + w1 * s[3] + w2 * s[5] + w3 * s[7],
    );
  };
  const along = (t) => dot(minus(at(t), m), u);
  const found = [];
  for (let k = 0; k < 48; k++) {
    let [low, high] = [k / 48, (k + 1) / 48];
    if (along(low) > 0 === along(high) > 0) continue;
    const rises = along(high) > 0;
    for (let n = 0; n < 60; n++) {
      const half = (low + high) / 2;
      if (along(half) > 0 === rises) high = half;
      else low = half;
    }
    found.push(dot(minus(at((low + high) / 2), m), left(u)));
  }
  return found.sort((p, q) => Math.abs(p) - Math.abs(q))[0] ?? 0;
}

/** No curve with these directions has this bend. */
export class BendError extends Error {
  /** least, most: cm that such a curve lies off half-way; side: "left" or "right" of the way from end to end. */
  constructor(least, most, side) {
    super();
    Object.assign(this, { least, most, side });
    this.message = this.said((cm) => `${cm.toFixed(1)} cm`);
  }
  /** The sentence; length(cm): a length in words. */
  said(length) {
    const { least, most, side } = this;
    return `With these directions the curve lies ${length(least)} to ${length(most)} to the ${side} half-way: take a bend between, or change a direction.`;
  }
}

/** A curve from point to point that lies `bend` cm off half-way (above 0: to the left); BendError where none does. */
export function bentBetween(first, last, leaves, arrives, bend) {
  const chord = minus(last, first),
    free = !leaves && !arrives, // part of a circle
    lean = (2 * Math.atan2(2 * bend, distance(first, last)) * 180) / Math.PI;
  const start = free ? direction(angleOf(chord) + lean) : leaves,
    end = free ? direction(angleOf(chord) - lean) : arrives;
  const off = (fullness) => halfWayOff(fair([first, last], start, end, fullness)) - bend;
  let [low, high] = BENT;
  let atLow = off(low);
  const atHigh = off(high);
  if (atLow * atHigh > 0) {
    const [least, most] = [atLow + bend, atHigh + bend].map(Math.abs).sort((a, b) => a - b),
      side = atLow + atHigh + 2 * bend > 0 ? "left" : "right";
    throw new BendError(least, most, side);
  }
  for (let n = 0; n < 60; n++) {
    const half = (low + high) / 2,
      here = off(half);
    if (here * atLow > 0) [low, atLow] = [half, here];
    else high = half;
  }
  return fair([first, last], start, end, (low + high) / 2);
}
