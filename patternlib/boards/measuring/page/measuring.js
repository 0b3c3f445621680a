// The form for a body's measures: one measure at a time with its tape on the figure, and the list of all.
// Python reads what is typed, doubts it and saves it; the page never waits.

import { control, make } from "../../page/elements.js";
import { Figures } from "./figures.js";
import { MeasureList } from "./list.js";

const PAUSE = 500,
  SLOW = 2500;
const ORDINALS = ["", "First reading", "Second reading", "Third reading"];
let forms = 0;

const button = (words, act, props = {}) =>
  control("button", { type: "button", onclick: act, ...props }, words);

class MeasuringForm {
  constructor(model, el) {
    this.model = model;
    this.who = Math.random().toString(36).slice(2, 8);
    this.id = `measuring-${++forms}`;
    this.rows = model.get("setup").rows;
    this.typed = { ...model.get("sheet").typed };
    this.seq = 0;
    this.answered = 0;
    this.at = 0;
    this.build(el);
    this.hear = () => this.take(model.get("sheet"));
    model.on("change:sheet", this.hear);
    this.show(
      Math.max(
        0,
        this.rows.findIndex((row) => !this.typed[`${row.name}|1`]),
      ),
    );
    this.fillWhole();
    this.say(model.get("sheet"));
  }
  remove() {
    clearTimeout(this.pause);
    clearTimeout(this.slow);
    this.model.off("change:sheet", this.hear);
    this.root.remove();
  }

  // -- what is seen -----------------------------------------------------------------------------------------------------
  build(el) {
    const { figures } = this.model.get("setup");
    this.figures = new Figures(figures);
    this.list = new MeasureList(this.rows, (n) => this.show(n, true));
    this.title = make("h4", { id: `${this.id}-title` });
    this.where = make("p", {});
    this.lessons = make("p", { className: "me-soft" });
    this.fields = [1, 2, 3].map((n) => this.field(n));
    this.value = make("p", { className: "me-value" });
    this.doubts = make("div", { className: "me-doubts" });
    this.doubts.setAttribute("role", "status");
    this.back = button("Back", () => this.show(this.at - 1, true));
    this.next = button("Next measure", () => this.show(this.at + 1, true), { className: "me-main" });
    const fields = make("div", { className: "me-fields" }, ...this.fields.map((f) => f.el));
    this.card = make(
      "section",
      { className: "me-card" },
      this.title,
      this.where,
      this.lessons,
      fields,
      this.value,
      this.doubts,
      make("div", { className: "me-steps" }, this.back, this.next),
    );
    this.card.setAttribute("aria-labelledby", this.title.id);
    this.note = make("p", { className: "me-note", hidden: true });
    this.note.setAttribute("role", "status");
    this.saved = make("p", { className: "me-saved" });
    this.saved.setAttribute("role", "status");
    this.question = make("div", { className: "me-question", hidden: true });
    this.empty = button("Empty the form", () => this.clear());
    this.root = make(
      "div",
      { className: "measuring" },
      make("h3", {}, "My measures"),
      this.note,
      this.whole(),
      make("div", { className: "me-work" }, this.figures.el, this.card),
      this.list.el,
      this.saved,
      this.question,
      make("div", { className: "me-steps" }, this.empty),
    );
    this.root.setAttribute("role", "group");
    this.root.setAttribute("aria-label", "My measures");
    el.append(this.root);
  }
  labelled(words, input, id) {
    input.id = `${this.id}-${id}`;
    const label = make("label", {}, words);
    label.htmlFor = input.id;
    return make("div", { className: "me-field" }, label, input);
  }
  field(n) {
    const input = control("input", { type: "text", maxLength: 40 });
    input.autocomplete = "off";
    input.spellcheck = false;
    input.setAttribute("aria-describedby", `${this.id}-doubts`);
    input.addEventListener("input", () => this.write(`${this.rows[this.at].name}|${n}`, input.value));
    input.addEventListener("change", () => this.send());
    input.addEventListener("keydown", (e) => {
      if (e.key === "Enter") this.forward(n);
    });
    return { input, el: this.labelled(ORDINALS[n], input, `reading-${n}`) };
  }
  whole() {
    const choice = (options, key) => {
      const box = control("select", {}, ...options.map(([v, w]) => make("option", { value: v }, w)));
      box.addEventListener("change", () => {
        this.write(key, box.value);
        this.fillWhole();
        this.send();
      });
      return box;
    };
    this.unit = choice(
      [
        ["cm", "cm"],
        ["in", "inches"],
      ],
      "unit",
    );
    this.sex = choice(
      [
        ["women", "women of the survey"],
        ["men", "men of the survey"],
      ],
      "sex",
    );
    this.over = control("input", { type: "text", maxLength: 80, placeholder: "close-fitting clothes" });
    this.over.addEventListener("input", () => this.write("over", this.over.value));
    this.over.addEventListener("change", () => {
      this.fillWhole();
      this.send();
    });
    this.settings = make("summary", {});
    const fields = make(
      "div",
      { className: "me-whole" },
      this.labelled("Numbers without a unit are", this.unit, "unit"),
      this.labelled("Compare and estimate with the", this.sex, "sex"),
      this.labelled("Measured over", this.over, "over"),
      make(
        "p",
        { className: "me-soft" },
        "A field takes 88, 88,5 cm, 885 mm or 34 1/2 in. Enter goes on. Leave out what you did not measure.",
      ),
    );
    this.folded = control("details", { open: !Object.keys(this.typed).length }, this.settings, fields);
    return this.folded;
  }
  fillWhole() {
    this.unit.value = this.typed.unit || "cm";
    this.sex.value = this.typed.sex || "women";
    if (document.activeElement !== this.over) this.over.value = this.typed.over || "";
    const unit = this.typed.unit === "in" ? "inches" : "cm";
    const over = this.typed.over || "close-fitting clothes";
    this.settings.textContent = `In ${unit}, beside the ${this.sex.value} of the survey, over ${over}`;
  }
  show(n, moved = false) {
    // the measure number n is the one to take now
    this.at = Math.min(Math.max(n, 0), this.rows.length - 1);
    const row = this.rows[this.at];
    const kind = row.needed ? " (needed)" : row.checks ? " (checks a draft)" : "";
    this.title.textContent = `${this.at + 1} of ${this.rows.length} · ${row.term}${kind}`;
    this.where.textContent = `${row.place[0].toUpperCase()}${row.place.slice(1)}.`;
    this.lessons.textContent = row.lessons;
    this.back.disabled = this.at === 0;
    this.next.disabled = this.at === this.rows.length - 1;
    this.figures.show(row.name, row.term);
    this.list.mark(this.at);
    this.fill();
    this.say(this.model.get("sheet"));
    if (moved) this.fields[0].input.focus({ preventScroll: true });
    if (moved && this.card.getBoundingClientRect().top < 0) this.root.scrollIntoView({ block: "start" });
  }
  fill() {
    const { name, term } = this.rows[this.at];
    this.fields.forEach(({ input }, k) => {
      const want = this.typed[`${name}|${k + 1}`] || "";
      if (input.value !== want) input.value = want;
      input.setAttribute("aria-label", `${term}, ${ORDINALS[k + 1].toLowerCase()}`);
      input.dataset.key = `${name}|${k + 1}`;
    });
  }

  // -- what is typed ----------------------------------------------------------------------------------------------------
  write(key, text) {
    if (text) this.typed[key] = text;
    else delete this.typed[key];
    clearTimeout(this.pause);
    this.pause = setTimeout(() => this.send(), PAUSE);
  }
  forward(n) {
    const third = !this.fields[2].el.hidden;
    if (n < (third ? 3 : 2)) {
      this.fields[n].input.focus();
      return;
    }
    const needed = n === 2 ? this.apart() : false;
    if (needed !== null) {
      this.send();
      if (needed) this.fields[2].el.hidden = false;
      if (needed) this.fields[2].input.focus();
      else this.onward();
      return;
    }
    this.goesOn = n; // when Python has said whether a third reading is needed
    this.send();
  }
  goOn() {
    const n = this.goesOn;
    this.goesOn = 0;
    if (n === 2 && !this.fields[2].el.hidden) this.fields[2].input.focus();
    else this.onward();
  }
  onward() {
    if (this.at < this.rows.length - 1) this.show(this.at + 1, true);
  }
  apart() {
    // whether two plain numbers differ too much; null where they are not plain
    const texts = [1, 2].map((n) => (this.typed[`${this.rows[this.at].name}|${n}`] || "").trim());
    if (texts.some((text) => !text)) return false;
    if (!texts.every((text) => /^\d+(?:[.,]\d*)?$/.test(text))) return null;
    const [a, b] = texts.map((text) => Number(text.replace(",", ".")));
    return Math.abs(a - b) * (this.typed.unit === "in" ? 2.54 : 1) > this.model.get("setup").apart + 1e-6;
  }
  send() {
    clearTimeout(this.pause);
    this.seq += 1;
    this.root.dataset.answered = "false";
    try {
      this.model.send({ kind: "set", who: this.who, n: this.seq, typed: this.typed });
    } catch {
      this.warn("The notebook is not running: nothing is saved. Choose Run, Run All Cells, and type again.");
      return;
    }
    clearTimeout(this.slow);
    this.slow = setTimeout(() => {
      if (this.answered < this.seq)
        this.warn("The notebook is busy. Go on: what you type is saved afterwards.");
    }, SLOW);
  }
  clear() {
    const before = this.typed;
    const put = (typed) => {
      this.typed = typed;
      this.fillWhole();
      this.show(0);
      this.send();
    };
    this.ask(`Empty every field, here and in ${this.model.get("setup").file}?`, [
      [
        "Empty it",
        () => {
          put({});
          this.ask("The form is empty.", [["Bring it back", () => put(before)]]);
        },
      ],
      ["Leave it", () => this.empty.focus()],
    ]);
  }
  ask(words, answers) {
    const keys = answers.map(([text, act]) =>
      button(text, () => {
        this.question.hidden = true;
        act();
      }),
    );
    this.question.replaceChildren(make("p", {}, words), ...keys);
    this.question.hidden = false;
    keys[0].focus();
  }

  // -- what Python says -------------------------------------------------------------------------------------------------
  warn(text) {
    this.note.textContent = text;
    this.note.hidden = !text;
  }
  take(sheet) {
    const [who, n] = (sheet.by || "").split(":");
    if (who === this.who) {
      this.answered = Math.max(this.answered, Number(n));
      if (Number(n) < this.seq) return; // an answer to an older text
      this.warn("");
      this.say(sheet);
      if (this.goesOn) this.goOn();
      return;
    } else {
      this.typed = { ...sheet.typed };
      this.fillWhole();
      this.fill();
    }
    this.say(sheet);
  }
  say(sheet) {
    const row = this.rows[this.at],
      said = sheet.said[row.name] || { doubts: [], offers: [] };
    this.list.say(sheet.said, this.typed);
    this.fields[2].el.hidden = !said.third;
    for (const { input } of this.fields) input.setAttribute("aria-invalid", String(!!said.fault));
    this.value.textContent = said.value ? `Taken: ${said.value}` : "";
    const lines = [said.fault, ...said.doubts].filter(Boolean);
    const offers = said.offers.map((one) => button(one.words, () => this.accept(one.factor)));
    const key = JSON.stringify([row.name, lines, said.offers]);
    if (key !== this.told) {
      this.told = key;
      this.doubts.replaceChildren(...lines.map((text) => make("p", {}, text)), ...offers);
    }
    this.doubts.id = `${this.id}-doubts`;
    this.doubts.classList.toggle("me-fault", !!said.fault);
    if (sheet.fault) this.warn(sheet.fault);
    this.saved.textContent = sheet.saved;
    this.root.dataset.answered = String(this.answered >= this.seq);
  }
  accept(factor) {
    // each reading was taken in the same wrong way
    this.model.send({ kind: "right", who: this.who, name: this.rows[this.at].name, factor });
    this.fields[0].input.focus({ preventScroll: true });
  }
}

export default {
  render({ model, el }) {
    const form = new MeasuringForm(model, el);
    return () => form.remove();
  },
};
