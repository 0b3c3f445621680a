// Work that can wait is done in pauses, in small parts.

import assert from "node:assert/strict";
import test from "node:test";
import { Idle } from "../../patternlib/boards/page/idle.js";

test("parts are done one a pause, more where the pause is long, and none twice", () => {
  const pauses = [];
  globalThis.requestIdleCallback = (work) => pauses.push(work);
  const done = [];
  const idle = new Idle();
  for (const n of [1, 2, 3, 4]) idle.add(() => done.push(n));
  assert.deepEqual(done, []);
  assert.equal(pauses.length, 1);
  pauses.shift()({ timeRemaining: () => 2 });
  assert.deepEqual(done, [1]);
  let left = 11;
  pauses.shift()({ timeRemaining: () => (left -= 3) }); // 8, then 5
  assert.deepEqual(done, [1, 2, 3]);
  pauses.shift()({ timeRemaining: () => 50 });
  assert.deepEqual(done, [1, 2, 3, 4]);
  assert.equal(pauses.length, 0);
  delete globalThis.requestIdleCallback;
});
