// A curve in work has three handles: its direction at both ends, and the half-way bend.

import {
  WAYS,
  add,
  angleOf,
  closest,
  distance,
  dot,
  endOf,
  flat,
  isLine,
  left,
  middle,
  minus,
  startOf,
  unit,
} from "./geometry.js";
import { RUNNING_ON, SQUARE_TO } from "./sentences.js";
import { readOff } from "./snap.js";

const AWAY = 44; // px from an end to its handle
const LEVEL = 6; // degrees
const LINE = 4;

/** [{field, at}]: the handles of a curve, at: cm. k: px a cm */
export function handlesOf(line, step, k) {
  if (step.verb !== "curve" || !isLine(line)) return [];
  const [start, end] = [startOf(line), endOf(line)];
  const found = [
    { field: "leaving", at: add(start, runs(line, start), AWAY / k) },
    { field: "arriving", at: add(end, runs(line, end), -AWAY / k) },
  ];
  if (step.of.length === 2) found.push({ field: "bend", at: halfWay(line) });
  return found;
}

/** The places of the sentence that a hand fills which pulls a handle to `to`, cm. */
export function bentTo(field, to, line, on, unitName) {
  const [start, end] = [startOf(line), endOf(line)];
  if (field === "bend") {
    const off = dot(minus(to, middle(start, end)), left(unit(minus(end, start))));
    return { bend: readOff(Math.abs(off), unitName), side: off < 0 ? "right" : "left" };
  }
  const [here, way] = field === "leaving" ? [start, minus(to, start)] : [end, minus(end, to)];
  if (distance(here, to) < 1e-6) return {};
  return { [field]: bearing(angleOf(way), here, on) };
}

function bearing(angle, here, on) {
  const plain = Object.keys(WAYS).find((word) => between(WAYS[word], angle) < LEVEL);
  if (plain) return plain;
  for (const [name, line] of on) {
    if (!isLine(line)) continue;
    const near = closest(line, here);
    if (near.gap > 0.01) continue;
    const turn = between(angleOf(near.way), angle);
    if (Math.min(turn, 180 - turn) < LINE) return RUNNING_ON + name;
    if (Math.abs(turn - 90) < LINE) return SQUARE_TO + name;
  }
  return `at ${String(Math.round(angle)).replace("-", "− ")}°`;
}

const between = (a, b) => Math.abs(((((a - b) % 360) + 540) % 360) - 180);

function runs(line, here) {
  const { way } = closest(line, here);
  return way;
}

function halfWay(line) {
  const [start, end] = [startOf(line), endOf(line)];
  const [mid, u] = [middle(start, end), unit(minus(end, start))];
  const places = flat(line, 40);
  return places.reduce((best, p) =>
    Math.abs(dot(minus(p, mid), u)) < Math.abs(dot(minus(best, mid), u)) ? p : best,
  );
}
