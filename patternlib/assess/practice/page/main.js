// Find the slip: a draft by an imaginary hand, the tape, its steps, an answer. Python draws and judges.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "../../table/page/dom.js";
import { Paper } from "../../table/page/paper.js";
import { writeQuantity } from "../../table/page/measure.js";
import { Sheet } from "./sheet.js";
import { Tape } from "./tape.js";
import { listenTaps } from "./taps.js";

let views = 0;

class View {
  constructor(model, el) {
    this.model = model;
    this.id = `slip${++views}`;
    this.chosen = "";
    this.wished = 0; // the lesson that Python was asked for and has not shown yet
    this.replaying = null; // the paper asks whether steps are shown again
    this.sheet = new Sheet(model);
    this.paper = new Paper(this.sheet, this);
    this.tape = new Tape(this.sheet, this);
    this.paper.pencil = this.tape;
    listenTaps(this.paper, (name, kind) => this.tapped(name, kind));
    this.build();
    el.append(this.root);
    this.changed = () => this.refresh();
    model.on("change:state", this.changed);
    this.refresh();
  }
  remove() {
    this.model.off("change:state", this.changed);
    this.root.remove();
  }
  on() {
    return this.sheet.on();
  }
  say(kind, more = {}) {
    this.model.send({ kind, ...more });
  }

  // -- the parts
  build() {
    this.lesson = control("select", {
      onchange: () => {
        this.wished = Number(this.lesson.value);
        this.say("lesson", { lesson: this.wished });
      },
    });
    this.lesson.setAttribute("aria-label", "Lesson");
    for (const [n, titles] of this.sheet.state.lessons)
      this.lesson.append(make("option", { value: n }, `${String(n).padStart(2, "0")}: ${titles}`));
    this.unit = control(
      "select",
      {
        onchange: () => {
          this.model.set("unit", this.unit.value);
          this.model.save_changes();
        },
      },
      ...["cm", "in"].map((u) => make("option", { value: u }, u === "in" ? "inches" : "cm")),
    );
    this.unit.setAttribute("aria-label", "Unit of lengths");
    this.title = make("p", { className: "fs-title" });
    this.fault = make("p", { className: "dt-note", hidden: true });
    this.numbers = make("section", { className: "dt-panel fs-numbers" });
    this.list = make("ol", { className: "fs-steps" });
    this.choices = make("div", { className: "fs-choices" });
    this.choices.setAttribute("role", "radiogroup");
    this.choices.setAttribute("aria-label", "What happened there?");
    this.where = make("p", { className: "fs-where" });
    this.send = button("That is the slip", () => this.answer(), { className: "dt-compare" });
    this.show = button("Show me", () => this.say("answer", { draft: this.sheet.state.draft }));
    this.next = button("Next draft", () => this.goOn(), { className: "dt-compare" });
    this.replies = make("div", { className: "fs-replies" });
    this.replies.setAttribute("role", "status");
    this.boxes = make("section", { className: "dt-panel fs-boxes" });
    const steps = make(
      "section",
      { className: "dt-panel" },
      make("h4", {}, "Which step went wrong?"),
      this.list,
    );
    steps.setAttribute("aria-label", "Steps");
    const answer = make(
      "section",
      { className: "dt-panel fs-answer" },
      make("h4", {}, "What happened there?"),
      this.where,
      this.choices,
      make("div", { className: "fs-keys" }, this.send, this.show, this.next),
      this.replies,
    );
    answer.setAttribute("aria-label", "Your answer");
    this.root = make(
      "div",
      { className: "draft-table find-slip" },
      make(
        "header",
        { className: "dt-head" },
        make("h3", {}, "Find the slip"),
        make("label", { className: "fs-lesson" }, "Lesson ", this.lesson),
        this.unit,
        this.title,
      ),
      this.fault,
      make(
        "div",
        { className: "dt-body" },
        make("div", { className: "dt-work" }, this.paper.el, this.tape.el, steps),
        make("div", { className: "dt-side" }, this.numbers, answer, this.boxes),
      ),
    );
  }

  // -- what is shown
  refresh() {
    const { sheet } = this;
    sheet.take(this.model.get("state"));
    const { state } = sheet;
    this.root.dataset.draft = state.draft;
    if (sheet.key !== this.shown) {
      this.shown = sheet.key;
      this.chosen = "";
      this.paper.fit = true;
      this.paper.shownBox = null;
      this.tape.fresh();
      this.fillChoices();
    }
    if (this.wished === state.lesson) this.wished = 0;
    this.lesson.value = this.wished || state.lesson;
    this.unit.value = this.model.get("unit");
    const many = state.slips > 1 ? "Two steps went wrong" : "One step went wrong";
    this.title.textContent = `Draft ${state.round}, ${state.title}. An imaginary hand drew this on the measures given. ${many}; all that follows was drawn on from there. Measure, choose the step, and say what happened.`;
    this.fault.textContent = state.fault;
    this.fault.hidden = !state.fault;
    this.paper.el.hidden = !sheet.on().size || ![...sheet.on().values()].some((v) => typeof v !== "number");
    this.tape.el.hidden = this.paper.el.hidden;
    this.fillNumbers();
    this.fillSteps();
    this.fillReplies();
    this.fillBoxes();
    this.choose(this.chosen);
  }
  fillNumbers() {
    const { state, unit } = this.sheet;
    const rows = state.numbers.map(([name, value, kind]) =>
      make("li", {}, make("span", {}, name), make("b", {}, writeQuantity({ value, kind }, unit))),
    );
    this.numbers.replaceChildren(
      make("h4", {}, "Drawn on these measures"),
      rows.length ? make("ul", {}, ...rows) : make("p", {}, "All that is needed is on the drawing."),
      ...state.told.map((text) => make("p", {}, text)),
    );
  }
  fillSteps() {
    const { state } = this.sheet;
    this.list.replaceChildren(
      ...state.steps.map(([name, said, noted]) => {
        const key = button("", () => this.choose(name), { className: "dt-stepbutton" });
        key.dataset.name = name;
        key.append(make("span", {}, said));
        if (noted) key.append(make("b", { className: "fs-noted" }, `${name}: ${noted}`));
        key.addEventListener("keydown", (e) => this.walk(e, key));
        return make("li", { className: state.wrong.includes(name) ? "fs-wrong" : "" }, key);
      }),
    );
  }
  walk(e, key) {
    const by = { ArrowDown: 1, ArrowUp: -1 }[e.key];
    if (!by) return;
    const keys = [...this.list.querySelectorAll("button")];
    const other = keys[keys.indexOf(key) + by];
    if (other) other.focus();
    e.preventDefault();
    e.stopPropagation();
  }
  fillChoices() {
    this.choices.replaceChildren(
      ...this.sheet.state.choices.map(([code, words]) => {
        const radio = control("input", { type: "radio", name: `said-${this.id}`, value: code });
        radio.addEventListener("change", () => this.ready());
        return make("label", {}, radio, make("span", {}, words));
      }),
    );
  }
  fillReplies() {
    const { state } = this.sheet;
    const signs = { found: "✓", step: "–", no: "✗", shown: "·" };
    this.replies.replaceChildren(
      ...state.replies.map(([, verdict, text]) =>
        make("p", { className: `fs-${verdict}` }, make("b", {}, `${signs[verdict]} `), text),
      ),
    );
    const at = document.activeElement;
    this.send.hidden = this.show.hidden = state.done;
    this.next.hidden = !state.done;
    // who is on a key that goes is on what comes next
    if (at && at.hidden && [this.send, this.show].includes(at)) this.next.focus({ preventScroll: true });
    if (at && at.hidden && at === this.next)
      this.list.querySelector("button")?.focus({ preventScroll: true });
    for (const radio of this.choices.querySelectorAll("input")) radio.disabled = state.done;
  }
  fillBoxes() {
    const { state } = this.sheet;
    const mastered = state.boxes.filter(([, box]) => box === 4).length;
    const rows = state.boxes.map(([title, box, found, tried]) =>
      make(
        "li",
        {},
        make("span", {}, title),
        make(
          "span",
          { className: "fs-box", title: box === 4 ? "mastered" : box ? `box ${box}` : "still to come" },
          box === 4 ? "mastered" : box ? `box ${box}` : "to come",
        ),
        make("small", {}, tried ? `${found} of ${tried} found at once` : ""),
      ),
    );
    this.boxes.replaceChildren(
      make("h4", {}, `Mastered: ${mastered} of ${state.boxes.length}`),
      make("ul", {}, ...rows),
      control("details", {}, make("summary", {}, "How the next draft is chosen"), make("p", {}, state.rule)),
    );
  }

  // -- what is done
  tapped(name, kind) {
    this.tape.take(name, kind);
    this.choose(name);
  }
  choose(name) {
    this.chosen = name;
    for (const key of this.list.querySelectorAll("button")) {
      const mine = key.dataset.name === name;
      key.setAttribute("aria-pressed", String(mine));
      if (mine) {
        const box = this.list.getBoundingClientRect();
        const at = key.getBoundingClientRect();
        if (at.top < box.top || at.bottom > box.bottom) this.list.scrollTop += at.top - box.top - 20;
      }
    }
    this.ready();
    this.paper.paint();
  }
  ready() {
    const { state } = this.sheet;
    const step = state.steps.some(([name]) => name === this.chosen);
    this.where.textContent = step
      ? `The step: ${this.chosen}.`
      : "Choose a step in the list, or tap its point or line on the drawing.";
    this.send.disabled = !step || !this.said();
  }
  said() {
    const radio = this.choices.querySelector("input:checked");
    return radio ? radio.value : "";
  }
  answer() {
    this.say("answer", { at: this.chosen, said: this.said(), draft: this.sheet.state.draft });
  }
  goOn() {
    this.say("next", { draft: this.sheet.state.draft });
    this.root.scrollIntoView({ block: "start" });
  }
}

export default {
  render({ model, el }) {
    const view = new View(model, el);
    return () => view.remove();
  },
};
