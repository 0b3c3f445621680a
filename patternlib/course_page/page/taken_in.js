/* What stands in the fields of an open lesson is taken in before the lesson is left or its work is handed in. */

const folder = new URL("./", import.meta.url).pathname;
const OPEN = `course lesson ${folder} `; // a lock with this name and the path for each open lesson
const LONGEST = 30_000; // ms

/** The rest of the page goes on while a promise is waited for, but not for ever. */
const inTime = (promise) =>
  Promise.race([promise, new Promise((_, no) => setTimeout(no, LONGEST, new Error("no answer")))]);

/** The notebook that is open: what is shown of it, and the Python it runs in. */
function open() {
  const { context } = window.jupyterapp?.shell.currentWidget ?? {};
  return { context, kernel: context?.sessionContext?.session?.kernel };
}

/** Save the open notebook once Python has answered all that was sent to it; false where it does not answer. */
export async function save() {
  const { context, kernel } = open();
  if (!kernel) return true;
  const answered = await inTime(kernel.requestKernelInfo()).then(
    () => true,
    () => false,
  );
  if (context.model.dirty) await inTime(window.jupyterapp.commands.execute("docmanager:save"));
  return answered;
}

/** Take in what stands in the fields, then save; false where Python does not answer. */
export async function takeIn() {
  document.activeElement?.blur();
  document.dispatchEvent(new Event("take-in")); // a card that is filled in is written now
  return save();
}

/** Answer the learner's own page for as long as this lesson is open. path: of the notebook. */
export function answerFor(path) {
  const mine = `${OPEN}${path}`;
  const channel = new BroadcastChannel(OPEN);
  navigator.locks.request(mine, { mode: "shared" }, () => new Promise(() => {}));
  channel.onmessage = async ({ data }) => {
    if (data.kind !== "take in") return;
    const saved = await takeIn().catch(() => false);
    channel.postMessage({ kind: "taken in", n: data.n, path, saved });
  };
  return channel;
}

/** Ask every open lesson to take in and save what is typed: {taken, late}, the paths of lessons. */
export async function takeInAll() {
  const { held } = await navigator.locks.query();
  const lessons = held.filter(({ name }) => name.startsWith(OPEN)).map(({ name }) => name.slice(OPEN.length));
  const answered = { taken: [], late: [...lessons] };
  if (!lessons.length) return answered;
  const channel = new BroadcastChannel(OPEN);
  const n = crypto.randomUUID();
  const answers = new Promise((done) => {
    channel.onmessage = ({ data }) => {
      if (data.kind !== "taken in" || data.n !== n || !data.saved) return;
      answered.taken.push(data.path);
      answered.late.splice(answered.late.indexOf(data.path), 1);
      if (!answered.late.length) done();
    };
    channel.postMessage({ kind: "take in", n });
  });
  await inTime(answers).catch(() => {});
  channel.close();
  return answered;
}
