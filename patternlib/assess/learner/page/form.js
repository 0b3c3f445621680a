// The form for a draft on paper. Python reads what is typed and judges; the page never waits and loses nothing.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "../../table/page/dom.js";
import { KeptForm } from "../../table/page/form.js";
import { Hints } from "../../table/page/hints.js";
import { shownOf } from "../../table/page/meanwhile.js";
import { PhotographPart } from "./photograph.js";
import { FormRow } from "./rows.js";

const SLOW = 2500;
const UNITS = { cm: "cm", mm: "millimetres", in: "inches" };
const GROUPS = [
  ["Points", ["point"]],
  ["Lines", ["curve"]],
  ["Lengths and numbers", ["number", "angle"]],
];
const PAGES = [
  ["grid", "the grid to draw on"],
  ["grid flags", "the grid, and flags for a photograph"],
  ["strips", "strips for a photograph of my own paper"],
  ["strips flags", "strips and flags"],
];
const COUNTS =
  "If you answer an exercise in more than one way, the last answer in the notebook counts: this form goes " +
  "before the table as soon as something is written here. Empty the form to let the table count.";
let forms = 0;

class Form extends KeptForm {
  // -- what is seen -----------------------------------------------------------------------------------------------------
  build() {
    const { exercise, student, rows, told } = this.setup;
    this.rows = new Map(rows.map((row) => [row.name, new FormRow(this, row)]));
    this.compareKey = button("", () => this.compare(), { className: "pf-main" });
    this.mainKey(this.compareKey, "Compare with the rule", "Comparing …");
    this.said = make("p", { className: "pf-mark" });
    this.said.setAttribute("aria-live", "polite");
    this.after = make("p", { className: "pf-next" });
    this.question = make("div", { className: "pf-question", hidden: true });
    this.drawing = make("details", { className: "pf-drawing", hidden: true });
    this.drawing.open = true;
    this.empty = button("Empty the form", () => this.clear(), {});
    const hinted = (n) => this.tell({ kind: "hint", n });
    this.photograph = new PhotographPart(this);
    this.hints = new Hints(told, this.model.get("sheet").hints, hinted, () => this.unit());
    this.root = control(
      "details",
      { className: "paper-form" },
      make("summary", {}, "I drew it on paper"),
      make(
        "header",
        {},
        make("h3", {}, `${exercise.id} · ${exercise.title}: drawn on paper`),
        make("span", { className: "pf-who" }, `Numbers of ${student}`),
        make("p", {}, exercise.task),
      ),
      this.note,
      this.worksheet(),
      this.photograph.el,
      this.whole(),
      ...this.groups(),
      make("div", { className: "pf-actions" }, this.compareKey, this.empty),
      this.question,
      this.said,
      this.after,
      this.drawing,
      this.hints.el,
      make("p", { className: "pf-counts" }, COUNTS),
    );
    this.root.open = Object.keys(this.typed).length > 0 || this.setup.held > 0;
    this.refresh();
  }
  select(words, options, act) {
    const id = `pf-select-${++forms}`;
    const box = control("select", { id }, ...options.map(([v, w]) => make("option", { value: v }, w)));
    if (act) box.addEventListener("change", () => act(box.value));
    const label = make("label", {}, words);
    label.htmlFor = id;
    return [box, make("div", { className: "pf-field" }, label, box)];
  }
  worksheet() {
    const scales = this.setup.scales.map((s) => [s, s === "full" ? "full size" : `${s} scale`]);
    const [scale, first] = this.select("Draw at", scales);
    const [paper, second] = this.select("Paper", [
      ["a4", "A4"],
      ["letter", "letter"],
    ]);
    const [pages, third] = this.select("Pages", PAGES);
    scale.value = "half";
    this.link = make("p", { className: "pf-link" });
    this.link.setAttribute("aria-live", "polite");
    const print = button("Make the worksheet", () => {
      this.link.textContent = "Making the worksheet …";
      this.tell({ kind: "print", scale: scale.value, paper: paper.value, pages: pages.value });
    });
    return make(
      "section",
      { className: "pf-part" },
      make("h4", {}, "1. Print the worksheet and draw"),
      make("div", { className: "pf-bar" }, first, second, third, print),
      this.link,
    );
  }
  whole() {
    const [unit, first] = this.select("Numbers without a unit are", Object.entries(UNITS), (v) =>
      this.set({ unit: v }),
    );
    const scales = this.setup.scales.map((s) => [s, s === "full" ? "full size" : `${s} scale`]);
    const [scale, second] = this.select("The lengths I type are at", scales, (v) => this.set({ scale: v }));
    Object.assign(this, { unitBox: unit, scaleBox: scale });
    return make(
      "section",
      { className: "pf-part" },
      make("h4", {}, "2. Measure your draft and write it here, or photograph it above"),
      make("div", { className: "pf-bar" }, first, second),
      make(
        "p",
        { className: "pf-help" },
        "A field takes 22, 22 cm, 0,5, 220 mm or 28 1/2 in. Enter goes on to the next.",
      ),
    );
  }
  groups() {
    const all = [...this.rows.values()],
      pieces = [...new Set(all.map((r) => r.row.piece).filter(Boolean))];
    const made = GROUPS.map(([title, kinds]) => [
      title,
      all.filter((r) => !r.row.piece && kinds.includes(r.row.kind)),
    ]);
    for (const piece of pieces) made.push([`On the ${piece}`, all.filter((r) => r.row.piece === piece)]);
    return made
      .filter(([, rows]) => rows.length)
      .map(([title, rows]) => {
        const group = make("section", { className: "pf-group" }, make("h4", {}, title));
        let said = "";
        for (const each of rows) {
          if (each.row.said !== said) group.append(make("p", { className: "pf-help" }, each.row.said));
          said = each.row.said;
          group.append(each.el);
        }
        return group;
      });
  }
  unit() {
    return this.typed.unit === "in" ? "in" : "cm";
  }
  refresh() {
    this.unitBox.value = this.typed.unit || "cm";
    this.scaleBox.value = this.typed.scale || "full";
    for (const row of this.rows.values()) row.fill();
    this.photograph.refresh();
    this.hints.refresh();
  }
  remove() {
    this.photograph.remove();
    super.remove();
  }

  // -- what is typed ----------------------------------------------------------------------------------------------------
  set(fields) {
    this.photograph.rescaled(() => Object.assign(this.typed, fields));
    this.changed();
    this.send();
    this.refresh();
  }
  changed() {
    this.judge(null);
    super.changed();
    this.photograph.refresh();
  }
  next(input) {
    const all = [...this.root.querySelectorAll(".pf-row input, .pf-row select")],
      then = all[all.indexOf(input) + 1];
    (then || this.compareKey).focus();
  }
  clear() {
    const before = this.typed;
    this.ask("Empty every field of this form?", [
      [
        "Empty it",
        () => {
          this.typed = {};
          this.changed();
          this.send();
          this.refresh();
          this.ask("The form is empty.", [["Bring it back", () => this.bring(before)]]);
        },
      ],
      ["Leave it", () => this.compareKey.focus()],
    ]);
  }
  bring(before) {
    this.typed = before;
    this.changed();
    this.send();
    this.refresh();
  }
  get shelf() {
    return `paper-form|${this.setup.student}|${this.setup.exercise.id}`;
  }
  // -- talk with Python -------------------------------------------------------------------------------------------------
  send(kind) {
    if (!super.send(kind)) return false;
    clearTimeout(this.slow);
    this.slow = setTimeout(() => {
      if (this.answered < this.seq) this.warn("The notebook is busy. Go on: what you type is kept.");
    }, SLOW);
    return true;
  }
  compare() {
    this.pressed = true;
    this.ask("", []);
    this.request("compare");
  }
  say(sheet) {
    for (const row of this.rows.values()) row.say(sheet.faults, sheet.open, this.pressed);
    this.root.dataset.answered = String(this.answered >= this.seq);
  }
  hear(said) {
    if (said.printed) this.showPrinted(said.printed);
    if (said.compared) {
      this.ready();
      this.judge(shownOf(said.compared, this.askedAt === this.edits));
      this.say(this.model.get("sheet"));
    }
  }
  showPrinted({ file, data, fault }) {
    if (fault) {
      this.link.textContent = fault;
      return;
    }
    const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
    const href = URL.createObjectURL(new Blob([bytes], { type: "application/pdf" }));
    const link = control("a", { href, target: "_blank", download: file }, `Open “${file}”`);
    this.link.replaceChildren(
      link,
      ". It lies beside this notebook too. Print it at 100 %, and measure the test square.",
    );
  }
  judge(compared) {
    const lines = new Map((compared ? compared.lines : []).map((line) => [line.step, line]));
    for (const [name, row] of this.rows) row.judge(lines.get(name));
    this.said.textContent = compared ? compared.said : "";
    this.after.textContent = compared ? compared.next : "";
    this.drawing.hidden = !(compared && compared.html);
    this.drawing.replaceChildren(make("summary", {}, "Your draft beside the rule"));
    if (compared && compared.html) {
      const inside = make("div", {});
      inside.innerHTML = compared.html;
      this.drawing.append(inside);
    }
    const question = compared && compared.question;
    if (question && question.words)
      this.ask(question.words, [
        [
          "Yes",
          () => {
            this.set(question.change);
            this.compare();
          },
        ],
        ["No", () => this.set({ asked: question.code })],
      ]);
    else if (compared) this.ask("", []);
  }
  ask(words, answers) {
    this.question.hidden = !words;
    const keys = answers.map(([text, act]) =>
      button(text, () => {
        this.ask("", []);
        act();
      }),
    );
    this.question.replaceChildren(make("p", {}, words), ...keys);
    this.question.setAttribute("role", "group");
    this.question.setAttribute("aria-label", words);
    if (keys.length) keys[0].focus({ preventScroll: false });
  }
}

export default {
  render({ model, el }) {
    const form = new Form(model, el);
    return () => form.remove();
  },
};
