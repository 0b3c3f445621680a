/* The worker in the background. It keeps each file of the course that was loaded, and gives it where the course's
 * address cannot be reached. All else goes on to the notebooks' own worker, which has this name otherwise. */
importScripts("addresses.js");

const SITE = new URL("./", self.location.href).href;
const files = self.courseFiles(SITE);
const PATIENCE = 4000; // ms until a kept file is taken in place of one that does not come
const PAGE =
  "<!doctype html><title>Not here</title><p>This page was never opened in this browser, and the course's address cannot be " +
  `reached now. Open it once while you are online.</p><p><a href="${SITE}">All lessons</a></p>`;

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || !files.isFile(event.request.url)) return;
  event.stopImmediatePropagation();
  event.respondWith(answer(event));
});

async function answer(event) {
  const { request } = event;
  const name = files.named(request.url);
  const store = await caches.open(files.store);
  const kept = await store.match(name, { ignoreVary: true });
  if (kept && files.isLasting(request.url)) return kept;
  const asked = fetch(request).then((came) => {
    if (came.status === 200 && !came.redirected) event.waitUntil(store.put(name, came.clone()));
    return came;
  });
  if (!kept) return asked.catch(() => notHere(request));
  const late = new Promise((done) => setTimeout(done, PATIENCE, kept));
  return Promise.race([asked.catch(() => kept), late]);
}

/** The answer where a file was never loaded and cannot be: every open page of the course hears of it. */
async function notHere({ url, mode }) {
  for (const page of await self.clients.matchAll({ includeUncontrolled: true }))
    page.postMessage({ kind: "not here", name: files.named(url) });
  const headers = { "Content-Type": "text/html; charset=utf-8" };
  return new Response(mode === "navigate" ? PAGE : "", { status: 504, headers });
}

importScripts("notebooks-worker.js");
