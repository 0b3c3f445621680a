// Blended pictures: between two that Python drew, along several values, borrowed from the star before.

import assert from "node:assert/strict";
import test, { mock } from "node:test";
import { anchors, starRows, stepwise } from "../../patternlib/boards/page/ahead.js";
import { between, shifted } from "../../patternlib/boards/page/blend.js";
import { changed, whole } from "../../patternlib/boards/page/pictures.js";
import { Star } from "../../patternlib/boards/page/star.js";
import { board, drawn } from "./fake_board.mjs";

mock.timers.enable({ apis: ["setTimeout"] });

const line = (length, high = 0) => [0, "cut", "cut lines", "p/hem", "", `m0 ${high}l${length} 0`];
const label = (x, words = "hem") => [1, "label", "labels", words, x, 0, 500, "middle", 0, ""];
const fact = (length) => ["hem", length, 2, "hem", []];
const picture = (length, more = {}) =>
  whole(
    {
      items: { 0: line(length * 1000), 1: label(length * 500), ...more },
      facts: { "p/hem": fact(length) },
      findings: [],
      box: [0, 0, length * 1000, 1000],
    },
    1,
  );
const path = (one, key = "0") => one.items.get(key)[5];

test("a picture half-way between two has its lines, labels, lengths and box half-way", () => {
  const middle = between(picture(60), picture(64), 0.5);
  assert.equal(path(middle), "m0 0l62000 0");
  assert.equal(middle.items.get("1")[4], 31000);
  assert.equal(middle.facts.get("p/hem")[1], 62);
  assert.equal(middle.box[2], 62000);
  assert.equal(middle.blended, true);
  assert.equal(path(between(picture(60), picture(64), 0.75)), "m0 0l63000 0");
});

test("a line of another structure is that of the nearer picture", () => {
  const curve = { 0: [0, "cut", "cut lines", "p/hem", "", "m0 0c1 1 2 2 64000 0"] };
  const other = picture(64, curve);
  assert.equal(path(between(picture(60), other, 0.4)), "m0 0l60000 0");
  assert.equal(path(between(picture(60), other, 0.6)), "m0 0c1 1 2 2 64000 0");
  const gone = picture(60, { 9: line(1) });
  assert.equal(between(gone, picture(64), 0.4).items.has("9"), true);
  assert.equal(between(gone, picture(64), 0.6).items.has("9"), false);
});

test("a label that is turned round does not spin", () => {
  const upright = (angle) =>
    picture(60, { 1: [1, "label", "labels", "hem", 0, 0, 500, "middle", angle, ""] });
  assert.equal(between(upright(-80), upright(80), 0.4).items.get("1")[8], -80);
  assert.equal(between(upright(0), upright(10), 0.4).items.get("1")[8], 4);
});

const SLIDERS = [
  { name: "a", low: 0, high: 100, step: 1, unit: "cm", choices: [] },
  { name: "b", low: 0, high: 10, step: 1, unit: "cm", choices: [] },
  { name: "c", low: 0, high: 3, step: 1, unit: "", choices: [] },
];
/** A star at (60, 5, 1): value a is the length of the line, b how low it lies. */
function star({ before } = {}) {
  const at = (a, b) => picture(a, { 0: line(a * 1000, b * 1000) });
  const one = new Star(SLIDERS, [60, 5, 1], 0, at(60, 5), before ?? null);
  return { one, at };
}

test("a star blends along one value and along several, and nothing beyond what it knows", () => {
  const { one, at } = star();
  assert.equal(one.blend([62, 5, 1], 0), null);
  one.take([64, 5, 1], 0, at(64, 5));
  one.take([50, 5, 1], 0, at(50, 5));
  one.take([60, 9, 1], 0, at(60, 9));
  assert.equal(path(one.blend([62, 5, 1], 0)), "m0 5000l62000 0");
  assert.equal(path(one.blend([55, 7, 1], 0)), "m0 7000l55000 0");
  assert.equal(path(one.blend([64, 9, 1], 0)), "m0 9000l64000 0");
  assert.equal(one.blend([65, 5, 1], 0), null);
  assert.equal(one.blend([60, 4, 1], 0), null);
  assert.equal(one.blend([62, 5, 1], 3), null, "another step of the draft is another drawing");
});

test("nothing is blended toward a refusal, nor between counts", () => {
  const { one, at } = star();
  one.take([64, 5, 1], 0, at(64, 5));
  one.take([70, 5, 1], 0, { error: "Too long." });
  assert.ok(one.blend([63, 5, 1], 0));
  assert.equal(one.blend([66, 5, 1], 0), null);
  one.take([60, 5, 3], 0, at(60, 5));
  assert.equal(one.blend([60, 5, 2], 0), null);
  assert.ok(one.blend([60, 5, 3], 0));
});

test("a star without arms borrows those of the one before it", () => {
  const { one: old, at } = star();
  old.take([60, 9, 1], 0, at(60, 9));
  const next = new Star(SLIDERS, [70, 5, 1], 0, at(70, 5), old);
  assert.equal(path(next.blend([70, 7, 1], 0)), "m0 7000l70000 0");
});

test("what is asked for begins with the ends of every slider, so that any press can be blended", () => {
  assert.deepEqual(anchors(SLIDERS[0], 60, { step: 1 }).slice(0, 6), [100, 0, 70, 45, 61, 59]);
  assert.deepEqual(anchors(SLIDERS[1], 10, { step: 1 }), [0, 8, 9, 5]);
  const desk = { sliders: SLIDERS, row: [60, 5, 1], step: 0, unit: "cm" };
  const rows = starRows(desk).map(([row]) => row);
  assert.deepEqual(rows.slice(0, 6), [
    [100, 5, 1],
    [0, 5, 1],
    [60, 10, 1],
    [60, 0, 1],
    [60, 5, 3],
    [60, 5, 0],
  ]);
  assert.equal(new Set(rows.map(String)).size, rows.length);
  assert.ok(rows.some(([a]) => a === 100) && rows.some(([a]) => a === 0));
  assert.deepEqual(SLIDERS.map(stepwise), [false, false, true]);
});

test("where a star before reaches the ends, only values close to the hand are asked for again", () => {
  const { one: old, at } = star();
  for (const a of [0, 45, 70, 100]) old.take([a, 5, 1], 0, at(a, 5));
  const desk = { sliders: SLIDERS, row: [60, 5, 1], step: 0, unit: "cm" };
  desk.star = new Star(SLIDERS, [60, 5, 1], 0, at(60, 5), old);
  const asked = starRows(desk, [0]).map(([row]) => row[0]);
  assert.deepEqual(asked, [61, 59, 63, 55]);
});

/** A desk that is looked at and has an answer of Python. */
function seen() {
  const made = board();
  const view = { seen: true };
  for (const what of ["paint", "say", "place", "trails", "settle", "checkAlive", "pinned", "hold"])
    view[what] = () => {};
  made.desk.views.add(view);
  made.answer(made.last("here"));
  return made;
}

test("while the hand is away a few pictures of every slider are fetched, and a cold move is shown at once", () => {
  const { desk, asked, answer, last } = seen();
  let count = 0;
  for (let ahead = last("ahead"); ahead && count < 20; count += 1) {
    answer(ahead);
    const next = last("ahead");
    if (next === ahead) break;
    ahead = next;
  }
  assert.ok(count < 10, "the desk stops asking when all is there");
  const draws = () => asked.filter((q) => q.kind === "draw").length;
  desk.move({ 0: 77 });
  assert.equal(drawn(desk), 77);
  assert.equal(desk.current.blended, true);
  assert.equal(draws(), 1, "the exact picture is asked for");
  answer(last("draw"));
  assert.equal(desk.current.blended, undefined);
});

test("the still picture is asked for when the hand has rested for a while, not while it holds again", () => {
  const { desk, answer, last } = board();
  const pull = (v) => {
    desk.press();
    desk.move({ 0: v });
    desk.release();
    mock.timers.tick(50);
    answer(last("rest"));
  };
  pull(70);
  mock.timers.tick(200);
  desk.press();
  for (let k = 0; k < 4; k++) mock.timers.tick(500);
  assert.equal(last("still"), undefined);
  desk.release();
  for (let k = 0; k < 6; k++) mock.timers.tick(250);
  assert.equal(last("still").kind, "still");
});

test("while blended pictures are seen, one question is on its way, and the newest value follows", () => {
  const { desk, asked, answer, last } = seen();
  for (let ahead; ahead !== last("ahead"); ) {
    ahead = last("ahead");
    answer(ahead);
  }
  const draws = () => asked.filter((q) => q.kind === "draw");
  for (const v of [77, 78, 79]) desk.move({ 0: v });
  assert.equal(drawn(desk), 79);
  assert.deepEqual(
    draws().map((q) => q.v[0]),
    [77],
  );
  answer(draws()[0]);
  assert.equal(draws().at(-1).v[0], 79);
  answer(draws().at(-1));
  assert.equal(drawn(desk), 79);
  assert.equal(desk.current.blended, undefined);
});

test("a board that nobody sees asks for nothing ahead", () => {
  const { desk, asked, answer, last } = board();
  answer(last("here"));
  desk.pump();
  assert.equal(asked.filter((q) => q.kind === "ahead").length, 0);
});

test("differences stay whole: a blended picture is never what others differ from", () => {
  const base = picture(60);
  const near = changed(base, { items: { 0: "m0 0l64000 0" } });
  const mix = shifted(base, base, near, 0.5);
  assert.equal(path(base), "m0 0l60000 0");
  assert.equal(path(near), "m0 0l64000 0");
  assert.equal(path(mix), "m0 0l62000 0");
});

test("a refusal leaves the last picture that Python drew, also one that came too late to be shown", () => {
  const { desk, answer, last } = seen();
  for (let ahead; ahead !== last("ahead"); ) {
    ahead = last("ahead");
    answer(ahead);
  }
  desk.move({ 0: 71 });
  desk.move({ 0: 77 });
  answer(last("draw"));
  assert.equal(drawn(desk), 77, "an older picture does not replace the newer, blended one");
  answer(last("draw"), { error: "too long" });
  assert.equal(drawn(desk), 71);
  assert.equal(desk.shownRow[0], 71);
  assert.equal(desk.stale(), "refused");
  desk.undo();
  assert.equal(drawn(desk), 60);
  assert.equal(desk.stale(), "");
});

test("once the kernel has ended nothing is blended, and what was blended gives way to what Python drew", () => {
  for (const before of [true, false]) {
    const { desk, answer, last, status } = seen();
    for (let ahead; ahead !== last("ahead"); ) {
      ahead = last("ahead");
      answer(ahead);
    }
    if (before) desk.move({ 0: 77 });
    status("dead");
    if (!before) desk.move({ 0: 77 });
    assert.equal(drawn(desk), 60);
    assert.equal(desk.row[0], 77);
    assert.equal(desk.stale(), "ended");
  }
});
