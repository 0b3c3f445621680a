// What the drafting table says comes next in a guided exercise.

import assert from "node:assert/strict";
import test from "node:test";
import { nextOf } from "../../patternlib/assess/table/page/nextstep.js";

const step = (...names) => ({ names });
const STEPS = [step("hip"), step("hem"), step("angle"), step("side"), step("front: hem", "front: side")];
const ASKED = ["hip", "hem", "side", "front: side"];
const next = (...drawn) => nextOf(STEPS, drawn, ASKED)?.names[0];

test("the steps come in order", () => {
  assert.equal(next(), "hip");
  assert.equal(next("hip"), "hem");
  assert.equal(next("A", "hip", "hem"), "angle");
});

test("who draws in another order goes on from there, and what was left out comes at the end", () => {
  assert.equal(next("hip", "hem", "side"), "front: hem"); // without the angle
  assert.equal(next("hem"), "angle");
  assert.equal(next("hem", "angle", "side", "front: hem", "front: side"), "hip");
});

test("a step of many parts stays until all of them are done, then nothing is left", () => {
  assert.equal(next("hip", "hem", "side", "front: side"), "front: hem");
  assert.equal(next("hip", "hem", "side", "front: hem", "front: side"), undefined);
});
