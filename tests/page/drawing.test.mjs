// Sums of the page: pictures from differences, the lens, movable points, what is asked for ahead, labels.

import assert from "node:assert/strict";
import test from "node:test";
import { near, nearSteps, rowsAround } from "../../patternlib/boards/page/ahead.js";
import { Glide, shift } from "../../patternlib/boards/page/glide.js";
import { arrangeLabels } from "../../patternlib/boards/page/labels.js";
import { Lens } from "../../patternlib/boards/page/lens.js";
import { changed, HANDLE, STROKE, Store, TEXT, whole } from "../../patternlib/boards/page/pictures.js";
import { amounts, reach } from "../../patternlib/boards/page/points.js";

const close = (a, b) => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);

test("a difference changes a path, takes an item away and adds one", () => {
  const entry = (d) => [0, "cut", "cut lines", "", "", d];
  const base = whole(
    { items: { a: entry("m0 0"), b: entry("m1 1") }, facts: { e: ["side", 4] }, box: [0, 0, 1, 1] },
    3,
  );
  const next = changed(base, { items: { a: "m5 5", b: 0, c: entry("m2 2") }, box: [0, 0, 2, 2] });
  assert.deepEqual([...next.items.keys()], ["a", "c"]);
  assert.equal(next.items.get("a")[5], "m5 5");
  assert.equal(base.items.get("a")[5], "m0 0");
  assert.equal(next.facts, base.facts);
  assert.deepEqual(next.box, [0, 0, 2, 2]);
  assert.deepEqual(changed(base, { error: "No." }), { error: "No." });
});

test("the store forgets what was kept longest ago", () => {
  const store = new Store(2);
  for (const key of ["a", "b", "a", "c"]) store.keep(key, key);
  assert.deepEqual([store.get("a"), store.has("b"), store.get("c")], ["a", false, "c"]);
});

test("places near the hand lie on the slider's steps, nearest first, its ends among them", () => {
  const slider = { low: 40, high: 90, heading: 1 };
  const values = near(slider, 60, { step: 0.5 }, 200);
  assert.deepEqual(values[0], [60, 0]);
  assert.ok(values.every(([v]) => v >= 40 && v <= 90));
  const far = new Map(values);
  assert.ok(far.get(60.5) < far.get(59.5), "the way the hand goes comes first");
  assert.ok(far.has(40) && far.has(90));
  assert.deepEqual(nearSteps(0, 3), [
    [1, 2],
    [2, 1],
    [0, 0],
  ]);
});

test("rows around two values start with the present one", () => {
  const places = (here) => [
    [here, 0],
    [here + 1, 1],
    [here - 1, 1],
  ];
  const rows = rowsAround([5, 7], 0, [
    { i: 0, places: places(5) },
    { i: 1, places: places(7) },
  ]);
  assert.equal(rows.length, 9);
  assert.deepEqual(rows[0], [[5, 7], 0]);
});

test("a point goes as far as the hand, whether one or two values move it", () => {
  const desk = {
    at: { down: 0, across: 1 },
    sliders: [
      { low: 4, step: 0.5 },
      { low: 10, step: 0.1 },
    ],
    row: [7, 14],
  };
  const [far] = amounts([[0, 1]], 3, 2);
  close(far, 2);
  const both = amounts(
    [
      [-0.5, 0],
      [0, -1],
    ],
    3,
    2,
  );
  close(both[0] * -0.5, 3);
  close(both[1] * -1, 2);
  assert.deepEqual(reach(desk, { down: [0, 1] }, [7, 14], 0, 1.2, true), { 0: 8 });
  const fine = reach(desk, { down: [0, 1] }, [7, 14], 0, 0.1, false);
  close(fine[0], 7.1);
});

test("the lens shows all of a drawing, and what lies under the fingers stays there", () => {
  const lens = new Lens();
  lens.resize(800, 500, [0, 0, 40000, 30000]);
  for (const [x, y] of [
    [0, 0],
    [40000, 30000],
  ]) {
    assert.ok(lens.x(x) >= 0 && lens.x(x) <= 800 && lens.y(y) >= 0 && lens.y(y) <= 500);
  }
  const [px, py] = [lens.x(10000), lens.y(5000)];
  lens.zoom(2, px, py);
  close(lens.x(10000), px);
  close(lens.y(5000), py);
  assert.equal(lens.fit, false);
  assert.ok(!lens.outgrown([0, 0, 90000, 30000]), "a sheet that was zoomed keeps its place");
});

test("of two labels on one another the larger stays; none lies under a point", () => {
  const node = () => ({ style: {}, setAttribute() {} });
  const label = (words, x, y, size) => ({
    entry: [1, "plain", "labels", words, x, y, size, "start", 0],
    node: node(),
  });
  const lens = new Lens();
  Object.assign(lens, { k: 0.01, width: 800, height: 500 });
  const looks = { textSizes: [9, 13], bold: [] };
  const shown = [
    label("lesser", 10000, 10000, 900),
    label("larger", 10000, 10000, 1200),
    label("apart", 40000, 30000, 900),
  ];
  arrangeLabels(shown, lens, looks, new Set());
  assert.deepEqual(
    shown.map((s) => s.node.style.visibility),
    ["hidden", "", ""],
  );
  shown.push({ entry: [2, 40000, 30000, "p", {}, "Point"], node: node() });
  arrangeLabels(shown, lens, looks, new Set());
  assert.equal(shown[2].node.style.visibility, "hidden");
  arrangeLabels(shown, lens, looks, new Set(["labels"]));
  assert.equal(shown[1].node.style.visibility, "hidden");
});

test("the labels of a row stand or fall together", () => {
  const node = () => ({ style: {}, setAttribute() {} });
  const label = (words, x, y, row, anchor = "start") => ({
    entry: [1, "plain", "labels", words, x, y, 900, anchor, 0, row],
    node: node(),
  });
  const lens = new Lens();
  Object.assign(lens, { k: 0.01, width: 800, height: 500 });
  const looks = { textSizes: [9, 13], bold: [] };
  const shown = [
    label("bust girth", 10000, 10000, "1"),
    label("88 cm", 40000, 10000, "1"),
    label("waist girth", 10000, 12000, "2"),
    label("70 cm", 40000, 12000, "2"),
    label("a word in the way", 39000, 12100, ""),
    label("hip girth and more words", 10000, 14000, "3"),
    label("95 cm", 17000, 14000, "3"),
  ];
  shown[4].entry[6] = 1000; // larger, so it stands
  arrangeLabels(shown, lens, looks, new Set());
  const seen = shown.map((s) => s.node.style.visibility !== "hidden");
  assert.deepEqual(seen, [true, true, false, false, true, false, false]);
});

test("a line that was moved is known by the way of its start", () => {
  assert.deepEqual(shift("m100 -200l2000 0z", "m150 -500l2000 0z"), [-50, 300]);
  assert.equal(shift("m100 -200l2000 0z", "m100 -200l2000 0z"), null);
});

test("lines, labels and points come from where they were seen, whatever the sheet shows by then", () => {
  const runs = [];
  const node = (name) => ({ animate: (frames) => runs.push([name, frames]) });
  const looks = (tx, k) => ({ tx, ty: 0, k, x: (x) => x * k + tx, y: (y) => y * k });
  const line = { node: node("line"), entry: [STROKE, "cut", "", "", "", "m0 0l9 0"] };
  const words = { node: node("label"), entry: [TEXT, "", "", "bib", 1000, 0, 300, "middle", 0, ""] };
  const point = { node: node("point"), entry: [HANDLE, 1000, 1000, "hem", {}, "Hem"] };
  const shown = [line, words, point];
  const glide = new Glide();
  glide.leave(shown, looks(0, 0.1));
  glide.line(line.node, "m0 0l9 0", "m500 0l9 0");
  words.entry = [...words.entry.slice(0, 4), 3000, ...words.entry.slice(5)];
  glide.leave(shown, looks(7, 7)); // it is on its way already
  glide.go(shown, looks(20, 0.05), node("all"), [node("start")]);
  const came = Object.fromEntries(runs.map(([name, frames]) => [name, frames[0].translate ?? frames[0]]));
  assert.equal(came.line, "-500px 0px");
  assert.equal(came.label, "-70px 0px"); // from 100 to 170
  assert.equal(came.point, "30px 50px"); // from (100, 100) to (70, 50)
  assert.equal(came.all.transform, "translate(0px, 0px) scale(0.1)");
  assert.equal(came.start.opacity, 0);
  glide.go(shown, looks(20, 0.05), node("all"), []);
  assert.equal(runs.length, 5);
});

test("a hand that moves on ends the path, also one that has not begun", () => {
  const ended = [];
  const node = { animate: () => ({ cancel: () => ended.push("line") }) };
  const lens = { tx: 0, ty: 0, k: 1, x: (x) => x, y: (y) => y };
  const shown = [{ node, entry: [STROKE, "cut", "", "", "", "m0 0l9 0"] }];
  const glide = new Glide();
  const leave = () => {
    glide.leave(shown, lens);
    glide.line(node, "m0 0l9 0", "m5 0l9 0");
  };
  leave();
  glide.go(shown, lens, node, []);
  glide.stop();
  glide.stop();
  assert.deepEqual(ended, ["line"]);
  leave();
  glide.stop();
  glide.go(shown, { ...lens, tx: 5 }, { animate: () => assert.fail("it has ended") }, []);
});
