// Steps that give a curve or a place on one, computed here: fair curves, parts, lines beside, joined, crossings.
// undefined where only Python can say.

import {
  WAYS,
  add,
  angleOf,
  closest,
  cross,
  direction,
  distance,
  dot,
  endOf,
  isLine,
  isPoint,
  left,
  lengthOf,
  minus,
  point,
  startOf,
  straight,
  walkTo,
  wayAlong,
} from "./geometry.js";
import { bentBetween, fair, fairBetween } from "./fair.js";
import { RUNNING_ON, SQUARE_TO, TOWARD } from "./sentences.js";

const NEAR = 1e-6, // cm
  STRAIGHT = 1e-9,
  CHORDS = 24;

/** What the step gives. get: name -> value; measures: field -> quantity; degrees(text): an angle as it is written. */
export function curveOf(step, get, measures, degrees) {
  const p = step.of.map(get),
    m = measures.measure?.value;
  switch (step.verb) {
    case "curve":
      return drawn(step, p, measures.bend?.value, (text, at, onward) =>
        bearing(text, at, onward, get, degrees),
      );
    case "part":
      return p.every((v, k) => (k ? isPoint(v) : isLine(v))) ? part(...p) : undefined;
    case "trace":
      return isPoint(p[1]) && isPoint(p[2]) ? part(...p) : undefined;
    case "beside":
      return beside(p[0], step.side === "left" ? -m : m);
    case "join":
      return joined(p);
    case "upright":
      return only(meets(p[0], { at: p[1], way: point(0, 1) }));
    case "level on":
      return only(meets(p[0], { at: p[1], way: point(1, 0) }));
    case "crossing":
      return isLine(p[1]) && isStraight(p[1]) ? crossed(p[0], p[1]) : undefined;
    default:
      return undefined;
  }
}

function drawn(step, points, bend, read) {
  if (points.length < 2) return undefined;
  const last = points.length - 1;
  const start = read(step.leaving || "", points[0], minus(points[1], points[0])),
    end = read(step.arriving || "", points[last], minus(points[last], points[last - 1]));
  if (bend !== undefined)
    return last > 1
      ? undefined
      : bentBetween(points[0], points[1], start, end, step.side === "left" ? bend : -bend);
  return last === 1 && start && end
    ? fairBetween(points[0], points[1], start, end)
    : fair(points, start, end);
}

/** A curve's direction at a point, as an arrow; onward: the way it must go on, which tells left from right. */
function bearing(written, at, onward, get, degrees) {
  const text = written.trim();
  if (!text) return null;
  if (text.toLowerCase() in WAYS) return direction(WAYS[text.toLowerCase()]);
  if (text.startsWith(TOWARD)) return direction(angleOf(minus(get(text.slice(TOWARD.length)), at)));
  for (const word of [SQUARE_TO, RUNNING_ON]) {
    if (!text.startsWith(word)) continue;
    const { way } = closest(get(text.slice(word.length)), at),
      arrow = word === SQUARE_TO ? left(way) : way;
    return dot(arrow, onward) >= 0 ? arrow : point(-arrow.x, -arrow.y);
  }
  return direction(degrees(text));
}

const at = (s, k) => point(s[k], s[k + 1]);
const mixed = (a, b, t) => add(a, minus(b, a), t);
const turnedRound = ({ c }) => ({
  c: [...c].reverse().map((s) => [s[6], s[7], s[4], s[5], s[2], s[3], s[0], s[1]]),
});
const isStraight = ({ c }) =>
  c.length === 1 &&
  [2, 4].every(
    (k) => Math.abs(cross(minus(at(c[0], k), at(c[0], 0)), minus(at(c[0], 6), at(c[0], 0)))) < STRAIGHT * 100,
  );

function part(line, from, to) {
  const [a, b] = [closest(line, from), closest(line, to)];
  if (Math.abs(a.walk - b.walk) < 1e-6) return undefined;
  if (a.walk > b.walk) return turnedRound(part(line, to, from));
  const c = [];
  for (let i = a.i; i <= b.i; i++) {
    const [t, u] = [i === a.i ? a.t : 0, i === b.i ? b.t : 1];
    if (u - t > 1e-7) c.push(piece(line.c[i], t, u));
  }
  return { c };
}

/** The part of one cubic from t to u. */
function piece(s, t, u) {
  const cut = (z, v) => {
    const [p, q, r] = [mixed(z[0], z[1], v), mixed(z[1], z[2], v), mixed(z[2], z[3], v)],
      [e, f] = [mixed(p, q, v), mixed(q, r, v)],
      g = mixed(e, f, v);
    return [
      [z[0], p, e, g],
      [g, f, r, z[3]],
    ];
  };
  const [, tail] = cut(
    [0, 2, 4, 6].map((k) => at(s, k)),
    t,
  );
  const [head] = cut(tail, t < 1 ? (u - t) / (1 - t) : 1);
  return head.flatMap(({ x, y }) => [x, y]);
}

function beside(line, off) {
  const whole = lengthOf(line),
    n = isStraight(line) ? 1 : Math.min(Math.max(1, Math.round(whole / 2)), 60);
  const ways = [];
  const places = Array.from({ length: n + 1 }, (_, k) => {
    const spot = k === 0 ? startOf(line) : k === n ? endOf(line) : walkTo(line, (whole * k) / n),
      way = wayAlong(line, (whole * k) / n);
    ways.push(way);
    return add(spot, left(way), -off);
  });
  return n === 1 ? straight(...places) : fair(places, ways[0], ways[n]);
}

function joined(lines) {
  for (let k = 1; k < lines.length; k++)
    if (distance(endOf(lines[k - 1]), startOf(lines[k])) > NEAR) return undefined;
  return { c: lines.flatMap(({ c }) => c) };
}

/** The places where a line crosses a straight one without end, in order. */
function meets(line, { at: p, way }) {
  const found = [];
  const off = (s, t) => cross(way, minus(spotOn(s, t), p));
  line.c.forEach((s) => {
    for (let k = 0; k < CHORDS; k++) {
      let [low, high] = [k / CHORDS, (k + 1) / CHORDS];
      const [a, b] = [off(s, low), off(s, high)];
      if (Math.abs(a) < NEAR) found.push(spotOn(s, low));
      if (k === CHORDS - 1 && Math.abs(b) < NEAR) found.push(spotOn(s, high));
      if (Math.abs(a) < NEAR || Math.abs(b) < NEAR || a > 0 === b > 0) continue;
      for (let n = 0; n < 60; n++) {
        const half = (low + high) / 2;
        if (off(s, half) > 0 === a > 0) low = half;
        else high = half;
      }
      found.push(spotOn(s, (low + high) / 2));
    }
  });
  return found.filter((q, i) => !i || distance(q, found[i - 1]) > 1e-4);
}

const only = (places) => (places.length === 1 ? places[0] : undefined);

function crossed(line, other) {
  const [a, b] = [startOf(other), endOf(other)],
    way = minus(b, a),
    long = dot(way, way);
  const on = meets(line, { at: a, way }).filter((q) => {
    const share = dot(minus(q, a), way) / long;
    return share > -1e-6 && share < 1 + 1e-6;
  });
  return only(on);
}

function spotOn(s, t) {
  const v = 1 - t,
    [w0, w1, w2, w3] = [v * v * v, 3 * v * v * t, 3 * v * t * t, t * t * t];
  return point(w0 * s[0] + w1 * s[2] + w2 * s[4] + w3 * s[6], w0 * s[1] + w1 * s[3] + w2 * s[5] + w3 * s[7]);
}
