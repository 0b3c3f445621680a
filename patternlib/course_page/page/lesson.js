/* Round an open notebook: the way back to the course's own page, what is typed is taken in, and the sentences where
 * the browser bars the course or the network is away. */
import { BARRED, barred } from "./barred.js";
import { titlesOf } from "./notebooks.js";
import { isKept, keepLoaded, whenNotHere } from "./offline.js";
import { answerFor, save, takeIn } from "./taken_in.js";

const site = new URL("./", import.meta.url).href;
const path = new URLSearchParams(location.search).get("path") ?? "";
const AWAY = "The course's address cannot be reached now, and ";
const kernel = () => window.jupyterapp?.shell.currentWidget?.context?.sessionContext?.session?.kernel;

function said(id, text) {
  const words = document.getElementById(id) ?? Object.assign(document.createElement("p"), { id });
  words.textContent = text;
  words.setAttribute("role", "alert");
  document.body.append(words);
}

/** What is drawn and typed is saved before the page is left; a second press does not wait for it. */
async function leave(event) {
  event.preventDefault();
  const link = event.currentTarget;
  if (link.dataset.saving || !kernel()) {
    location.href = site;
    return;
  }
  link.dataset.saving = "yes";
  link.textContent = "Saving …";
  if (await takeIn().catch(() => false)) location.href = site;
  else link.textContent = "Not all is saved. Leave?";
}

/** The bar over the notebook: the way back, and the lesson's name. */
function bar() {
  const link = Object.assign(document.createElement("a"), {
    id: "way-back",
    href: site,
    textContent: "All lessons",
  });
  link.addEventListener("click", leave);
  const name = Object.assign(document.createElement("span"), {
    textContent: path
      .split("/")
      .pop()
      .replace(/\.\w+$/, ""),
  });
  const made = Object.assign(document.createElement("nav"), { id: "course-bar" });
  made.append(link, name);
  document.body.append(made);
  fetch(new URL("course-page.json", site))
    .then((came) => came.json())
    .then((course) => {
      name.textContent = titlesOf(course)[path] ?? name.textContent;
    })
    .catch(() => {});
}

/** When the boards can be used, all that was loaded for it is kept. */
async function whenReady() {
  while (kernel()?.status !== "idle") await new Promise((done) => setTimeout(done, 1000));
  await keepLoaded();
  document.documentElement.dataset.kept = "yes";
}

async function start() {
  bar();
  if (await barred()) {
    said("barred", BARRED);
    return;
  }
  if (path.endsWith(".ipynb")) answerFor(path);
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) save().catch(() => {});
  });
  whenNotHere(() =>
    said(
      "barred",
      `${AWAY}a part of the course that is needed here was never loaded in this browser. Open this page again while you are online.`,
    ),
  );
  if (path && !(await isKept(path)))
    said("barred", `${AWAY}this lesson was never opened in this browser. Open it once while you are online.`);
  whenReady();
}

start();
