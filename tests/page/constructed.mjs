// Reads steps of the table with what they rest on, and writes what the page makes of each; used by a Python test.

import { readFileSync } from "node:fs";
import { curveOf } from "../../patternlib/assess/table/page/curves.js";
import { construct } from "../../patternlib/assess/table/page/geometry.js";

const unpacked = (v) => (Array.isArray(v) ? { x: v[0], y: v[1] } : v);
const packed = (v) => (v === undefined ? null : typeof v === "object" && "x" in v ? [v.x, v.y] : v);
const given = JSON.parse(readFileSync(0, "utf8"));
const made = given.map(({ step, on, measures, way, angles }) => {
  const get = (name) => unpacked(on[name]);
  const found = Object.fromEntries(Object.entries(measures).map(([field, value]) => [field, { value }]));
  return packed(construct(step, get, found, way) ?? curveOf(step, get, found, (text) => angles[text]));
});
process.stdout.write(JSON.stringify(made));
