// The rows of the form: a label, its fields, what is wrong beside each, and the remark of a comparison.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "../../table/page/dom.js";

const WORDS = {
  across: "across",
  up: "up",
  length: "yours",
  wide: "wide",
  first: "folded back first",
  at: "from the start",
  slits: "notch",
  text: "line",
};
const UNSIGNED = { slits: ["single", "double"] };
const PLACE = { notches: "notch", label: "line", grain: "end", "cut line": "corner" };
const SIGNS = { right: "✓", carried: "✓", near: "½", off: "✗", missing: "" };
let made = 0;

export class FormRow {
  constructor(form, row) {
    Object.assign(this, { form, row });
    this.fields = new Map();
    this.sign = make("span", { className: "pf-sign" });
    this.sign.setAttribute("aria-hidden", "true");
    this.name = make("h5", {}, this.sign, row.title);
    this.lines = make("div", { className: "pf-lines" });
    this.fault = make("p", { className: "pf-fault", hidden: true });
    this.remark = make("p", { className: "pf-remark", hidden: true });
    this.el = make("div", { className: `pf-row pf-${row.kind.replace(" ", "-")}` }, this.name, this.lines);
    if (row.grows) {
      const words = row.kind === "notches" ? "Add a notch" : "Add a place";
      this.add = button(words, () => this.grow(), { className: "pf-add" });
      this.el.append(this.add);
    }
    this.el.append(this.fault, this.remark);
    this.el.dataset.row = row.name;
    this.el.setAttribute("role", "group");
    this.el.setAttribute("aria-label", row.title);
    this.count = 0;
    this.lay();
  }
  key(part, line) {
    return this.row.lines ? `${this.row.name}|${line}|${part}` : `${this.row.name}|${part}`;
  }
  lay() {
    // as many lines as the row begins with, or as many as are filled
    const { row, form } = this;
    let wanted = row.lines || 1;
    for (let n = 1; row.lines && n <= form.setup.most; n += 1)
      if (row.parts.some((part) => form.typed[this.key(part, n)])) wanted = Math.max(wanted, n);
    while (this.count < wanted) this.line();
  }
  line() {
    const { row } = this,
      n = ++this.count,
      line = make("div", { className: "pf-line" });
    const place = row.lines > 0 && row.kind !== "label" ? `${PLACE[row.kind] || "place"} ${n}` : "";
    if (place) line.append(make("span", { className: "pf-place" }, place));
    for (const part of row.parts) line.append(this.field(part, n, place));
    this.lines.append(line);
    if (this.add) this.add.hidden = this.count >= this.form.setup.most;
  }
  grow() {
    this.line();
    this.fields.get(this.key(this.row.parts[0], this.count)).input.focus();
  }
  field(part, n, place) {
    const { form, row } = this,
      key = this.key(part, n),
      id = `pf-${++made}`;
    const choices = part === "first" ? ["", ...row.choices] : UNSIGNED[part];
    const input = choices
      ? control("select", { id }, ...choices.map((c) => make("option", { value: c }, c || "not written yet")))
      : control("input", { id, type: "text", maxLength: part === "text" ? 200 : 40 });
    input.value = form.typed[key] || (choices ? choices[0] : "");
    input.autocomplete = "off";
    input.spellcheck = false;
    if (!choices && part !== "text") input.inputMode = "text";
    input.dataset.key = key;
    const label = make("label", {}, part === "text" ? `line ${n}` : WORDS[part]);
    label.htmlFor = id;
    input.setAttribute("aria-label", [row.title, place, label.textContent].filter(Boolean).join(", "));
    const fault = make("p", { className: "pf-fault", id: `${id}-fault`, hidden: true });
    input.setAttribute("aria-describedby", fault.id);
    input.addEventListener("input", () => form.write(key, input.value));
    input.addEventListener("change", () => form.send());
    input.addEventListener("keydown", (e) => {
      if (e.key === "Enter" && !choices) form.next(input);
    });
    this.fields.set(key, { input, fault });
    return make("div", { className: `pf-field pf-part-${part}` }, label, input, fault);
  }

  // -- what is said ---------------------------------------------------------------------------------------------------
  fill() {
    this.lay();
    for (const [key, { input }] of this.fields) {
      const want = this.form.typed[key] || "";
      if (input.tagName === "SELECT") input.value = want || input.options[0].value;
      else if (input.value !== want) input.value = want;
    }
  }
  say(faults, open, pressed) {
    for (const [key, { input, fault }] of this.fields) {
      const words = faults[key] || (pressed && open[key]) || "";
      fault.textContent = words;
      fault.hidden = !words;
      input.setAttribute("aria-invalid", String(!!words));
    }
    const words = faults[this.row.name] || (pressed && open[this.row.name]) || "";
    this.fault.textContent = words;
    this.fault.hidden = !words;
  }
  judge(line) {
    const verdict = line ? line.verdict : "";
    this.sign.textContent = SIGNS[verdict] || "";
    this.el.dataset.verdict = verdict;
    const said = line && verdict !== "right" && verdict !== "missing" ? line.text : "";
    this.remark.textContent = said;
    this.remark.hidden = !said;
  }
}
