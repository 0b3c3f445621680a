// What is typed last: it is taken in, Python answers, the notebook is saved, and only then is work handed in.
import assert from "node:assert/strict";
import { test } from "node:test";
import { answerFor, save, takeIn, takeInAll } from "../../patternlib/course_page/page/taken_in.js";

/** A notebook in the page; what happens to it comes in order into the list that is returned. */
function notebook({ dirty = true, answers = true } = {}) {
  const happened = [];
  const note = (what) => async () => happened.push(what);
  const kernel = { requestKernelInfo: answers ? note("Python answers") : () => new Promise(() => {}) };
  globalThis.window = {
    jupyterapp: {
      commands: { execute: async (name) => happened.push(name) },
      shell: { currentWidget: { context: { model: { dirty }, sessionContext: { session: { kernel } } } } },
    },
  };
  globalThis.document = {
    activeElement: { blur: () => happened.push("field left") },
    dispatchEvent: (event) => happened.push(event.type),
  };
  return happened;
}

test("fields are left and cards written, Python answers, then the notebook is saved", async () => {
  const happened = notebook();
  assert.equal(await takeIn(), true);
  assert.deepEqual(happened, ["field left", "take-in", "Python answers", "docmanager:save"]);
});

test("what is saved already is not saved again, and the hand keeps its field when the tab is changed", async () => {
  const happened = notebook({ dirty: false });
  assert.equal(await save(), true);
  assert.deepEqual(happened, ["Python answers"]);
});

test("where Python does not answer the notebook is saved all the same, and it is said", async (t) => {
  const happened = notebook({ answers: false });
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const asked = save();
  t.mock.timers.tick(30_000);
  assert.equal(await asked, false);
  assert.deepEqual(happened, ["docmanager:save"]);
});

test("lessons that are open in other tabs are asked; one that does not answer is named", async (t) => {
  const held = [];
  const locks = {
    request: async (name) => held.push({ name }),
    query: async () => ({ held: [...held, { name: "of another page" }] }),
  };
  Object.defineProperty(globalThis, "navigator", { value: { locks }, configurable: true });
  assert.deepEqual(await takeInAll(), { taken: [], late: [] });
  const happened = notebook();
  const channel = answerFor("exercises/02.ipynb");
  assert.deepEqual(await takeInAll(), { taken: ["exercises/02.ipynb"], late: [] });
  assert.ok(happened.includes("docmanager:save"));
  held.push({ name: held[0].name.replace("02", "03") }); // a tab that is asleep
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const asked = takeInAll();
  for (let k = 0; k < 200; k += 1) await new Promise(setImmediate);
  t.mock.timers.tick(30_000);
  assert.deepEqual(await asked, { taken: ["exercises/02.ipynb"], late: ["exercises/03.ipynb"] });
  channel.close();
});
