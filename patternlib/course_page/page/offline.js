/* What the course keeps of itself in the browser, so that it opens again where its address cannot be reached. */
import "./addresses.js";
import { allKept } from "./kept.js";

const site = new URL("./", import.meta.url).href;
const files = self.courseFiles(site);
const WORKER = new URL("service-worker.js?enableCache=false", site); // the notebooks ask for it by this address

const addressOf = (path) => new URL(path, site).href;

/** The worker in the background starts; throws where the browser bars it. */
export async function begin() {
  performance.setResourceTimingBufferSize(2000);
  if (await navigator.serviceWorker.getRegistration(site)) return;
  const made = await navigator.serviceWorker.register(WORKER, { scope: site });
  if (!made) throw new Error("no worker");
}

/** Whether the course's address answers. */
export async function reached() {
  if (navigator.onLine === false) return false;
  return fetch(addressOf("course-files.json"), { method: "HEAD", cache: "no-store" }).then(
    (came) => came.ok,
    () => false,
  );
}

/** Call act once, when a part of the course was asked for that is not here. */
export function whenNotHere(act) {
  const hear = ({ data }) => {
    const path = data?.kind === "not here" ? data.name.slice(site.length) : "";
    if (!/^(build|static|extensions)\//.test(path)) return; // the notebooks also ask for what need not be there
    navigator.serviceWorker.removeEventListener("message", hear);
    act();
  };
  navigator.serviceWorker.addEventListener("message", hear);
}

/** Whether a notebook can be opened: it is kept, or the learner's own copy is, or the course's address answers. */
export async function isKept(path) {
  const store = await caches.open(files.store);
  if (await store.match(files.named(addressOf(`files/${path}`)))) return true;
  return path in (await allKept()) || reached();
}

/** The paths of the kept files, from the site's address on. */
async function paths(store) {
  return new Set((await store.keys()).map((request) => request.url.slice(site.length)));
}

/** Keep what this page loaded before the worker was there, and the learner's own page. */
export async function keepLoaded() {
  const loaded = performance.getEntriesByType("resource").map((entry) => entry.name);
  const own = Object.keys(await all()).filter((path) => /^[^/]+\.(html|js|css|json)$/.test(path));
  await keepThese([location.href, ...loaded, ...own.map(addressOf)].filter(files.isFile));
}

/** Keep files by their addresses, those that are not kept yet; told(done, of) hears of each. */
async function keepThese(addresses, told = () => {}) {
  const store = await caches.open(files.store);
  const kept = await paths(store);
  const missing = [...new Set(addresses.map(files.named))].filter(
    (name) => !kept.has(name.slice(site.length)),
  );
  let done = 0;
  const next = async () => {
    for (let name = missing.pop(); name; name = missing.pop()) {
      const came = await fetch(name);
      if (came.status === 504) throw new Error(name);
      if (came.status === 200) await store.put(name, came);
      done += 1;
      told(done, done + missing.length);
    }
  };
  await Promise.all([next(), next(), next(), next()]);
}

/** {path: bytes} of all files of the course. */
async function all() {
  return (await fetch(addressOf("course-files.json"))).json();
}

/** Keep the whole course; told(done, of) hears how far it is. */
export async function keepAll(told) {
  await navigator.storage?.persist?.();
  const listed = Object.keys(await all());
  await keepThese(listed.map(addressOf), told);
}

/** What is kept: {has: whether a file is, missing: MB of the files that are not}. Files of an earlier edition go. */
export async function whatIsKept() {
  const sizes = await all();
  const store = await caches.open(files.store);
  const kept = await paths(store);
  for (const path of kept) if (!(path in sizes)) await store.delete(addressOf(path));
  const missing = Object.entries(sizes).filter(([path]) => !kept.has(path));
  const bytes = missing.reduce((sum, [, size]) => sum + size, 0);
  return { has: (path) => kept.has(path), missing: bytes / 1e6 };
}
