/* The learner's own page: open the lessons, take work home and bring it back, hand in, clear this computer. */
import { BARRED, barred } from "./barred.js";
import { strFromU8, unzipSync, zipSync } from "./fflate.js";
import { allKept, bytes, clearCourse, clearWork, keep } from "./kept.js";
import { answersOf, beside, handedIn, isOlder, isOurs, placeOf, studentOf, titlesOf } from "./notebooks.js";
import { keepAll, keepLoaded, reached, whatIsKept } from "./offline.js";
import { takeInAll } from "./taken_in.js";

const byId = (id) => document.getElementById(id);
const say = (text) => {
  byId("said").textContent = text;
};
const SAVE =
  "An open notebook is saved by the disk at its top left, by Ctrl + S (⌘ S), and when you press All lessons.";
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

const TIME = { hour: "2-digit", minute: "2-digit" };
const isoDay = (time) => time.toISOString().slice(0, 10);

/** How many files there are, in words. */
function many(files) {
  const count = Object.keys(files).length;
  return count === 1 ? "1 file" : `${count} files`;
}

const safe = (name) => name.replace(/[^\p{L}\p{N}._-]+/gu, "-").replace(/^-+|-+$/g, "");

let named = {}; // {path: title} of the notebooks of the course

/** What is typed in lessons that are open is saved first; false where one of them does not answer. */
async function openOnesSaved() {
  say("Saving what is typed in open lessons …");
  const { late } = await takeInAll();
  if (late.length)
    say(
      `${late.map((path) => named[path] ?? path).join(", ")}: open in another tab, and does not answer. Save it there ` +
        "or close that tab, then press the button again.",
    );
  return !late.length;
}

/** What a file holds and when it was saved: '02 · The skirt: exercises (answers of 02a, 02b; saved 14:05)'. */
function holds(path, entry) {
  const answers = path.endsWith(".ipynb") ? answersOf(entry.content) : [];
  const at = new Date(entry.last_modified);
  const when = at.toDateString() === new Date().toDateString() ? at.toLocaleTimeString([], TIME) : isoDay(at);
  const what = answers.length ? `answers of ${answers.join(", ")}` : "no answer yet";
  return `${named[path] ?? path} (${path.endsWith(".ipynb") ? `${what}; ` : ""}saved ${when})`;
}

async function takeHome() {
  if (!(await openOnesSaved())) return;
  const files = await allKept();
  if (!Object.keys(files).length) return say(`Nothing is saved yet. ${SAVE}`);
  download(`course-work-${safe(learner(files)) || "mine"}-${isoDay(new Date())}.zip`, zipped(files));
  say(`One .zip holds your ${many(files)}. Keep it on a USB stick or in your own folder.`);
}

async function handIn() {
  if (!(await openOnesSaved())) return;
  const files = handedIn(await allKept());
  if (!Object.keys(files).length) return say(`No exercise is saved yet. Answer one. ${SAVE}`);
  const name = learner(files);
  if (!name)
    return say("Nothing is answered yet. Write your name on the card, draw a step, save, and hand in again.");
  download(`${safe(name)}.zip`, zipped(files));
  const held = Object.entries(files).map(([path, entry]) => holds(path, entry));
  say(`Give ${safe(name)}.zip to your instructor. It holds: ${held.join("; ")}.`);
}

/** {path: content} of the chosen files, and the names of those that cannot be read. */
async function readChosen(chosen) {
  const found = {};
  const faults = [];
  for (const file of chosen) {
    const content = new Uint8Array(await file.arrayBuffer());
    try {
      if (/\.zip$/i.test(file.name)) {
        for (const [path, inside] of Object.entries(unzipSync(content)))
          if (isOurs(path)) found[path] = inside;
      } else {
        const text = strFromU8(content);
        if (file.name.endsWith(".ipynb")) JSON.parse(text);
        found[placeOf(file.name, text)] = content;
      }
    } catch {
      faults.push(file.name);
    }
  }
  return { found, faults };
}

async function bringBack(chosen) {
  const { found, faults } = await readChosen(chosen);
  const here = await allKept();
  const other = Object.keys(found).filter(
    (path) => here[path] && strFromU8(bytes(here[path])) !== strFromU8(found[path]),
  );
  if (other.length) {
    const words = `This browser has other work of the same name: ${other.join(", ")}. Put what you bring in its place?`;
    if (!(await sure(words, "Keep what is here", "Yes, replace it")))
      for (const path of other) delete found[path];
  }
  for (const [path, content] of Object.entries(found)) await keep(path, content);
  await show();
  say(
    `Brought back: ${many(found)}.` +
      (faults.length
        ? ` This cannot be read: ${faults.join(", ")}. Choose the .zip that you took home.`
        : ""),
  );
}

function sure(words, no, yes) {
  byId("sure-words").textContent = words;
  byId("no").textContent = no;
  byId("yes").textContent = yes;
  byId("sure").returnValue = "";
  byId("sure").showModal();
  return new Promise((done) => {
    byId("sure").onclose = () => done(byId("sure").returnValue === "yes");
  });
}

async function clearAll() {
  const words = "Your work in this browser will be gone. Have you taken it home?";
  if (!(await sure(words, "Keep it", "Yes, clear it"))) return;
  await clearWork();
  await show();
  await clearCourse();
  say("This browser keeps nothing of yours now.");
}

/** How much of the course this browser keeps; where its address cannot be reached, what opens and what does not. */
async function showKept(own) {
  const { has, missing } = await whatIsKept();
  const away = !(await reached());
  byId("away").hidden = !away;
  byId("kept").textContent =
    missing < 0.05
      ? "The whole course is kept in this browser: every lesson opens without internet."
      : "A lesson that was opened once in this browser opens again without internet.";
  byId("keep").disabled = missing < 0.05 || away;
  byId("keeping").textContent =
    missing < 0.05 ? "" : `loads ${missing.toFixed(0) || 1} MB more, then every lesson does`;
  for (const link of document.querySelectorAll("#lessons a")) {
    const path = new URL(link.href).searchParams.get("path");
    link.classList.toggle("not-here", away && !has(`files/${path}`) && !(path in own));
  }
}

async function keepCourse() {
  byId("keep").disabled = true;
  try {
    await keepAll((done, of) => {
      byId("keeping").textContent = `${done} of ${of} files …`;
    });
    say("The whole course is kept in this browser now.");
  } catch {
    say("Not all of it could be loaded. Press the button again when the internet is there.");
  }
  await showKept(await allKept());
}

/** A saved notebook opens; any other file is downloaded. */
function savedLink(path, entry) {
  const title = named[path] ?? named[path.replace(" (new edition)", "")];
  if (path.endsWith(".ipynb")) {
    const newer = path.includes("(new edition)") ? " (new edition)" : "";
    return element("a", title ? title + newer : path, { href: open(path) });
  }
  const link = element("a", path, { href: "#saved" });
  link.onclick = (event) => {
    event.preventDefault();
    download(path.split("/").pop(), bytes(entry));
  };
  return link;
}

async function showSaved(files) {
  const list = byId("saved");
  list.replaceChildren();
  const shown = Object.keys(files).filter((path) => !path.includes("/drafts/")); // what forms keep for themselves
  for (const path of shown.sort()) {
    const row = element("li");
    row.append(savedLink(path, files[path]));
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
    ? `Some checks and drawings are not done in this copy of the course, and each says so. (It was built without ${course.without.join(", ")}.)`
    : "";
  named = titlesOf(course);
  await showSaved(files ?? (await allKept()));
}

async function start() {
  if (await barred()) {
    say(BARRED);
    byId("without-internet").hidden = true;
    for (const button of document.querySelectorAll(".acts button")) button.disabled = true;
    return show({});
  }
  byId("take").onclick = takeHome;
  byId("hand").onclick = handIn;
  byId("clear").onclick = clearAll;
  byId("bring").onclick = () => byId("files").click();
  byId("files").onchange = async (event) => {
    await bringBack([...event.target.files]);
    event.target.value = ""; // the same file can be chosen again
  };
  byId("keep").onclick = keepCourse;
  window.addEventListener("pageshow", (event) => event.persisted && show());
  await show();
  await keepLoaded().catch(() => {}); // where the address cannot be reached, what is here already is all there is
  await showKept(await allKept());
}

start();
