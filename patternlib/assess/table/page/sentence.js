// The sentence in work: its places, what is still empty, and setting the step.

import { make } from "../../../boards/page/elements.js";
import { button } from "./dom.js";
import { BendError } from "./fair.js";
import { kindOf } from "./geometry.js";
import { MeasureError, readMeasure, writeLength, writeQuantity } from "./measure.js";
import { TAKEN, measuresOf, placesOf, wantedAt, writtenAt } from "./sentences.js";
import { Field } from "./field.js";
import { fillIn, pressKey, putNumber, takeThing } from "./filling.js";
import { Offers } from "./offers.js";
import { carriedOn, nameOf } from "./traced.js";

export class Sentence {
  constructor(desk, view) {
    Object.assign(this, { desk, view, id: view.id, changing: null });
    this.offers = new Offers(this);
    this.head = make("div", { className: "dt-changing", hidden: true });
    this.line = make("div", { className: "dt-line" });
    this.line.setAttribute("role", "group");
    this.line.setAttribute("aria-label", "The step in work, a sentence with places to fill");
    this.said = make("p", { className: "dt-said" });
    this.said.setAttribute("role", "status");
    this.setButton = button("Set", () => this.set(), { className: "dt-set" });
    this.el = make("section", { className: "dt-sentence" }, this.head, this.line, this.said, this.offers.el);
    this.el.setAttribute("aria-label", "Sentence");
  }
  get place() {
    return this.changing === null ? this.desk.steps.length : this.changing;
  }

  // -- laying out ------------------------------------------------------------------------------------------------
  start(key, { focus = false, keep = {} } = {}) {
    if (this.changing === null) keep = { ...carriedOn(this.desk, key, this.last), ...keep };
    const verb = this.desk.verbs.get(key);
    this.verb = key;
    this.verbField = new Field(this, { field: "verb", kind: "verb" });
    this.verbField.show(verb.word);
    this.verbField.input.classList.add("dt-verbfield");
    this.fields = [];
    const words = [this.verbField.input];
    let before = "";
    for (const { optional, parts } of verb.groups) {
      const group = make("span", { className: optional ? "dt-optional" : "dt-group" });
      for (const part of parts) {
        if (!part.field) {
          const [, sign, rest] = /^\s*([:,]?)\s*(.*?)\s*$/.exec(part);
          const last = group.lastElementChild || words[words.length - 1].lastElementChild;
          if (sign && last?.classList.contains("dt-place")) last.append(sign);
          if (rest) group.append(make("span", { className: "dt-words" }, rest));
          before = part;
          continue;
        }
        const field = new Field(this, { ...part, optional }, before);
        this.fields.push(field);
        group.append(make("span", { className: "dt-place" }, field.input));
      }
      words.push(group);
    }
    this.line.replaceChildren(...words, this.setButton);
    this.setButton.textContent = this.changing === null ? "Set" : "Change it";
    for (const field of this.fields) {
      if (keep[field.place.field] !== undefined) {
        field.show(keep[field.place.field]);
        field.kept = this.changing === null; // to be gone through, and written over
      } else if (field.kind === "share") field.show("half");
    }
    if (!keep.name) this.offerName();
    this.said.textContent = "";
    this.view.chose(key);
    if (focus) this.focusFirst();
    else this.offers.show(null);
    this.preview();
  }
  focusFirst() {
    this.fields[0].input.focus({ preventScroll: true });
  }
  field(name) {
    return this.fields.find((f) => f.place.field === name);
  }
  get gives() {
    const verb = this.desk.verbs.get(this.verb);
    if (verb.gives !== "same") return verb.gives;
    const of = this.field("of0"),
      value = of && this.desk.on(this.place).get(of.text);
    return value === undefined ? "" : kindOf(value);
  }
  names() {
    const next = this.changing === null ? this.view.next.nameFor(this.verb) : "",
      asked = this.desk.asked(this.gives).filter((name) => name !== next);
    return [...(next ? [next] : []), ...asked, ...(this.gives === "number" ? [] : [this.desk.letter()])];
  }
  offerName() {
    const field = this.field("name");
    if (!field || field.touched) return;
    const names = this.names();
    field.show(this.changing === null ? names[0] || "" : field.text);
  }

  // -- while it is filled -------------------------------------------------------------------------------------------
  turnTo(field) {
    this.active = field;
    field.fresh = true;
    this.offers.show(field);
    this.view.waits(field);
  }
  typed(field) {
    field.fresh = false;
    if (field.kind === "name") field.touched = !field.empty;
    if (field.place.field === "of0") this.offerName();
    if (this.active === field && !field.measure) this.offers.show(field);
    if (field.kind === "verb") return;
    this.preview();
    if (field.measure && !this.bendFault) this.tellResult(field);
  }
  wanted(field) {
    // a name that is only offered does not say yet whether an angle is meant
    const name = this.field("name");
    return wantedAt({ name: name?.touched ? name.text : "" }, field.place);
  }
  tellResult(field) {
    this.said.classList.remove("dt-wrong");
    try {
      const found = readMeasure(
        field.text,
        this.desk.numbers(this.place),
        this.wanted(field),
        this.desk.unit,
      );
      this.said.textContent = found.composed ? `= ${writeQuantity(found, this.desk.unit)}` : "";
    } catch {
      this.said.textContent = "";
    }
  }
  insert(text, field = this.active) {
    putNumber(this, text, field);
  }
  press(sign) {
    pressKey(this, sign);
  }
  numberOffers() {
    return this.view.numbers.offers();
  }

  // -- filled from the paper ------------------------------------------------------------------------------------------
  takeThing(name, kind) {
    return takeThing(this, name, kind);
  }
  fill(verb, parts) {
    fillIn(this, verb, parts);
  }

  // -- the step -------------------------------------------------------------------------------------------------------
  step() {
    const step = { name: "", verb: this.verb, of: [], unit: this.desk.unit };
    const { named: derived } = this.desk.verbs.get(this.verb);
    const things = [];
    for (const field of this.fields) {
      const { field: name } = field.place;
      if (field.many) things.push([name, field.chosen]);
      else if (TAKEN.includes(field.kind)) things.push([name, field.text ? [field.text] : []]);
      else if (field.text) step[name] = field.text;
    }
    const named = Object.fromEntries(things);
    if ("first" in named) step.of = [...named.first, ...named.through, ...named.last];
    else if ("lines" in named || "numbers" in named) step.of = named.lines || named.numbers;
    else
      step.of = Object.keys(named)
        .sort()
        .flatMap((k) => named[k]);
    if (derived) step.name = nameOf(this.desk, step, this.changing);
    if (this.changing !== null && step.unit !== this.desk.steps[this.changing].unit)
      step.unit = this.unitOf();
    return step;
  }
  unitOf() {
    // a measure that was not touched keeps the unit it was written in
    const old = this.desk.steps[this.changing];
    return this.fields.every((f) => !f.measure || f.text === (old[f.place.field] || ""))
      ? old.unit
      : this.desk.unit;
  }
  ready() {
    return this.fields.every((f) => !f.needed || f.kind === "name");
  }
  preview() {
    const step = this.step(),
      at = this.place,
      { paper } = this.view;
    const show = (value, pieces) => {
      paper.pieces.preview(pieces || []);
      paper.pencil.mark(value === undefined ? null : value, step, at);
    };
    this.trial = "";
    if (this.bendFault) this.complain(null, "");
    this.bendFault = false;
    if (!this.ready()) {
      show(null);
      return;
    }
    const named = { ...step, name: step.name || "?" };
    let value;
    try {
      value = this.desk.construct(named, at, false);
    } catch (fault) {
      show(null);
      if (fault instanceof BendError) this.bendInstead(named, fault);
      return;
    }
    if (value !== undefined) show(value);
    if (value !== undefined && !step.piece) return;
    const key = JSON.stringify(step);
    this.trial = key;
    this.desk.try(named, at, (found, fault, pieces) => {
      if (this.trial !== key) return;
      show(found, pieces);
      if (fault && this.ready()) this.complain(null, fault);
      else if (this.said.classList.contains("dt-wrong")) this.complain(null, "");
    });
  }
  bendInstead({ bend, side, ...step }, fault) {
    // a curve cannot be bent so far: its handles stay under the hand, on the curve that is not bent at all
    this.view.paper.pencil.mark(null, step, this.place, this.desk.construct(step, this.place, false));
    this.bendFault = true;
    this.complain(null, this.faultSaid(fault));
  }
  faultSaid(fault) {
    const { unit } = this.desk;
    return fault instanceof BendError ? fault.said((cm) => writeLength(cm, unit)) : fault.message;
  }
  look(field) {
    // whether what is written in a place can be read; a sentence where not
    try {
      if (field.measure && !field.empty) {
        const found = readMeasure(
          field.text,
          this.desk.numbers(this.place),
          this.wanted(field),
          this.desk.unit,
        );
        if (field.kind === "length" && this.verb !== "walk" && !(found.value > 0))
          throw new MeasureError(
            "A measure must be over 0: to go the other way, choose the other direction.",
          );
      }
      if (field.kind === "way" && !field.empty) this.desk.degrees(field.text, this.desk.numbers(this.place));
      if (field.kind === "name") this.lookAtName(field.text);
      if (field.kind === "edge name") this.lookAtEdge(field.text);
    } catch (fault) {
      return this.complain(field, fault.message);
    }
    field.wrong(false);
    return true;
  }
  lookAtName(name) {
    const { desk } = this;
    const taken = desk.given.has(name) || desk.steps.some((s, i) => s.name === name && i !== this.changing);
    if (taken)
      throw new Error(
        this.field("name")
          ? `'${name}' is on your paper already. Give this one another name, or choose '${name}' in the list of steps to change it.`
          : `'${name}' is there already: choose it in the list of steps to change it.`,
      );
    if (this.gives === "number" && desk.setup.numbers.some(([n]) => n === name))
      throw new Error(`'${name}' is one of your own numbers. Give this one another name.`);
    if (name.length > 80) throw new Error("A name has at most 80 letters.");
  }
  lookAtEdge(edge) {
    const piece = this.field("piece").text,
      names = this.desk.setup.pieces[piece];
    if (edge && names && !names.includes(edge))
      throw new Error(`The ${piece} has no edge called '${edge}'. Its edges are: ${names.join(", ")}.`);
  }
  complain(field, text) {
    if (field) field.wrong(true);
    this.said.classList.toggle("dt-wrong", !!text);
    this.said.textContent = text;
    return !text;
  }
  next(from, byKey) {
    // on to the next empty place, at last to the name; from there Enter sets the step
    const empty = this.fields.find((f) => f.needed && f !== from && f.kind !== "name");
    const after = this.fields
      .slice(this.fields.indexOf(from) + 1)
      .find((f) => (f.empty && (byKey || !f.passed)) || f.kind === "name" || (byKey && f.kept));
    if (from.kind === "name") {
      if (empty) this.view.focus(empty);
      else if (byKey) this.set();
      else this.setButton.focus({ preventScroll: true });
    } else if (byKey) {
      if (after || empty) this.view.focus(after || empty);
      else this.set();
    } else if (after && after.kind !== "name") this.view.focus(after);
    else if (empty) this.view.focus(empty);
    else this.setButton.focus({ preventScroll: true });
  }
  set() {
    const name = this.field("name");
    if (name?.empty && this.gives !== "number") name.show(this.names()[0]);
    for (const field of this.fields) {
      if (field.needed) {
        this.view.focus(field);
        return this.complain(field, "This place is still empty.");
      }
      if (!field.settle()) {
        const { textContent } = this.said;
        this.view.focus(field);
        return this.complain(field, textContent);
      }
    }
    const step = this.step();
    const [verb, at] = [this.verb, this.changing];
    try {
      if (!name) this.lookAtName(step.name);
      measuresOf(step, this.desk.verbs.get(verb), this.desk.numbers(this.place));
      this.desk.construct(step, this.place, false);
    } catch (fault) {
      return this.complain(null, this.faultSaid(fault));
    }
    this.changing = null;
    this.head.hidden = true;
    this.last = step;
    if (at === null) this.desk.set(step);
    else this.desk.changeStep(at, step);
    this.view.announce(`${at === null ? "Set" : "Changed"}: ${this.desk.sentence(step)}`);
    this.start(verb, { focus: true });
    return true;
  }

  // -- changing ----------------------------------------------------------------------------------------------------------
  changeStep(i) {
    const step = this.desk.steps[i],
      verb = this.desk.verbs.get(step.verb);
    this.changing = i;
    const keep = Object.fromEntries(
      placesOf(verb).map((p) => [p.field, p.field === "name" ? step.name : writtenAt(step, p)]),
    );
    this.head.replaceChildren(
      make("span", {}, `Changing step ${i + 1}.`),
      button("Leave it as it was", () => this.escape()),
      button("Rub it out", () => this.view.rubOut(i)),
    );
    this.head.hidden = false;
    this.start(step.verb, { keep });
    for (const f of this.fields) {
      f.touched = true;
      if (f.many) f.put(step.of.slice(f.kind === "points" ? 1 : 0, f.kind === "points" ? -1 : undefined));
    }
    const first = this.fields.find((f) => f.measure && !f.empty) || this.fields[0];
    this.view.focus(first);
    this.preview();
  }
  escape() {
    this.changing = null;
    this.head.hidden = true;
    this.complain(null, "");
    this.start(this.verb, { focus: true });
    this.view.refresh();
  }
}
