// From the flat paper to the fields of the form: the frame, lines as places, what was read, and a file in parts.

import assert from "node:assert/strict";
import test from "node:test";
import { evenly, Frame, joined, ReadOff, thinned } from "../../patternlib/assess/learner/page/placed.js";
import { PART, refused, sendFile } from "../../patternlib/assess/learner/page/sending.js";

const near = (a, b, off = 1e-9) => assert.ok(Math.hypot(a[0] - b[0], a[1] - b[1]) <= off, `${a} is not ${b}`);
const POINT = { name: "side hip", lines: 0 },
  LINE = { name: "hip curve", lines: 7 };

test("two taps on an upright paper measure across and up from the first", () => {
  const frame = Frame.tapped([30, 50], [30, 20], false, 1);
  near(frame.draft([42, 41]), [12, -9]);
  near(frame.draft([30, 50]), [0, 0]);
});

test("the second place may lie above the waist level, and the paper may be turned", () => {
  // the paper lies with the top of the draft to the left
  const frame = Frame.tapped([30, 50], [10, 50], true, 2);
  near(frame.draft([10, 50]), [0, 40]); // 20 cm of paper above, at half scale
  near(frame.draft([30, 55]), [10, 0]); // across, to the right of the centre line
  near(frame.paper(frame.draft([12.3, 45.6])), [12.3, 45.6]);
});

test("a frame is kept as text, and other text is none", () => {
  const frame = Frame.tapped([3, 4], [5, -20], false, 2);
  near(Frame.read(frame.text()).draft([7, 8]), frame.draft([7, 8]), 1e-5);
  for (const text of ["", undefined, "1 2 3", "1 2 0 1 x", "1 2 0 1 0"]) assert.equal(Frame.read(text), null);
});

test("places lie evenly along a line, both ends among them", () => {
  const arc = Array.from({ length: 200 }, (_, i) => [10 * Math.cos(i / 127), 10 * Math.sin(i / 127)]);
  const found = evenly(arc, 13);
  assert.equal(found.length, 13);
  near(found[0], arc[0]);
  near(found[12], arc[199]);
  const steps = found.slice(1).map((p, i) => Math.hypot(p[0] - found[i][0], p[1] - found[i][1]));
  assert.ok(Math.max(...steps) - Math.min(...steps) < 0.001);
});

test("a thinned line keeps its corners and strays no farther than it may", () => {
  const square = [];
  for (let k = 0; k <= 40; k += 1) square.push([k / 4, 0]);
  for (let k = 1; k <= 40; k += 1) square.push([10, k / 4]);
  assert.deepEqual(thinned(square, 0.01), [
    [0, 0],
    [10, 0],
    [10, 10],
  ]);
  const bow = Array.from({ length: 101 }, (_, i) => [i / 10, 0.4 * Math.sin((Math.PI * i) / 100)]);
  const few = thinned(bow, 0.05);
  assert.ok(few.length > 3 && few.length < 12);
  for (const [x, y] of bow) {
    const k = few.findIndex((p) => p[0] >= x - 1e-9),
      [a, b] = [few[Math.max(k - 1, 0)], few[Math.max(k, 1)]],
      on = a[1] + ((x - a[0]) / (b[0] - a[0])) * (b[1] - a[1]);
    assert.ok(Math.abs(on - y) <= 0.051);
  }
});

test("parts on two pages become one line, whichever way each was tapped", () => {
  const run = (from, to) => Array.from({ length: 51 }, (_, i) => [from + ((to - from) * i) / 50, 0]);
  for (const parts of [
    [run(0, 10), run(9, 20)],
    [run(10, 0), run(20, 9)],
    [run(0, 10), run(20, 9)],
    [run(10, 0), run(9, 20)],
    [run(0, 10), run(10.8, 20)], // between two pages a little may not be seen
  ]) {
    const line = joined(parts),
      seen = Math.min(...parts[1].map(([x]) => x));
    if (seen > 10) assert.ok(line.some(([x]) => Math.abs(x - seen) < 1e-9));
    near(line[0], [0, 0]);
    near(line.at(-1), [20, 0]);
    for (let i = 1; i < line.length; i += 1) assert.ok(line[i][0] > line[i - 1][0]);
  }
});

const form = (typed = {}) => ({ typed, setup: { most: 60 } });

test("what was read fills the fields, and stands until one of them is typed over", () => {
  const made = form(),
    values = new ReadOff(made);
  values.put(POINT, 2, [[27.0134, -24.1]]);
  assert.equal(made.typed["side hip|across"], "27.01 cm");
  assert.equal(made.typed["side hip|up"], "-24.10 cm");
  assert.deepEqual(values.of(POINT), { n: 2, places: [[27.0134, -24.1]] });
  made.typed["side hip|across"] = "27.5 cm";
  assert.equal(values.of(POINT), null);
  made.typed["side hip|across"] = "27.01 cm";
  made.typed["side hip|up"] = "-24.3";
  assert.equal(values.of(POINT), null);
  values.drop(POINT);
  assert.deepEqual(made.typed, {});
});

test("a shorter line read again leaves nothing of the longer one", () => {
  const made = form(),
    values = new ReadOff(made),
    places = (n) => Array.from({ length: n }, (_, i) => [i, i / 2]);
  values.put(LINE, 1, places(13));
  values.put(LINE, 1, places(5));
  assert.equal(values.of(LINE).places.length, 5);
  assert.equal(Object.keys(made.typed).length, 15);
});

test("a change of the scale writes what was read anew, and what was typed stays", () => {
  const made = form({ "side hem|across": "12", "side hem|up": "3" }),
    values = new ReadOff(made),
    HEM = { name: "side hem", lines: 0 };
  values.put(POINT, 1, [[27.02, -24.1]]);
  values.change(
    [POINT, HEM],
    (_, p) => p,
    () => {
      made.typed.scale = "half";
    },
  );
  assert.equal(made.typed["side hip|across"], "13.51 cm");
  assert.deepEqual(values.of(POINT).places, [[27.02, -24.1]]);
  assert.equal(made.typed["side hem|across"], "12");
});

test("a file goes in parts of a size that a notebook's connection takes", async () => {
  const bytes = new Uint8Array(2 * PART + 7).map((_, i) => i % 251),
    sent = [];
  await sendFile(new File([bytes], "draft.jpg"), (what, data) => sent.push([what, new Uint8Array(data)]));
  assert.deepEqual(
    sent.map(([what, data]) => [what.part, what.of, data.length]),
    [
      [0, 3, PART],
      [1, 3, PART],
      [2, 3, 7],
    ],
  );
  assert.equal(Buffer.compare(Buffer.concat(sent.map(([, data]) => data)), Buffer.from(bytes)), 0);
});

test("no file, an empty one and a huge one are refused with a sentence", () => {
  assert.match(refused(undefined), /No file came/);
  assert.match(refused(new File([], "a.jpg")), /empty/);
  assert.match(refused({ size: 41e6 }), /40 MB/);
  assert.equal(refused({ size: 4e6 }), "");
});
