/* What the notebooks keep in this browser: read it, write it, remove it. */

import "./localforage.js";

const { localforage } = window;
const PREFIX = "JupyterLite Storage - ";
const OURS = /^(drafting-table|paper-form|project)\|/; // what tables and forms keep beside the notebooks

/** The path of the site on its server, with a slash at its end. */
const base = () => new URL("./", import.meta.url).pathname;

/** The notebooks keep their files by this same library, in a store of this name. */
function store() {
  return localforage.createInstance({
    driver: localforage.INDEXEDDB,
    name: PREFIX + base(),
    storeName: "files",
  });
}

/** All saved files: {path: what is kept of it}. */
export async function allKept() {
  const found = {};
  await store().iterate((value, path) => {
    if (value.type !== "directory") found[path] = value;
  });
  return found;
}

/** Keep a file so that the notebooks find it. content: bytes. */
export async function keep(path, content) {
  const name = path.split("/").pop();
  const now = new Date().toISOString();
  const entry = { name, path, created: now, last_modified: now, size: content.length, writable: true };
  if (name.endsWith(".ipynb")) {
    const book = JSON.parse(new TextDecoder().decode(content));
    Object.assign(entry, {
      type: "notebook",
      format: "json",
      mimetype: "application/x-ipynb+json",
      content: book,
    });
  } else if (/\.(pdf|png|zip|jpe?g)$/i.test(name)) {
    let text = "";
    for (const byte of content) text += String.fromCharCode(byte);
    Object.assign(entry, {
      type: "file",
      format: "base64",
      mimetype: "application/octet-stream",
      content: btoa(text),
    });
  } else {
    const text = new TextDecoder().decode(content);
    Object.assign(entry, { type: "file", format: "text", mimetype: "text/plain", content: text });
  }
  await store().setItem(path, entry);
  const folders = path.split("/").slice(0, -1);
  for (let depth = 2; depth <= folders.length; depth += 1) await keepFolder(folders.slice(0, depth), now);
}

/** A folder inside the two of the course, as the notebooks write it. */
async function keepFolder(names, now) {
  const path = names.join("/");
  const about = { name: names.at(-1), path, created: now, last_modified: now, size: 0, writable: true };
  await store().setItem(path, { ...about, type: "directory", format: "json", mimetype: "", content: null });
}

/** The bytes of a kept file, as a file on a disk has them. */
export function bytes(entry) {
  if (entry.format === "json") return new TextEncoder().encode(`${JSON.stringify(entry.content, null, 1)}\n`);
  if (entry.format !== "base64") return new TextEncoder().encode(entry.content);
  return Uint8Array.from(atob(entry.content), (letter) => letter.charCodeAt(0));
}

/** Remove the learner's work from this browser. Other pages of the school's server keep theirs. */
export async function clearWork() {
  await localforage.dropInstance({ name: PREFIX + base() });
  for (const key of Object.keys(localStorage)) if (OURS.test(key)) localStorage.removeItem(key);
}

/** Remove the course itself, with its worker in the background. */
export async function clearCourse() {
  const site = new URL("./", import.meta.url).href;
  for (const worker of await navigator.serviceWorker.getRegistrations())
    if (worker.scope.startsWith(site)) await worker.unregister();
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) if (request.url.startsWith(site)) await cache.delete(request);
  }
}
