// A comparison that was overtaken is not shown as that of the draft which lies there now.

import assert from "node:assert/strict";
import test from "node:test";
import { Desk } from "../../patternlib/assess/table/page/desk.js";

const RIGHT = { lines: [{ step: "side hip", verdict: "right" }], said: "8 of 8.", next: "" };

function table() {
  const heard = {};
  const parts = {
    setup: { verbs: [], numbers: [], given: {}, asked: [], next: [], pieces: {}, exercise: { id: "02a" } },
    sheet: { steps: [], past: [], ahead: [], edits: 0, drawn: {}, faults: {}, pieces: [] },
    unit: "cm",
  };
  const desk = new Desk({
    get: (name) => parts[name],
    on: (what, then) => {
      heard[what] = then;
    },
    send: () => {},
  });
  return { desk, answer: () => heard["msg:custom"]({ who: desk.who, compared: RIGHT }) };
}

test("what was compared is shown", () => {
  const { desk, answer } = table();
  desk.compare();
  answer();
  assert.equal(desk.compared.said, "8 of 8.");
});

test("what was changed while it was compared is not judged; the table says so", () => {
  const { desk, answer } = table();
  desk.compare();
  desk.apply([]);
  answer();
  assert.deepEqual(desk.compared.lines, []);
  assert.match(desk.compared.said, /You changed something meanwhile/);
  assert.equal(desk.comparing, false);
  desk.compare();
  answer();
  assert.equal(desk.compared.said, "8 of 8.");
});
