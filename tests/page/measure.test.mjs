// A measure read in the page comes to the same as in Python: both are held to one list.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { readMeasure, writeLength } from "../../patternlib/assess/table/page/measure.js";

const list = JSON.parse(readFileSync(new URL("../data/table_measures.json", import.meta.url)));
const names = new Map(Object.entries(list.names).map(([name, [value, kind]]) => [name, { value, kind }]));

for (const [text, unit, wanted, value, refusal] of list.read) {
  test(`'${text}' in ${unit} as ${wanted}`, () => {
    if (value === null) {
      assert.throws(
        () => readMeasure(text, names, wanted, unit),
        (fault) => fault.message.includes(refusal),
      );
    } else assert.ok(Math.abs(readMeasure(text, names, wanted, unit).value - value) < 1e-8);
  });
}

test("lengths are written as a tape shows them", () => {
  assert.equal(writeLength(25.6, "cm"), "25.6 cm");
  assert.equal(writeLength(62.23, "in"), "24 1/2 in");
  assert.equal(writeLength(0, "in"), "0 in");
});
