/* Says in one sentence where the browser bars what the course needs: a worker of its own in the background, and a
 * place to keep work (private windows, or a school's settings). */

export const BARRED =
  "In this browser you can read the lessons, but nothing runs and no work is kept. Open the page in an ordinary window " +
  "(not a private one), at an address that begins with https, or ask the person who looks after the browser to let the page " +
  "keep data.";

/** Whether the browser bars it; site: the address of the learner's own page. */
export async function barred(site) {
  if (!("serviceWorker" in navigator) || !("indexedDB" in window)) return true;
  try {
    if (await navigator.serviceWorker.getRegistration(new URL("./", site))) return false;
    const scope = new URL("try/", site).pathname;
    const tried = await navigator.serviceWorker.register(new URL("try_worker.js", site), { scope });
    if (!tried) return true;
    await tried.unregister();
    return false;
  } catch {
    return true;
  }
}
