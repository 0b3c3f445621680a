// The course's worker in the background, with a store and a network that the test holds in its hands.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import vm from "node:vm";

const PAGE = new URL("../../patternlib/course_page/page/", import.meta.url);
const SITE = "https://school.test/course/";

/** A worker, the names in its store, the network's answers, and what its pages were told. */
function worker(online) {
  const store = new Map();
  const listeners = [];
  const world = { online, asked: [], told: [], passed: 0, store };
  const self = {
    location: new URL("service-worker.js?enableCache=false", SITE),
    addEventListener: (_, act) => listeners.push(act),
    clients: { matchAll: async () => [{ postMessage: (said) => world.told.push(said) }] },
  };
  const copy = (text) => new Response(text);
  const context = vm.createContext({
    self,
    URL,
    Response,
    setTimeout,
    caches: {
      open: async (name) => {
        world.name = name;
        return {
          match: async (key) => (store.has(key) ? copy(store.get(key)) : undefined),
          put: async (key, came) => store.set(key, await came.text()),
        };
      },
    },
    fetch: async ({ url }) => {
      world.asked.push(url);
      if (!world.online) throw new TypeError("no network");
      return world.online(url);
    },
    importScripts: (name) => {
      if (name === "addresses.js") vm.runInContext(readFileSync(new URL(name, PAGE), "utf8"), context);
      else self.addEventListener("fetch", () => (world.passed += 1));
    },
  });
  vm.runInContext(readFileSync(new URL("service-worker.js", PAGE), "utf8"), context);
  world.ask = async (path, more = {}) => {
    let answer;
    const later = [];
    let stopped = false;
    const event = {
      request: { method: "GET", url: SITE + path, mode: "cors", ...more },
      respondWith: (made) => (answer = made),
      waitUntil: (made) => later.push(made),
      stopImmediatePropagation: () => (stopped = true),
    };
    for (const act of listeners) if (!stopped) act(event);
    const came = await answer;
    await Promise.all(later);
    return came && { status: came.status, text: await came.text() };
  };
  return world;
}

test("what was loaded opens when the network is gone, whatever is asked of it", async () => {
  const course = worker((url) => new Response(`of ${url.slice(SITE.length)}`));
  await course.ask("notebooks/index.html?path=lessons/00.ipynb");
  await course.ask("api/contents/lessons/all.json?1");
  await course.ask("");
  course.online = null;
  assert.match((await course.ask("notebooks/index.html?path=lessons/01.ipynb")).text, /^of notebooks/);
  assert.match((await course.ask("api/contents/lessons/all.json?2")).text, /^of api/);
  assert.equal((await course.ask("index.html")).text, "of ");
  assert.equal(course.name, "course /course/");
});

test("a new edition replaces the old one; a file with its edition in its name is not asked for again", async () => {
  const course = worker(() => new Response("old"));
  const named = "static/pyodide-808eaba4c419/pyodide.mjs";
  for (const path of ["jupyter-lite.json", named, "build/981.1e14a7f.js"]) await course.ask(path);
  course.online = () => new Response("new");
  course.asked.length = 0;
  assert.equal((await course.ask("jupyter-lite.json")).text, "new");
  assert.equal((await course.ask(named)).text, "old");
  assert.equal((await course.ask("build/981.1e14a7f.js")).text, "old");
  assert.deepEqual(course.asked, [`${SITE}jupyter-lite.json`]);
  course.online = null;
  assert.equal((await course.ask("jupyter-lite.json")).text, "new");
});

test("a file that is not there is not kept, and one that was never loaded is told of", async () => {
  const course = worker(() => new Response("nothing", { status: 404 }));
  assert.equal((await course.ask("files/x.ipynb")).status, 404);
  assert.equal(course.store.size, 0);
  course.online = null;
  assert.equal((await course.ask("build/1.js")).status, 504);
  assert.deepEqual(JSON.parse(JSON.stringify(course.told)), [
    { kind: "not here", name: `${SITE}build/1.js` },
  ]);
  const page = await course.ask("edit/index.html", { mode: "navigate" });
  assert.match(page.text, /never opened in this browser/);
  assert.ok(page.text.includes(`href="${SITE}"`));
});

test("a network that does not answer is not waited for where the file is kept", async (t) => {
  const course = worker(() => new Response("kept"));
  await course.ask("course.css");
  course.online = () => new Promise(() => {});
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const waited = course.ask("course.css");
  for (let k = 0; k < 20; k += 1) await Promise.resolve();
  t.mock.timers.tick(5000);
  assert.equal((await waited).text, "kept");
});

test("questions to Python, what is sent, and other addresses go on to the notebooks' own worker", async () => {
  const course = worker(() => new Response("x"));
  for (const [path, more] of [
    ["api/drive", {}],
    ["api/stdin/1", {}],
    ["course.css", { method: "POST" }],
    ["", { url: "https://school.test/other/" }],
  ])
    assert.equal(await course.ask(path, more), undefined);
  assert.equal(course.passed, 4);
  assert.equal(course.asked.length, 0);
});
