// Under the paper: what comes next in a guided exercise, and the word on the bench that does it; how to begin.

import { make } from "../../../boards/page/elements.js";
import { button } from "./dom.js";

const BEGIN = "Press on a point of the paper and pull, or fill the sentence below from left to right.";
const DONE = "Everything asked is on the paper. Compare it with the rule.";

/**
 * The step that comes next: the first one not done after the newest that is done, else the first one not done that
 * is asked. steps: [{names, ...}] in order; drawn: names on the paper, in the order in which they came.
 */
export function nextOf(steps, drawn, asked) {
  const there = new Set(drawn);
  const done = ({ names }) => names.every((name) => there.has(name));
  const newest = drawn.map((name) => steps.findIndex((s) => s.names.includes(name))).filter((i) => i >= 0);
  const after = steps.slice((newest.at(-1) ?? -1) + 1).find((s) => !done(s));
  const left = steps.find((s) => !done(s) && s.names.some((name) => asked.includes(name)));
  const begun = steps[newest.at(-1)];
  if (begun && !done(begun)) return begun; // a piece that is not traced round yet
  return left && (after || left);
}

export class NextStep {
  constructor(desk, view) {
    Object.assign(this, { desk, view });
    this.words = make("span");
    this.how = make("span", { className: "dt-how" });
    this.key = button("", () => view.sentence.start(this.step.verb, { focus: true }), {
      className: "dt-nextverb",
    });
    this.el = make("p", { className: "dt-nextstep" }, this.words, " ", this.key, " ", this.how);
  }
  get step() {
    const { desk } = this,
      { next, asked } = desk.setup;
    if (!next.length) return undefined;
    const drawn = [
      ...desk.given.keys(),
      ...desk.setup.numbers.map(([name]) => name), // her own numbers lie on the table
      ...desk.steps.map((s) => s.name),
      ...Object.keys(desk.added),
    ];
    return nextOf(
      next,
      drawn,
      asked.map((a) => a.name),
    );
  }
  /** The name that the next step gives, where this verb does it. */
  nameFor(verb) {
    const { step } = this;
    return step?.verb === verb && this.desk.verbs.get(verb).named === "" ? step.names[0] : "";
  }
  refresh() {
    const { desk, step } = this,
      verb = step && desk.verbs.get(step.verb);
    this.words.textContent = step
      ? `Next: ${step.said[desk.unit]}`
      : desk.setup.next.length && desk.steps.length
        ? DONE
        : "";
    this.key.hidden = !step;
    if (step) this.key.textContent = verb.word;
    this.key.setAttribute("aria-label", step ? `Take up: ${verb.hand}, ${verb.word}` : "");
    this.how.textContent = desk.steps.length ? "" : BEGIN;
    this.el.hidden = !this.words.textContent && !this.how.textContent;
  }
}
