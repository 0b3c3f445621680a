// Lengths on the page: the same table of spellings as the library's own reader.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { inCm, inEighths, readLength, readPlain, sayLength } from "../../patternlib/boards/page/lengths.js";

const table = JSON.parse(readFileSync(new URL("../data/length_spellings.json", import.meta.url), "utf8"));

for (const [text, unit, meant] of table) {
  test(`'${text}' in ${unit}`, () => {
    const read = readLength(text, unit);
    if (typeof meant === "string") {
      assert.equal(read.fault, meant);
      assert.equal(read.cm, undefined);
      assert.match(read.advice, /^[A-Z].*\.$/);
    } else assert.ok(Math.abs(read.cm - meant) < 1e-8, `read as ${read.cm ?? read.fault}`);
  });
}

test("what is written in eighths is read again within half an eighth", () => {
  for (let cm = -30; cm < 120; cm += 0.37) {
    const read = readLength(inEighths(cm), "in");
    assert.ok(Math.abs(read.cm - cm) <= 2.54 / 16 + 1e-9, `${cm}: ${inEighths(cm)} read as ${read.cm}`);
    assert.equal(readLength(inCm(cm), "cm").cm, Math.round(cm * 100) / 100);
  }
});

test("inches stand as a ruler shows them", () => {
  assert.equal(inEighths(2.54), "1");
  assert.equal(inEighths(7), "≈ 2 3/4");
  assert.equal(inEighths(-1.27), "−1/2");
  assert.equal(inEighths(52.07), "20 1/2");
  assert.equal(sayLength(52.07, "in"), "20 1/2 in");
  assert.equal(sayLength(52.07, "cm"), "52.07 cm");
});

test("a share or an angle is a number without a unit", () => {
  assert.deepEqual(readPlain("19,5"), { number: 19.5 });
  assert.deepEqual(readPlain("−3"), { number: -3 });
  assert.deepEqual(readPlain("7 1/2"), { number: 7.5 });
  for (const wrong of ["", "7 cm", "ten", "1,500", "1/0"]) assert.ok(readPlain(wrong).fault, wrong);
});
