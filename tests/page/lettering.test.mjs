// Where names find room on the drafting table's paper.

import assert from "node:assert/strict";
import test from "node:test";
import { room, runsThrough, spotsOf, strokesOf } from "../../patternlib/assess/table/page/lettering.js";

const paper = (strokes) => ({ width: 800, height: 400, strokes });
const PLACES = [
  [100, 100, "start", "first"],
  [100, 150, "start", "second"],
];

test("a way runs through a box or past it", () => {
  const box = [10, 10, 20, 20];
  assert.ok(runsThrough([0, 15, 30, 15], box));
  assert.ok(runsThrough([0, 0, 30, 30], box));
  assert.ok(runsThrough([12, 12, 13, 13], box));
  assert.ok(!runsThrough([0, 5, 30, 5], box));
  assert.ok(!runsThrough([0, 15, 9, 15], box));
  assert.ok(!runsThrough([0, 25, 25, 50], box));
});

test("a name goes where no line runs through it, else on a line or nowhere, as is asked", () => {
  const across = [0, 97, 800, 97];
  assert.equal(room(paper([]), "side", PLACES, []).spot, "first");
  assert.equal(room(paper([across]), "side", PLACES, []).spot, "second");
  const written = [[90, 130, 200, 160]];
  assert.equal(room(paper([across]), "side", PLACES, written).spot, "first");
  assert.ok(!room(paper([across]), "side", PLACES, written, false, true));
  assert.equal(room(paper([across]), "side", PLACES, written, true, true).spot, "first");
});

test("a line has several spots for its name, its middle first, and its strokes run on", () => {
  const line = { c: [[0, 0, 10, 0, 20, 0, 30, 0]] };
  const spots = spotsOf(line);
  assert.ok(Math.abs(spots[0].x - 15) < 1e-9);
  assert.equal(new Set(spots.map((p) => p.x)).size, 5);
  const strokes = strokesOf({ px: (p) => [2 * p.x, -2 * p.y] }, [line]);
  assert.deepEqual([strokes[0].slice(0, 2), strokes.at(-1).slice(2)].flat().map(Math.abs), [0, 0, 60, 0]);
  for (const [k, way] of strokes.slice(1).entries()) assert.deepEqual(way.slice(0, 2), strokes[k].slice(2));
});
