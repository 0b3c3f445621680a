/* Says in one sentence where the browser bars what the course needs: a worker of its own in the background, and a
 * place to keep work (private windows, or a school's settings). */
import { begin } from "./offline.js";

export const BARRED =
  "In this browser you can read the lessons, but nothing runs and no work is kept. Open the page in an ordinary window " +
  "(not a private one), at an address that begins with https, or ask the person who looks after the browser to let the page " +
  "keep data.";

/** Whether the browser bars it. Where it does not, the worker starts. */
export async function barred() {
  if (!("serviceWorker" in navigator) || !("indexedDB" in window)) return true;
  try {
    await begin();
    return false;
  } catch {
    return true;
  }
}
