// What differs from the start, in lines and in words; and the edges whose length is pinned.

import assert from "node:assert/strict";
import test, { mock } from "node:test";
import { Changes, changeOf, middleOf, outlines, sayChange } from "../../patternlib/boards/page/changes.js";
import { board } from "./fake_board.mjs";

mock.timers.enable({ apis: ["setTimeout"] });

test("a difference has its sign and unit, and a tiny one is not said", () => {
  assert.equal(sayChange(1.2, "cm"), "+1.2 cm");
  assert.equal(sayChange(-0.4, "cm"), "−0.4 cm");
  assert.equal(sayChange(0.04, "cm"), "");
  assert.equal(sayChange(1.27, "in"), "+1/2 in");
  assert.equal(sayChange(-0.1, "in"), "");
});

test("the middle of a path is half-way along it", () => {
  assert.deepEqual(middleOf("m0 0l100 0"), [50, 0]);
  assert.deepEqual(middleOf("m10 20l100 0l0 -20"), [70, 20]);
  const [x, y] = middleOf("m0 0c0 50 100 50 100 0");
  assert.ok(Math.abs(x - 50) < 1 && y > 20 && y < 40);
});

test("lines that lie elsewhere but have their old shape do not differ", () => {
  const entry = (style, d) => [0, style, "seam lines", "", "", d];
  const items = new Map([
    ["0", entry("seam", "m5 5l10 0")],
    ["1", entry("seam", "m5 5l14 0")],
    ["2", entry("cut", "m5 5l18 0")],
  ]);
  const start = { lines: { 0: "m0 0l10 0", 1: "m5 5l10 0", 2: "m5 5l10 0", 9: "m1 1l1 1" } };
  assert.deepEqual(outlines(start, items), [["1", "m5 5l10 0"]]);
  const cut = new Map([["2", items.get("2")]]);
  assert.deepEqual(outlines(start, cut), [["2", "m5 5l10 0"]], "the cut line, where only that differs");
});

test("a difference stands beside a label, stays where it was, and is left out where there is no room", () => {
  const changes = { lens: { width: 500, height: 300 }, ways: new Map() };
  const room = (...asked) => Changes.prototype.room.call(changes, ...asked);
  const label = [80, 90, 120, 105]; // on the middle of the edge
  const taken = [label];
  assert.deepEqual(room("a/hem", [100, 100], "+1 cm", taken, false), [100, 119]);
  assert.equal(taken.length, 2);
  assert.deepEqual(room("a/hem", [100, 100], "+1 cm", [], false), [100, 119], "where it was last");
  assert.deepEqual(room("a/top", [100, 100], "+1 cm", [], false), [100, 104]);
  const full = [[0, 0, 500, 300]];
  assert.equal(room("a/side", [100, 100], "+1 cm", full, false), null);
  assert.deepEqual(room("a/side", [100, 100], "+1 cm", full, true), [100, 104]);
  assert.equal(room("a/side", [501, 100], "+1 cm", [], true), null);
});

test("the start is the first picture till Python says how it lies beside a later one", () => {
  const { desk, state, set } = board();
  desk.base.facts.set("a/hem", ["hem", 60, 2, "", []]);
  desk.base.items.set("8", [0, "grain", "marks", "", "", "m0 0l0 9"]);
  assert.equal(desk.start().lengths["a/hem"], 60);
  assert.deepEqual(Object.keys(desk.start().lines), ["0"], "outlines only, as Python gives them later");
  desk.current = { ...desk.base, facts: new Map([["a/hem", ["hem", 61.2, 2, "", []]]]) };
  assert.equal(changeOf(desk, "a/hem"), "+1.2 cm");
  desk.current.facts.set("a/hem", ["hem", 60.25, 2, "", []]);
  assert.equal(changeOf(desk, "a/hem"), "+0.3 cm");
  assert.equal(changeOf(desk, "a/hem", 100), "+0.25 cm", "as exact as the length beside it");
  assert.equal(changeOf(desk, "a/side"), "");
  state.values = { ...state.values, length: 70 };
  const start = { lines: { 0: "m0 0l60 0" }, lengths: {} };
  set({ picture: { n: 2, by: "", error: "", all: { ...state.picture.all, start } } });
  assert.equal(desk.start(), start);
  set({ picture: { n: 3, by: "", error: "", all: { ...state.picture.all, start: undefined } } });
  assert.equal(desk.start(), null);
});

test("an edge is pinned and let go", () => {
  const { desk } = board();
  let told = 0;
  const pinned = () => {
    told += 1;
  };
  const view = new Proxy({ seen: false, pinned }, { get: (own, name) => own[name] ?? (() => {}) });
  desk.views.add(view);
  desk.pin("a/hem");
  desk.pin("b/hem");
  assert.deepEqual(desk.pins, ["a/hem", "b/hem"]);
  desk.pin("a/hem");
  assert.deepEqual(desk.pins, ["b/hem"]);
  assert.equal(told, 3);
});
