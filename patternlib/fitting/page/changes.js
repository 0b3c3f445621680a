// The sheet of changes: choose a sign, type the pinch, write the line. Python tries it on the blocks and keeps it.

import { control, make } from "../../boards/page/elements.js";

let forms = 0;
const HEADS = ["Version", "Day", "Sign on the body", "Pinched", "What was done, and why"];

class ChangesForm {
  constructor(model, el) {
    this.model = model;
    this.id = `fitting-${++forms}`;
    this.signs = model.get("setup").signs;
    this.build(el);
    this.hear = () => this.say(model.get("sheet"));
    model.on("change:sheet", this.hear);
    this.describe();
    this.say(model.get("sheet"));
  }
  remove() {
    this.model.off("change:sheet", this.hear);
    this.root.remove();
  }
  build(el) {
    const options = this.signs.map((s) => make("option", { value: s.name }, s.name));
    this.sign = control("select", {}, ...options);
    this.sign.addEventListener("change", () => this.describe());
    this.pinch = control("input", { type: "text", maxLength: 20, inputMode: "decimal" });
    this.note = control("input", { type: "text", maxLength: 200 });
    for (const box of [this.pinch, this.note]) box.autocomplete = "off";
    this.pinch.addEventListener("keydown", (e) => {
      if (e.key === "Enter") this.write();
    });
    this.about = make("dl", { className: "fi-about" });
    this.status = make("p", { className: "fi-status" });
    this.status.setAttribute("role", "status");
    this.table = make("div", { className: "fi-table" });
    const write = control(
      "button",
      { type: "button", onclick: () => this.write(), className: "fi-main" },
      "Write it on the sheet",
    );
    const back = control(
      "button",
      { type: "button", onclick: () => this.send({ kind: "take back" }) },
      "Take back the last line",
    );
    this.root = make(
      "div",
      { className: "fitting-sheet" },
      make("h3", {}, "Sheet of changes"),
      this.labelled("Sign on the body", this.sign, "sign"),
      this.about,
      this.labelled("Pinched (cm, or with its unit: 3/4 in)", this.pinch, "pinch"),
      this.labelled("Your own note", this.note, "note"),
      make("div", { className: "fi-buttons" }, write, back),
      this.status,
      this.table,
    );
    this.root.setAttribute("role", "group");
    this.root.setAttribute("aria-label", "Sheet of changes");
    el.append(this.root);
  }
  labelled(words, input, name) {
    input.id = `${this.id}-${name}`;
    const label = make("label", {}, words);
    label.htmlFor = input.id;
    return make("div", { className: "fi-field" }, label, input);
  }
  describe() {
    const s = this.signs.find((one) => one.name === this.sign.value);
    const rows = [
      ["You see", s.seen],
      ["Because", s.cause],
      ["Pin and measure", s.pinch],
      ["On the paper", s.paper],
    ];
    this.about.replaceChildren(...rows.flatMap(([k, v]) => [make("dt", {}, k), make("dd", {}, v)]));
  }
  write() {
    this.send({ kind: "add", sign: this.sign.value, pinch: this.pinch.value, note: this.note.value });
  }
  send(said) {
    this.model.send(said);
  }
  say(sheet) {
    this.status.textContent = sheet.fault || sheet.said || "";
    this.status.classList.toggle("fi-fault", Boolean(sheet.fault));
    if (sheet.said) this.pinch.value = this.note.value = "";
    const rows = sheet.rows ?? [];
    if (!rows.length) {
      this.table.replaceChildren(make("p", {}, "Nothing is changed yet: version 1, as drafted."));
      return;
    }
    const head = make("tr", {}, ...HEADS.map((words) => make("th", { scope: "col" }, words)));
    const body = rows.map((row) => make("tr", {}, ...row.map((cell) => make("td", {}, cell))));
    this.table.replaceChildren(make("table", {}, make("thead", {}, head), make("tbody", {}, ...body)));
  }
}

function render({ model, el }) {
  const form = new ChangesForm(model, el);
  return () => form.remove();
}

export default { render };
