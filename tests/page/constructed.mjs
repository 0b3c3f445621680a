// Reads steps of the table with what they rest on, and writes what the page makes of each; used by a Python test.

import { readFileSync } from "node:fs";
import { construct } from "../../patternlib/assess/table/page/geometry.js";

const unpacked = (v) => (Array.isArray(v) ? { x: v[0], y: v[1] } : v);
const packed = (v) => (v === undefined ? null : typeof v === "object" && "x" in v ? [v.x, v.y] : v);
const given = JSON.parse(readFileSync(0, "utf8"));
const made = given.map(({ step, on, measure, way }) => {
  const get = (name) => unpacked(on[name]);
  return packed(construct(step, get, { measure: { value: measure } }, way));
});
process.stdout.write(JSON.stringify(made));
