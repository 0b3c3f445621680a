// The desk: newest value wins, older pictures never come back, what is kept is shown at once.

import assert from "node:assert/strict";
import test, { mock } from "node:test";
import { board, drawn } from "./fake_board.mjs";

mock.timers.enable({ apis: ["setTimeout"] });

test("a move asks for a picture and shows the answer", () => {
  const { desk, answer, last } = board();
  desk.move({ 0: 61 });
  assert.deepEqual(last("draw").v, [61, 10, 0]);
  assert.equal(drawn(desk), 60);
  answer(last("draw"));
  assert.equal(drawn(desk), 61);
  assert.equal(desk.shownKey, "61,10,0|0");
});

test("at most two questions are on their way, and the newest value follows", () => {
  const { desk, asked, answer } = board();
  for (const v of [61, 62, 63, 64]) desk.move({ 0: v });
  const draws = () => asked.filter((q) => q.kind === "draw");
  assert.deepEqual(
    draws().map((q) => q.v[0]),
    [61, 62],
  );
  answer(draws()[0]);
  assert.equal(draws().at(-1).v[0], 64);
  answer(draws().at(-1));
  assert.equal(drawn(desk), 64);
  answer(draws()[1]); // an older answer that comes late
  assert.equal(drawn(desk), 64);
});

test("values are held to their limits", () => {
  const { desk } = board();
  desk.move({ 0: 900 });
  assert.equal(desk.row[0], 90);
  desk.move({ 1: -4 });
  assert.equal(desk.row[1], 0);
});

test("pictures near the hand are asked for ahead and shown without a question", () => {
  const { desk, asked, answer, last } = board();
  desk.aim([{ i: 0, step: 0.5 }]);
  const rows = last("ahead").v;
  assert.ok(rows.length > 10 && rows.every(([row]) => row[1] === 10));
  answer(last("ahead"));
  const count = asked.filter((q) => q.kind === "draw").length;
  desk.move({ 0: 60.5 });
  assert.equal(drawn(desk), 60.5);
  assert.equal(asked.filter((q) => q.kind === "draw").length, count);
});

test("a refusal is said and the last good picture stays", () => {
  const { desk, answer, last } = board();
  desk.move({ 0: 61 });
  answer(last("draw"), { error: "Too long." });
  assert.equal(desk.error, "Too long.");
  assert.equal(drawn(desk), 60);
  desk.move({ 0: 62 });
  answer(last("draw"));
  assert.equal(desk.error, "");
});

test("a kernel that has ended is said at once", () => {
  const { desk, model } = board();
  model.dead = true;
  desk.move({ 0: 61 });
  assert.match(desk.note, /Run this cell again/);
});

test("values that Python sets are followed", () => {
  const { desk, state, set } = board();
  state.values = { length: 70, flare: 12, end: 1 };
  const all = { ...state.picture.all, items: { 0: [0, "cut", "cut lines", "", "", "m0 0l70 0"] } };
  set({ picture: { n: 2, by: "", error: "", all } });
  assert.deepEqual(desk.row, [70, 12, 1]);
  assert.equal(drawn(desk), 70);
});
