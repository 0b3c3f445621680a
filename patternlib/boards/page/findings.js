// The findings below the sheet, and the refusal or note above it.

import { make } from "./elements.js";

export class Findings {
  constructor(desk) {
    this.desk = desk;
    this.el = make("div", { className: "db-findings", ariaLabel: "Findings" });
    this.el.setAttribute("role", "status");
    this.error = make("div", { className: "db-error", hidden: true });
    this.error.setAttribute("role", "alert");
  }
  say() {
    const { error, note, current, step } = this.desk;
    const said = error || note;
    this.error.hidden = !said;
    if (this.error.textContent !== said) this.error.textContent = said;
    this.error.classList.toggle("db-note", !error);
    if (current && current.findings !== this.listed) this.list(current.findings, step);
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
}
