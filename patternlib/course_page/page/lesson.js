/* Round an open notebook: the way back to the course's own page, and the sentence where the browser bars the course. */
import { BARRED, barred } from "./barred.js";

const site = new URL("../", location.href);

/** What is drawn and typed is saved before the page is left. */
async function leave(event) {
  event.preventDefault();
  const saved = window.jupyterapp?.commands.execute("docmanager:save");
  await Promise.race([saved, new Promise((done) => setTimeout(done, 3000))]).catch(() => {});
  location.href = site;
}

function wayBack() {
  const link = Object.assign(document.createElement("a"), {
    id: "way-back",
    href: site,
    textContent: "All lessons",
  });
  link.addEventListener("click", leave);
  document.body.append(link);
}

async function tell() {
  if (!(await barred(site))) return;
  const said = Object.assign(document.createElement("p"), { id: "barred", textContent: BARRED });
  said.setAttribute("role", "alert");
  document.body.append(said);
}

wayBack();
tell();
