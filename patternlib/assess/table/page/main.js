// The drafting table. Python gives the exercise, keeps the steps and draws curves; the page does the rest.

import { make } from "../../../boards/page/elements.js";
import { button, handOn } from "./dom.js";
import { Desk } from "./desk.js";
import { Hand } from "./hand.js";
import { Hints } from "./hints.js";
import { AskedFor, Numbers, Steps } from "./panels.js";
import { Paper } from "./paper.js";
import { InCode, otherVersion } from "./more.js";
import { NextStep } from "./nextstep.js";
import { Printing } from "./printing.js";
import { Replay } from "./replay.js";
import { Sentence } from "./sentence.js";

const FIRST_VERB = "go";
const AFTER_TOUCH = 2000; // ms
let views = 0;

class View {
  constructor(desk, el) {
    this.desk = desk;
    this.id = ++views;
    this.chosen = "";
    this.replay = desk.setup.shown ? new Replay(desk, this) : null;
    this.printing = desk.setup.prints ? new Printing(desk) : null;
    const { exercise, student } = desk.setup;
    this.paper = new Paper(desk, this);
    this.numbers = new Numbers(desk, this);
    this.asked = new AskedFor(desk, this);
    this.steps = new Steps(desk, this);
    this.inCode = new InCode(desk);
    this.steps.el.append(this.inCode.el);
    const hinted = (n) => desk.say({ kind: "hint", n });
    this.hints = new Hints(desk.setup.told, desk.model.get("sheet").hints, hinted, () => desk.unit);
    this.next = new NextStep(desk, this);
    this.sentence = new Sentence(desk, this);
    this.hand = new Hand(desk, this);
    this.note = make("p", { className: "dt-note", hidden: true });
    this.note.setAttribute("role", "status");
    this.spoken = make("p", { className: "dt-sr" });
    this.spoken.setAttribute("aria-live", "polite");
    const head = make(
      "header",
      { className: "dt-head" },
      make("h3", {}, this.replay ? exercise.title : `${exercise.id} · ${exercise.title}`),
    );
    if (student) head.append(make("span", { className: "dt-who" }, `Numbers of ${student}`));
    if (exercise.task) head.append(make("p", {}, exercise.task));
    this.root = make(
      "div",
      { className: "draft-table" },
      head,
      this.note,
      ...[otherVersion(desk)].filter((box) => box),
      make(
        "div",
        { className: "dt-body" },
        make(
          "div",
          { className: "dt-work" },
          this.paper.el,
          this.next.el,
          ...(this.replay ? [this.replay.el] : []),
          this.bench(),
          this.sentence.el,
          this.steps.el,
        ),
        make(
          "div",
          { className: "dt-side" },
          this.numbers.el,
          this.asked.el,
          ...(this.printing ? [this.printing.el] : []),
          ...(this.replay ? [] : [this.hints.el]),
        ),
      ),
      this.spoken,
    );
    this.root.addEventListener("keydown", (e) => this.key(e));
    this.keepFromMenu();
    el.append(this.root);
    desk.views.add(this);
    const last = desk.steps[desk.steps.length - 1];
    this.root.dataset.mode = this.replaying ? "shown" : "own";
    this.sentence.start(last ? last.verb : desk.setup.first || FIRST_VERB);
    this.refresh();
    this.notes();
  }
  keepFromMenu() {
    // two quick taps, or a finger that rests before it pulls, want no menu of the notebook
    let touched = Number.NEGATIVE_INFINITY;
    this.root.addEventListener("pointerdown", (e) => {
      if (e.pointerType === "touch") touched = performance.now();
    });
    this.root.addEventListener("contextmenu", (e) => {
      if (e.pointerType !== "touch" && performance.now() - touched > AFTER_TOUCH) return;
      e.preventDefault();
      e.stopPropagation();
    });
  }
  remove() {
    this.desk.views.delete(this);
    this.root.remove();
  }

  // -- the bench: verbs by what the hand takes up -----------------------------------------------------------------
  bench() {
    const { verbs, setup } = this.desk;
    this.hands = make("div", { className: "dt-hands" });
    this.hands.setAttribute("role", "group");
    this.hands.setAttribute("aria-label", "What the hand takes up");
    this.verbs = make("div", { className: "dt-verbs" });
    this.verbs.setAttribute("role", "group");
    for (const hand of setup.hands) {
      if (hand === setup.pieceHands[0]) this.hands.append(make("span", { className: "dt-nextrow" }));
      this.hands.append(button(hand, () => this.takeUp(hand, true), { className: "dt-hand" }));
    }
    this.verbKeys = [...verbs.values()];
    return make("section", { className: "dt-bench" }, this.hands, this.verbs);
  }
  takeUp(hand) {
    this.inHand = hand;
    this.later = "";
    for (const key of this.hands.querySelectorAll("button"))
      key.setAttribute("aria-pressed", String(key.textContent === hand));
    this.verbs.setAttribute("aria-label", hand);
    this.verbs.replaceChildren(
      ...this.verbKeys
        .filter((v) => v.hand === hand)
        .map((v) => {
          const key = button(v.word, () => this.sentence.start(v.key, { focus: true }), {
            className: "dt-verb",
            title: v.about,
          });
          key.setAttribute("aria-pressed", String(v.key === this.sentence.verb));
          return key;
        }),
    );
    // it never gets lower again, so what lies below keeps its place
    this.rows = Math.max(this.rows || 0, this.verbs.offsetHeight);
    this.verbs.style.minHeight = this.rows ? `${this.rows}px` : "";
  }
  chose(key) {
    const { hand } = this.desk.verbs.get(key);
    if (this.paper.hold)
      this.later = hand; // nothing moves below a hand that pulls
    else this.takeUp(hand);
    if (this.paper.fit) this.paper.paint(); // work on a piece is seen from nearer
  }

  // -- what lies on the paper: the shown steps of a section, or the reader's own
  get replaying() {
    return this.replay?.active ? this.replay : null;
  }
  on() {
    return this.replaying ? this.replay.on() : this.desk.on();
  }

  // -- called by the parts ------------------------------------------------------------------------------------------
  refresh() {
    this.numbers.refresh();
    this.asked.refresh();
    this.hints.refresh();
    this.steps.refresh();
    this.next.refresh();
    this.replay?.refresh();
    this.paper.paint();
    this.root.dataset.edits = this.desk.edits;
    this.root.dataset.disagreed = this.desk.disagreed.join("; ");
    this.root.dataset.answered = String(this.desk.answered >= this.desk.seq);
  }
  notes() {
    this.note.textContent = this.desk.note;
    this.note.hidden = !this.desk.note;
  }
  printed(said) {
    this.printing?.show(said);
  }
  coded(code) {
    this.inCode.write(code);
  }
  wasRead(said) {
    this.inCode.show(said);
  }
  announce(text) {
    this.spoken.textContent = text;
  }
  waits(field) {
    this.root.dataset.waits = field.kind;
    this.paper.el.classList.toggle("dt-wantspoint", field.takes.includes("point"));
    this.paper.el.classList.toggle("dt-wantsline", field.takes.includes("line"));
    this.paper.el.classList.toggle("dt-wantsedge", field.takes.includes("edge"));
  }
  focus(field) {
    field.input.focus({ preventScroll: true });
  }
  choose(name) {
    this.chosen = this.chosen === name ? "" : name;
    this.refresh();
  }
  rubOut(i) {
    this.steps.rubOut(i);
  }
  key(e) {
    if ((e.ctrlKey || e.metaKey) && !e.altKey && e.key.toLowerCase() === "s") {
      handOn(e, this.root.parentElement);
      return;
    }
    if (!(e.ctrlKey || e.metaKey) || e.altKey || !"zy".includes(e.key.toLowerCase())) return;
    const typing =
      e.target.matches("input") &&
      e.target.value &&
      !e.target.matches(":read-only") &&
      this.sentence.active &&
      !this.sentence.active.fresh;
    if (typing) return;
    if (e.key.toLowerCase() === "y" || e.shiftKey) this.desk.again();
    else this.desk.back();
    e.preventDefault();
    e.stopPropagation();
  }
}

const desks = new WeakMap();

export default {
  render({ model, el }) {
    if (!desks.has(model)) desks.set(model, new Desk(model));
    const view = new View(desks.get(model), el);
    return () => view.remove();
  },
};
