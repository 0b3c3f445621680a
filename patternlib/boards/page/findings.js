// What a board says: the findings below the sheet, a refusal or a note above it, and what a screen reader
// hears of them: once, when the hand rests.

import { make } from "./elements.js";
import { sayStale } from "./words.js";

export class Findings {
  constructor(desk) {
    this.desk = desk;
    this.el = make("div", { className: "db-findings", ariaLabel: "Findings", role: "group", tabIndex: 0 });
    this.el.setAttribute("data-lm-suppress-shortcuts", "true");
    this.el.style.setProperty("--notes", desk.setup?.notes ?? 3);
    this.error = make("div", { className: "db-error", hidden: true });
    this.aloud = make("div", { className: "db-aloud" });
    this.aloud.setAttribute("role", "status");
  }
  /** Show what there is to say. */
  say() {
    const { error, note, current, step, link } = this.desk;
    this.el.classList.toggle("db-before", this.desk.unchecked());
    const said = link.words() || error || note;
    this.error.hidden = !said;
    const text = [said, sayStale(this.desk)].filter(Boolean).join(" ");
    if (this.error.textContent !== text) this.error.textContent = text;
    this.error.classList.toggle("db-note", !error && !link.state);
    if (current && current.findings !== this.listed) this.list(current.findings, step);
    if (link.state || note) this.announce(text); // these do not come and go while the hand moves
  }
  list(findings, step) {
    this.listed = findings;
    const text =
      step + findings.map(([severity, words, where]) => `${severity}|${where}|${words}`).join("\n");
    if (text === this.text) return;
    this.text = text;
    const clear = step ? [] : [["right", "No findings: seams, notches and corners agree.", ""]];
    const rows = (findings.length ? findings : clear).map(([severity, words, where]) => {
      const mark = make("b", {}, severity === "right" ? "✓" : severity);
      const item = make("div", { className: "db-finding" }, mark, ` ${where ? `${where}: ` : ""}${words}`);
      item.dataset.severity = severity;
      return item;
    });
    this.el.replaceChildren(...rows);
  }
  /** The hand rests: say aloud what is new. beside: sentences on what the hand has just moved. */
  settle(beside = []) {
    const { step, current } = this.desk;
    if (!this.error.hidden) this.announce(this.error.textContent);
    else if (step) this.announce(current?.step?.[1] ?? "");
    else if (!this.desk.unchecked()) {
      const found = [...this.el.children].map((row) => row.textContent).join(" ");
      const again = found === this.found && beside.length; // the findings need not be heard each time
      this.found = found;
      this.announce([...beside, ...(again ? [] : [found])].join(" "));
    }
  }
  announce(text) {
    if (this.announced === text) return;
    const first = this.announced === undefined;
    this.announced = text;
    if (!first) this.aloud.textContent = text; // a page that opens does not speak
  }
}
