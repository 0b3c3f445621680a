// What a hand that pulls on the paper does, as ruler and set square would hold it. Only points and lines that are
// on the paper already attract; nothing here knows what is wanted.

import { CM_PER_INCH } from "./measure.js";
import {
  WAYS,
  add,
  angleOf,
  closest,
  cross,
  direction,
  distance,
  dot,
  isLine,
  isPoint,
  left,
  lengthOf,
  minus,
  startOf,
  endOf,
  unit,
} from "./geometry.js";

const NEAR = 11,
  LEVEL = 7; // px
const UPRIGHT = 6,
  TOWARD = 3.5,
  SQUARE = 3.5; // degrees

// a length as a hand reads it off: whole millimetres, or eighths of an inch
export function readOff(cm, unitName) {
  if (unitName !== "in") return (Math.round(cm * 10) / 10).toFixed(1);
  const eighths = Math.round((cm / CM_PER_INCH) * 8),
    whole = Math.floor(eighths / 8);
  let top = eighths % 8,
    low = 8;
  while (top && top % 2 === 0) {
    top /= 2;
    low /= 2;
  }
  return [whole || !top ? whole : "", top ? `${top}/${low}` : ""].join(" ").trim();
}

const between = (a, b) => Math.abs(((a - b + 540) % 360) - 180);

// from: name of the point under the hand; at: where the hand is, cm; on: name -> value; k: px a cm
export function pulled(from, at, on, k, unitName) {
  const start = on.get(from),
    v = minus(at, start),
    far = Math.hypot(v.x, v.y);
  if (far * k < 6) return null;
  const points = [...on].filter(([name, p]) => name !== from && isPoint(p));
  const target = nearest(points, at);
  if (target && target.gap * k < NEAR)
    return { verb: "rule", parts: { of0: from, of1: target.name }, at: on.get(target.name) };
  const angle = angleOf(v);
  const way = Object.keys(WAYS).find((w) => between(WAYS[w], angle) < UPRIGHT);
  if (way) return upright(from, start, way, v, points, k, unitName);
  const toward = best(
    points
      .filter(([, p]) => distance(p, start) > 0.5)
      .map(([name, p]) => [name, between(angleOf(minus(p, start)), angle)]),
    TOWARD,
  );
  if (toward) {
    const u = unit(minus(on.get(toward), start)),
      measure = readOff(dot(v, u), unitName);
    return { verb: "toward", parts: { of0: from, measure, of1: toward } };
  }
  const square = best(
    ends(from, start, on).map(([name, p]) => [name, Math.abs(between(angleOf(minus(p, start)), angle) - 90)]),
    SQUARE,
  );
  if (square) {
    const u = unit(minus(on.get(square), start)),
      side = cross(u, v) > 0 ? "left" : "right";
    return {
      verb: "square",
      parts: { of0: from, measure: readOff(Math.abs(dot(v, left(u))), unitName), of1: square, side },
    };
  }
  const degrees = Math.round(angle);
  const measure = readOff(dot(v, direction(degrees)), unitName);
  return { verb: "go", parts: { of0: from, way: `at ${String(degrees).replace("-", "− ")}°`, measure } };
}

function upright(from, start, way, v, points, k, unitName) {
  const u = direction(WAYS[way]),
    far = dot(v, u),
    up = way === "up" || way === "down";
  const end = add(start, u, far);
  const gaps = points
    .filter(([, p]) => Math.abs(up ? p.y - start.y : p.x - start.x) * k > NEAR)
    .map(([name, p]) => [name, Math.abs(up ? p.y - end.y : p.x - end.x) * k]);
  const same = best(gaps, LEVEL);
  if (same) return { verb: "level", parts: up ? { of0: same, of1: from } : { of0: from, of1: same } };
  return { verb: "go", parts: { of0: from, way, measure: readOff(far, unitName) } };
}

// the far ends of straight lines that begin or end at a point, as points that are on the paper
function ends(from, start, on) {
  const found = [];
  for (const [, line] of on) {
    if (!isLine(line)) continue;
    for (const [one, other] of [
      [startOf(line), endOf(line)],
      [endOf(line), startOf(line)],
    ]) {
      if (distance(one, start) > 1e-6) continue;
      const named = [...on].find(([name, p]) => name !== from && isPoint(p) && distance(p, other) < 1e-6);
      if (named && Math.abs(distance(one, other) - lengthOf(line)) < 1e-6) found.push(named);
    }
  }
  return found;
}

function best(gaps, most) {
  const [first] = gaps.filter(([, gap]) => gap < most).sort((a, b) => a[1] - b[1]);
  return first?.[0];
}

export function nearest(points, at) {
  let found = null;
  for (const [name, p] of points) {
    const gap = distance(p, at);
    if (!found || gap < found.gap) found = { name, gap };
  }
  return found;
}

export function nearestLine(on, at) {
  let found = null;
  for (const [name, line] of on) {
    if (!isLine(line)) continue;
    const place = closest(line, at);
    if (!found || place.gap < found.gap) found = { name, ...place };
  }
  return found;
}

// a hand that slides along a line walks the tape along it, from the end that is nearer
export function slid(name, at, on, unitName) {
  const line = on.get(name),
    { walk } = closest(line, at),
    whole = lengthOf(line);
  const fromEnd = walk > whole / 2;
  return {
    verb: "walk",
    parts: {
      measure: readOff(fromEnd ? whole - walk : walk, unitName),
      of0: name,
      end: fromEnd ? "end" : "start",
    },
  };
}
