// Pieces in the sentence: names that follow, edges that are offered, and the wheel under the hand.

import assert from "node:assert/strict";
import test from "node:test";
import { Desk } from "../../patternlib/assess/table/page/desk.js";
import { PieceLayer } from "../../patternlib/assess/table/page/pieces.js";
import { atEnds, carriedOn, cornerAt, edgesLeft, nameOf } from "../../patternlib/assess/table/page/traced.js";
import { under, wheeled } from "../../patternlib/assess/table/page/wheel.js";

const VERBS = [
  ["go", "point", "From {of0:point} go {way:way} {measure:length}: mark {name:name}", ""],
  ["rule", "line", "Rule from {of0:point} to {of1:point}: call it {name:name}", ""],
  [
    "trace",
    "edge",
    "Trace {of0:line}[ from {of1:thing} to {of2:thing}] onto {piece:piece}: {edge:edge name}",
    "{piece}: {edge}",
  ],
  [
    "allowance",
    "finish",
    "Beyond {of0:edge} add {measure:width} ({turn:turn})",
    "{of0.piece}: allowance of {of0.edge}",
  ],
  [
    "notch",
    "finish",
    "Walk {measure:length} along {of0:edge} from {of1:at}: {count:notch}",
    "{of0.piece}: notches of {of0.edge}",
  ],
  ["cut line", "finish", "Draw the cut line round {piece:piece}", "{piece}: cut line"],
].map(([key, gives, sentence, named]) => ({ key, word: key, hand: "", gives, sentence, about: "", named }));

const line = (a, b) => ({
  c: [
    [...a, (2 * a[0] + b[0]) / 3, (2 * a[1] + b[1]) / 3, (a[0] + 2 * b[0]) / 3, (a[1] + 2 * b[1]) / 3, ...b],
  ],
});
const GIVEN = {
  A: [0, 0],
  B: [10, 0],
  C: [10, 20],
  foot: line([0, 0], [10, 0]),
  side: line([10, 0], [10, 20]),
  far: line([40, 0], [50, 0]),
};
const trace = (of, edge) => ({ name: `apron: ${edge}`, verb: "trace", of, piece: "apron", edge, unit: "cm" });

function desk(...steps) {
  const sheet = {
    steps,
    past: [],
    ahead: [],
    edits: 0,
    drawn: {},
    faults: {},
    pieces: [],
    added: {},
    by: "",
  };
  const asked = ["hem", "side"].map((edge) => ({ name: `apron: allowance of ${edge}`, kind: "allowance" }));
  const setup = {
    verbs: VERBS,
    numbers: [],
    given: GIVEN,
    asked,
    pieces: { apron: ["hem", "side", "top"] },
    student: "lena",
    exercise: { id: "x" },
  };
  const state = { setup, sheet, unit: "cm" };
  return new Desk({
    get: (name) => state[name],
    on: () => {},
    send: () => {},
    set: () => {},
    save_changes: () => {},
  });
}

test("a step that asks for no name gets one from its places; a second notch of an edge is counted", () => {
  const on = desk(trace(["foot"], "hem"));
  assert.equal(nameOf(on, { verb: "allowance", of: ["apron: hem"] }), "apron: allowance of hem");
  const notch = { verb: "notch", of: ["apron: hem", "A"], measure: "2", count: "single" };
  assert.equal(nameOf(on, notch), "apron: notches of hem");
  on.set({ ...notch, name: "apron: notches of hem" });
  assert.equal(nameOf(on, notch), "apron: notches of hem 2");
  assert.equal(nameOf(on, notch, 1), "apron: notches of hem", "the step that is changed keeps its name");
});

test("an edge that is called otherwise takes what hangs from it along, names and all", () => {
  const allowance = {
    name: "apron: allowance of hem",
    verb: "allowance",
    of: ["apron: hem"],
    measure: "3",
    turn: "hem",
  };
  const on = desk(trace(["foot"], "hem"), allowance);
  on.changeStep(0, trace(["foot"], "top"));
  assert.deepEqual([on.steps[1].name, on.steps[1].of], ["apron: allowance of top", ["apron: top"]]);
  on.back();
  assert.deepEqual([on.steps[0].edge, on.steps[1].name], ["hem", "apron: allowance of hem"]);
});

test("the cut line hangs from every edge of its piece", () => {
  const cut = { name: "apron: cut line", verb: "cut line", of: [], piece: "apron" };
  const on = desk(trace(["foot"], "hem"), trace(["side"], "side"), cut);
  assert.deepEqual(on.hanging("apron: hem"), ["apron: cut line"]);
});

test("what is still to be done is offered", () => {
  const on = desk(trace(["foot"], "hem"), trace(["side"], "side"));
  assert.deepEqual(edgesLeft(on, "apron"), ["top"]);
  assert.equal(carriedOn(on, "allowance", null).of0, "apron: hem");
  const set = {
    name: "apron: allowance of hem",
    verb: "allowance",
    of: ["apron: hem"],
    measure: "3",
    turn: "hem",
  };
  on.set(set);
  assert.deepEqual(carriedOn(on, "allowance", set), { of0: "apron: side", measure: "3", turn: "hem" });
});

test("an edge's ends are known by what touches them, and a corner by the two edges that meet", () => {
  const on = desk(trace(["foot"], "hem"), trace(["side"], "side"));
  const names = atEnds(on, GIVEN.foot, 2, "apron: hem");
  assert.deepEqual(names.slice(0, 3), ["A", "B", "apron: side"]);
  assert.ok(!names.includes("far") && !names.includes("C"));
  assert.deepEqual(cornerAt(on, { x: 10, y: 0 }, 2), ["apron: hem", "apron: side"]);
  assert.equal(cornerAt(on, { x: 0, y: 0 }, 2), null);
});

test("a wheel that is pulled stops at points, and runs the way it is pulled", () => {
  const on = desk().on(),
    held = (x, y) => under({ x, y }, on, new Map(), 1);
  assert.deepEqual(wheeled(held(10, 0.4), { x: 10.1, y: 19 }, on, new Map()), {
    of0: "side",
    of1: "",
    of2: "",
  });
  assert.deepEqual(wheeled(held(10, 19), { x: 9.8, y: 1 }, on, new Map()), {
    of0: "side",
    of1: "C",
    of2: "B",
  });
  assert.equal(wheeled(held(10, 19), { x: 30, y: 19 }, on, new Map()), null);
  assert.equal(wheeled(held(25, 25), { x: 30, y: 19 }, on, new Map()), null);
});

test("paper without pieces shows what it did before", () => {
  const bare = { steps: [{ name: "A" }], values: new Map() };
  const layer = new PieceLayer({ desk: bare, view: {} });
  assert.equal(layer.box(), null);
  assert.deepEqual(layer.places(), []);
});
