// The desk: newest value wins, older pictures never come back, what is kept is shown at once.

import assert from "node:assert/strict";
import test, { mock } from "node:test";
import { Player, readingTime } from "../../patternlib/boards/page/replay.js";
import { sayPicture, sayStale } from "../../patternlib/boards/page/words.js";
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
  assert.match(desk.link.words(), /Run this cell again/);
  assert.equal(desk.stale(), "ended");
});

test("values that Python sets are followed", () => {
  const { desk, state, set } = board();
  state.values = { length: 70, flare: 12, end: 1 };
  const all = { ...state.picture.all, items: { 0: [0, "cut", "cut lines", "", "", "m0 0l70 0"] } };
  set({ picture: { n: 2, by: "", error: "", all } });
  assert.deepEqual(desk.row, [70, 12, 1]);
  assert.equal(drawn(desk), 70);
});

test("a kernel that does not answer is said, and asked for nothing more till it does", () => {
  const { desk, asked, answer, last } = board();
  answer(last("here"));
  desk.move({ 0: 61 });
  mock.timers.tick(3000);
  assert.match(desk.link.words(), /No answer yet/);
  assert.equal(desk.stale(), "slow");
  mock.timers.tick(5000);
  const rests = () => asked.filter((q) => q.kind === "rest").length;
  assert.equal(rests(), 1, "one rest waits for its answer, others do not queue");
  desk.move({ 0: 62 });
  mock.timers.tick(5000);
  assert.equal(rests(), 1);
  answer(last("rest"));
  assert.equal(desk.link.words(), "");
  mock.timers.tick(500);
  assert.equal(rests(), 2);
  assert.equal(last("rest").v[0], 62);
});

test("a kernel that is started again is said though nothing was asked", () => {
  const { desk, status } = board();
  status("busy");
  assert.equal(desk.link.words(), "");
  status("autorestarting");
  assert.match(desk.link.words(), /has ended/);
  status("idle");
  assert.match(desk.link.words(), /has ended/, "what was drawn is not in the new kernel");
});

test("the hand goes back and forward along the places where it rested", () => {
  const { desk, answer, last } = board();
  for (const v of [62, 64, 66]) {
    desk.press();
    desk.move({ 0: v - 1 });
    desk.move({ 0: v });
    desk.release();
    mock.timers.tick(100);
    answer(last("rest"));
  }
  desk.undo();
  assert.equal(desk.row[0], 64);
  desk.undo();
  assert.equal(desk.row[0], 62);
  desk.redo();
  assert.equal(desk.row[0], 64);
  desk.reset();
  assert.equal(desk.row[0], 60);
  mock.timers.tick(400);
  desk.undo();
  assert.equal(desk.row[0], 64, "a reset can be undone");
  for (let k = 0; k < 9; k++) desk.undo();
  assert.equal(desk.row[0], 60);
});

test("a drag that is given up is back where it began, and moves nothing more", () => {
  const { desk } = board();
  assert.equal(desk.cancel(), false, "nothing is held");
  desk.press();
  desk.move({ 0: 70, 1: 15 });
  assert.equal(desk.cancel(), true);
  assert.deepEqual(desk.row, [60, 10, 0]);
  desk.move({ 0: 75 });
  assert.deepEqual(desk.row, [60, 10, 0]);
  desk.release();
  desk.move({ 0: 61 });
  assert.equal(desk.row[0], 61);
});

test("while a refusal stands, the drawing is said to be that of other values", () => {
  const { desk, answer, last } = board();
  desk.move({ 0: 88 });
  answer(last("draw"), { error: "Length: 88 cm is too long." });
  assert.equal(desk.stale(), "refused");
  assert.equal(sayStale(desk), "The drawing below is still that of: Length 60 cm.");
  assert.match(sayPicture(desk), /^Skirt: Length 60 cm, .*Not drawn yet: Length 88 cm\.$/);
  desk.aim([{ i: 0, step: 0.5 }]);
  assert.ok(!desk.kept.get(desk.key())?.items, "the old picture is not kept as that of the refused values");
  desk.move({ 0: 61 });
  answer(last("draw"));
  assert.equal(desk.stale(), "");
  assert.equal(sayStale(desk), "");
});

test("unit and layers set by Python or on another view are followed", () => {
  const { desk, set } = board();
  const told = [];
  desk.views.add(new Proxy({}, { get: (_, what) => () => told.push(what) }));
  set({ unit: "in" });
  set({ hidden: ["plan"] });
  assert.equal(desk.unit, "in");
  assert.ok(desk.hidden.has("plan"));
  assert.deepEqual(told, ["units", "layers"]);
});

test("a change of unit leaves the values to the hand that has moved on", () => {
  const { desk, state, set, answer, last } = board();
  desk.setUnit("in");
  desk.move({ 0: 61 }); // before Python has drawn in the new unit
  set({ picture: { n: 2, by: "unit", error: "", all: state.picture.all } });
  assert.equal(desk.row[0], 61);
  answer(last("draw"));
  assert.equal(drawn(desk), 61);
  desk.setUnit("cm");
  mock.timers.tick(500);
  answer(last("rest"));
  const all = { ...state.picture.all, title: "in inches" };
  set({ picture: { n: state.picture.n + 1, by: "unit", error: "", all } });
  assert.equal(desk.current.title, "in inches");
  assert.equal(desk.row[0], 61);
});

test("pictures kept from before the pieces were laid out again are not shown again", () => {
  const { desk, state, set, answer, last } = board();
  desk.aim([{ i: 0, step: 0.5 }]);
  answer(last("ahead"));
  assert.ok(desk.kept.has("60.5,10,0|0"));
  desk.aim(null);
  desk.move({ 0: 62 });
  mock.timers.tick(500);
  const by = `${last("rest").who}:${last("rest").n}`;
  set({ picture: { n: 2, by, error: "", all: { ...state.picture.all, layout: 7 } } });
  assert.ok(!desk.kept.has("60.5,10,0|0"));
});

test("the draft is drawn again step by step till it is finished, or a key stops it", () => {
  const heard = {};
  globalThis.document = {
    addEventListener: (kind, act) => {
      heard[kind] = act;
    },
    removeEventListener: (kind) => delete heard[kind],
  };
  const { desk, answer, last } = board();
  const steps = [];
  const player = new Player(desk, () => steps.push(player.playing ? "starts" : "stops"));
  player.start();
  for (let k = 0; k < 4; k += 1) {
    steps.push(desk.step);
    mock.timers.tick(500);
    answer(last("draw"));
    answer(last("rest"));
    mock.timers.tick(6500);
  }
  assert.deepEqual(steps, ["starts", 1, 2, 3, "stops", 0]);
  player.start();
  mock.timers.tick(100);
  heard.keydown({ target: null });
  mock.timers.tick(20000);
  assert.equal(player.playing, false);
  assert.equal(desk.step, 1, "it stays at the step where it was stopped");
  assert.equal(heard.keydown, undefined);
  const button = { closest: () => true }; // the focus stays on it after it was pressed
  player.start();
  heard.keydown({ type: "keydown", key: "Enter", target: button });
  assert.equal(player.playing, true, "the press itself stops it");
  heard.keydown({ type: "keydown", key: "Escape", target: button });
  assert.equal(player.playing, false);
  assert.ok(readingTime("one two three four five six seven") > readingTime("one"));
});

test("the values at which the hand rested go to Python, and come back with a board that is opened again", () => {
  const { desk, last } = board();
  for (const v of [61, 62, 63]) {
    desk.move({ 0: v });
    desk.rest(true);
  }
  desk.undo();
  desk.rest(true);
  const { trail } = last("rest");
  assert.deepEqual([trail.back.map((row) => row[0]), trail.forward.map((row) => row[0])], [[60, 61], [63]]);
  const again = board({ trail }).desk;
  again.undo();
  assert.equal(again.row[0], 61);
  again.undo();
  assert.equal(again.row[0], 60);
  for (let v = 0; v < 70; v += 1) {
    again.move({ 0: 41 + v / 2 });
    again.rest(true);
  }
  assert.equal(again.trail.kept().back.length, 50);
  assert.equal(again.trail.kept().back.at(-1)[0], 75);
});

test("values that come from Python after the board was made are its first ones", () => {
  const { desk, state, set } = board({ trail: { back: [[61, 10, 0]], forward: [] }, picture: {} });
  state.values = { length: 62, flare: 10, end: 0 };
  const all = board().state.picture.all;
  set({ picture: { n: 1, by: "", error: "", all } });
  assert.equal(desk.row[0], 62);
  desk.undo();
  assert.equal(desk.row[0], 61);
});
