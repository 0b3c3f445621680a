/* The learner's own page: open the lessons, take work home and bring it back, hand in, clear this computer. */
import { BARRED, barred } from "./barred.js";
import { strFromU8, unzipSync, zipSync } from "./fflate.js";
import { allKept, bytes, clear, keep } from "./kept.js";
import { beside, handedIn, isOlder, studentOf } from "./notebooks.js";

const byId = (id) => document.getElementById(id);
const say = (text) => {
  byId("said").textContent = text;
};
const open = (path) => `notebooks/index.html?path=${encodeURIComponent(path)}`;

function element(name, text = "", more = {}) {
  return Object.assign(document.createElement(name), { textContent: text, ...more });
}

function download(name, content) {
  const link = element("a", "", { href: URL.createObjectURL(new Blob([content])), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** The learner's name as the answers have it, '' where nothing is answered. */
function learner(files) {
  const books = Object.entries(handedIn(files)).filter(([path]) => path.endsWith(".ipynb"));
  return books.map(([, entry]) => studentOf(entry.content)).find(Boolean) ?? "";
}

function zipped(files) {
  return zipSync(Object.fromEntries(Object.entries(files).map(([path, entry]) => [path, bytes(entry)])));
}

const today = () => new Date().toISOString().slice(0, 10);
const safe = (name) => name.replace(/[^\p{L}\p{N}._-]+/gu, "-").replace(/^-+|-+$/g, "");

async function takeHome() {
  const files = await allKept();
  if (!Object.keys(files).length)
    return say("Nothing is saved yet. Save a lesson with Ctrl + S (⌘ S) first.");
  download(`course-work-${safe(learner(files)) || "mine"}-${today()}.zip`, zipped(files));
  say(
    `${Object.keys(files).length} file(s) were put into one .zip. Keep it on a USB stick or in your own folder.`,
  );
}

async function handIn() {
  const files = handedIn(await allKept());
  if (!Object.keys(files).length)
    return say("No exercise is saved yet. Answer one and save it with Ctrl + S (⌘ S).");
  const name = learner(files);
  if (!name)
    return say("Nothing is answered yet. Write your name on the card, draw a step, save, and hand in again.");
  download(`${safe(name)}.zip`, zipped(files));
  say(`Give ${safe(name)}.zip to your instructor. It holds ${Object.keys(files).length} file(s).`);
}

async function bringBack(chosen) {
  let count = 0;
  const faults = [];
  for (const file of chosen) {
    const content = new Uint8Array(await file.arrayBuffer());
    try {
      if (/\.zip$/i.test(file.name)) {
        for (const [path, inside] of Object.entries(unzipSync(content))) {
          if (path.endsWith("/")) continue;
          if (!/^(lessons|exercises)\/(photographs\/)?[^/]+$/.test(path)) continue;
          await keep(path, inside);
          count += 1;
        }
      } else {
        const place = /^\d\d_.*\.ipynb$/.test(file.name) && strFromU8(content).includes("compare_with_rule");
        await keep(`${place ? "exercises" : "lessons"}/${file.name.replace(/ ?\(\d+\)(?=\.)/, "")}`, content);
        count += 1;
      }
    } catch {
      faults.push(file.name);
    }
  }
  await show();
  say(
    `${count} file(s) were brought back.` +
      (faults.length
        ? ` This cannot be read: ${faults.join(", ")}. Choose the .zip that you took home.`
        : ""),
  );
}

function sure(words) {
  byId("sure-words").textContent = words;
  byId("sure").showModal();
  return new Promise((done) => {
    byId("sure").onclose = () => done(byId("sure").returnValue === "yes");
  });
}

async function clearAll() {
  const words = "Your work in this browser will be gone. Have you taken it home?";
  if (!(await sure(words))) return;
  await clear();
  await show();
  say("This browser keeps nothing of yours now.");
}

async function showSaved(files) {
  const list = byId("saved");
  list.replaceChildren();
  for (const path of Object.keys(files).sort()) {
    const row = element("li");
    if (path.endsWith(".ipynb")) row.append(element("a", path, { href: open(path) }));
    else row.append(path);
    if (path.endsWith(".ipynb") && !path.includes("(new edition)")) {
      const now = await fetch(`files/${path}`).then(
        (r) => (r.ok ? r.json() : null),
        () => null,
      );
      if (now && isOlder(files[path].content, now)) {
        const link = element("button", "open the new edition beside it");
        link.onclick = async () => {
          await keep(beside(path), new TextEncoder().encode(JSON.stringify(now)));
          location.href = open(beside(path));
        };
        row.append(element("span", " There is a newer edition of it: ", { className: "note" }), link);
      }
    }
    list.append(row);
  }
  if (!list.children.length) list.append(element("li", "Nothing yet."));
}

async function show(files) {
  const course = await (await fetch("course-page.json")).json();
  const list = byId("lessons");
  list.replaceChildren();
  for (const { name, title, exercises } of course.lessons) {
    const row = element("li");
    row.append(element("a", title, { href: open(`lessons/${name}.ipynb`) }));
    if (exercises) row.append(element("a", "exercises", { href: open(`exercises/${name}.ipynb`) }));
    list.append(row);
  }
  for (const { name, title } of course.practice) {
    const row = element("li");
    row.append(element("a", title, { href: open(`exercises/${name}.ipynb`) }));
    list.append(row);
  }
  byId("without").textContent = course.without.length
    ? `This copy of the course was built without ${course.without.join(", ")}: some checks and drawings say that they are not done here.`
    : "";
  await showSaved(files ?? (await allKept()));
}

async function start() {
  if (await barred(location.href)) {
    say(BARRED);
    for (const button of document.querySelectorAll(".acts button")) button.disabled = true;
    return show({});
  }
  byId("take").onclick = takeHome;
  byId("hand").onclick = handIn;
  byId("clear").onclick = clearAll;
  byId("bring").onclick = () => byId("files").click();
  byId("files").onchange = (event) => bringBack([...event.target.files]);
  window.addEventListener("pageshow", (event) => event.persisted && show());
  await show();
}

start();
