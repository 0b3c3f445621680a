// What lies on the table: the steps, what they give, taking back and bringing again, and the talk with Python.
//
// The page owns the list of steps and never waits. Python is sent the whole list at each change and answers
// with what each step gives; its values are the truth, and where the page's own differ they are noted.

import { MeasureError, readMeasure } from "./measure.js";
import { WAYS, construct, isPoint, kindOf, unpacked } from "./geometry.js";
import { curveOf } from "./curves.js";
import { shownOf } from "./meanwhile.js";
import { groupsOf, hangsFrom, measuresOf, placesOf, say } from "./sentences.js";
import { nameOf } from "./traced.js";

const MOST_BACK = 200,
  CLOSE = 0.001,
  SLOW = 2500;

export class Desk {
  constructor(model) {
    this.model = model;
    this.who = Math.random().toString(36).slice(2, 8);
    this.setup = model.get("setup");
    this.verbs = new Map(this.setup.verbs.map((v) => [v.key, { ...v, groups: groupsOf(v.sentence) }]));
    this.unit = model.get("unit");
    this.given = new Map(Object.entries(this.setup.given).map(([name, v]) => [name, unpacked(v)]));
    this.views = new Set();
    this.seq = 0;
    this.answered = 0;
    this.tried = 0;
    this.trying = 0;
    this.disagreed = [];
    this.shaky = new Set(); // steps changed since Python last spoke, and what hangs from them
    this.truth = new Map(); // name -> what Python said of it
    this.faults = {};
    this.compared = null;
    this.comparing = false;
    this.note = "";
    Object.assign(this, { steps: [], past: [], ahead: [], edits: 0 });
    this.take(model.get("sheet"));
    this.recall();
    model.on("msg:custom", (said) => this.hear(said));
    model.on("change:sheet", () => this.hearSheet());
    model.on("change:unit", () => {
      this.unit = model.get("unit");
      this.tell("refresh");
    });
    this.say({ kind: "here" });
  }

  tell(what, ...more) {
    for (const view of this.views) view[what](...more);
  }
  verb(step) {
    return this.verbs.get(step.verb);
  }

  // -- numbers and values ----------------------------------------------------------------------------------------
  numbers(upTo = this.steps.length) {
    // own numbers, and those on the paper before a step
    const found = new Map(this.setup.numbers.map(([name, value, kind]) => [name, { value, kind }]));
    const count = (name, v) => {
      if (typeof v === "number") found.set(name, { value: v, kind: /angle/.test(name) ? "angle" : "length" });
    };
    for (const [name, v] of this.given) count(name, v);
    for (const step of this.steps.slice(0, upTo)) count(step.name, this.values.get(step.name));
    return found;
  }
  on(upTo = this.steps.length) {
    // what is on the paper before a step: name -> value
    const found = new Map(this.given);
    for (const { name } of this.steps.slice(0, upTo))
      if (this.values.has(name)) found.set(name, this.values.get(name));
    return found;
  }
  work() {
    // do every step: plain ones here, the others as Python said, so long as nothing they hang from has changed
    this.values = new Map();
    this.measured = new Map();
    for (const [i, step] of this.steps.entries()) {
      const { name } = step,
        hangs = this.verb(step) ? hangsFrom(step, this.verb(step), this.numbers(i)) : new Set();
      if ([...hangs].some((n) => this.shaky.has(n))) this.shaky.add(name);
      const truth = this.truth.get(name),
        shaky = this.shaky.has(name);
      let value, fault;
      try {
        value = this.construct(step, i);
      } catch (wrong) {
        fault = wrong.message;
      }
      if (truth !== undefined && (!shaky || (value === undefined && !fault))) value = truth;
      if (shaky) {
        if (fault) this.faults[name] = fault;
        else delete this.faults[name];
      }
      if (value !== undefined) this.values.set(name, value);
    }
  }
  construct(step, upTo = this.steps.length, note = true) {
    // what a step gives, computed here; undefined where only Python can say; throws with a sentence
    const on = this.on(upTo),
      numbers = this.numbers(upTo),
      verb = this.verb(step);
    const measured = measuresOf(step, verb, numbers);
    if (note) this.measured.set(step.name, measured);
    for (const place of placesOf(verb)) {
      const found = measured[place.field];
      if (found && place.kind === "length" && step.verb !== "walk" && !(found.value > 0)) {
        throw new MeasureError("A measure must be over 0: to go the other way, choose the other direction.");
      }
    }
    const get = (name) => {
      if (!on.has(name)) throw new Error(`'${name}' is not on the paper at this step.`);
      return on.get(name);
    };
    const way = ["go", "hole"].includes(step.verb) ? this.degrees(step.way, numbers) : undefined;
    const value = construct(step, get, measured, way);
    return value === undefined ? curveOf(step, get, measured, (text) => this.degrees(text, numbers)) : value;
  }
  degrees(text, numbers) {
    const way = (text || "").trim().toLowerCase();
    if (way in WAYS) return WAYS[way];
    if (!way) throw new MeasureError("Say which way: up, down, left, right or an angle.");
    return readMeasure(text.replace(/^at /, ""), numbers, "angle").value;
  }
  sentence(step) {
    return say(step, this.verb(step), this.measured.get(step.name), this.unit, this.values.get(step.name));
  }
  hanging(name) {
    const found = new Set([name]);
    this.steps.forEach((step, i) => {
      const from = [...hangsFrom(step, this.verb(step), this.numbers(i))];
      const edges = this.steps.slice(0, i).filter((s) => s.verb === "trace" && s.piece === step.piece);
      if (step.verb === "cut line") from.push(...edges.map((s) => s.name));
      if (from.some((n) => found.has(n))) found.add(step.name);
    });
    found.delete(name);
    return [...found];
  }

  // -- what is asked -----------------------------------------------------------------------------------------------
  asked(kind) {
    // names asked that are not on the paper yet, in order; kind: point, line or number, '' for any
    return this.setup.asked
      .filter((a) => (!kind || a.kind === kind) && !this.steps.some((s) => s.name === a.name))
      .map((a) => a.name);
  }
  letter() {
    const used = new Set([
      ...this.given.keys(),
      ...this.steps.map((s) => s.name),
      ...this.setup.asked.map((a) => a.name),
    ]);
    for (let k = 0; ; k++)
      for (const l of "ABCDEFGHJKLMNPQRSTUVWXYZ")
        if (!used.has(k ? `${l}${k}` : l)) return k ? `${l}${k}` : l;
  }

  // -- changes -----------------------------------------------------------------------------------------------------
  change(splices) {
    // splices: [[place in the list, step before or null, step now or null], ...], done in this order
    this.past = [...this.past, splices].slice(-MOST_BACK);
    this.ahead = [];
    this.apply(splices);
  }
  apply(splices) {
    for (const [at, was, now] of splices) {
      this.steps = [
        ...this.steps.slice(0, at),
        ...(now ? [now] : []),
        ...this.steps.slice(at + (was ? 1 : 0)),
      ];
      for (const step of [was, now]) if (step) this.shaky.add(step.name);
    }
    this.edits += 1;
    this.compared = null;
    this.work();
    this.send();
    this.remember();
    this.tell("refresh");
  }
  set(step) {
    this.change([[this.steps.length, null, step]]);
  }
  changeStep(i, step) {
    // what hangs from a step that is called otherwise now follows, and so do the names made from its name
    const names = new Map([[this.steps[i].name, step.name]]),
      splices = [[i, this.steps[i], step]];
    const { verbs } = this,
      steps = this.steps.map((s, k) => (k === i ? step : s));
    if (this.steps[i].name !== step.name)
      this.steps.forEach((s, k) => {
        if (k <= i || !s.of.some((n) => names.has(n))) return;
        const now = { ...s, of: s.of.map((n) => names.get(n) ?? n) };
        steps[k] = now;
        if (verbs.get(s.verb)?.named) now.name = nameOf({ steps, verbs }, now, k);
        names.set(s.name, now.name);
        splices.push([k, s, now]);
      });
    this.change(splices);
  }
  replaceAll(steps) {
    // other steps in place of those on the table; it can be taken back
    const gone = this.steps.map((step, i) => [i, step, null]).reverse();
    this.change([...gone, ...steps.map((step, i) => [i, null, step])]);
  }
  rubOut(names) {
    const splices = [];
    for (let i = this.steps.length - 1; i >= 0; i--)
      if (names.includes(this.steps[i].name)) splices.push([i, this.steps[i], null]);
    this.change(splices);
  }
  back() {
    const last = this.past[this.past.length - 1];
    if (!last) return;
    this.past = this.past.slice(0, -1);
    this.ahead = [...this.ahead, last];
    this.apply([...last].reverse().map(([at, was, now]) => [at, now, was]));
  }
  again() {
    const next = this.ahead[this.ahead.length - 1];
    if (!next) return;
    this.ahead = this.ahead.slice(0, -1);
    this.past = [...this.past, next];
    this.apply(next);
  }

  // -- nothing is lost: the browser keeps a copy too ------------------------------------------------------------------
  get shelf() {
    return `drafting-table|${this.setup.student}|${this.setup.exercise.id}`;
  }
  kept() {
    const { edits, steps, past, ahead } = this;
    return { edits, steps, past, ahead };
  }
  remember() {
    try {
      localStorage.setItem(this.shelf, JSON.stringify(this.kept()));
    } catch {
      /* a browser that keeps nothing */
    }
  }
  recall() {
    let copy = null;
    try {
      copy = JSON.parse(localStorage.getItem(this.shelf));
    } catch {
      /* none */
    }
    const known = copy && Array.isArray(copy.steps) && copy.steps.every((s) => this.verbs.has(s.verb));
    if (!known || !(copy.edits > this.edits)) return;
    Object.assign(this, {
      steps: copy.steps,
      past: copy.past || [],
      ahead: copy.ahead || [],
      edits: copy.edits,
    });
    this.truth.clear();
    this.note = "This browser had kept newer steps than the notebook; they lie on the table now.";
    this.work();
    this.send();
  }

  // -- talk with Python -----------------------------------------------------------------------------------------------
  say(what) {
    try {
      this.model.send({ who: this.who, ...what });
      return true;
    } catch {
      this.lost("The notebook is not running. Go on drawing; run this cell again to hand in.");
      return false;
    }
  }
  send() {
    this.seq += 1;
    if (!this.say({ kind: "set", n: this.seq, sheet: this.kept() })) return;
    clearTimeout(this.slow);
    this.slow = setTimeout(() => {
      if (this.answered < this.seq)
        this.lost(
          "The notebook is busy. Go on drawing: your steps are kept, and curves follow as soon as it answers.",
        );
    }, SLOW);
  }
  lost(text) {
    this.waiting = true;
    this.note = text;
    this.tell("notes");
  }
  try(step, at, done) {
    // what a step would give that only Python can draw: newest wins, at most two on the way
    this.wish = { step, at, done, n: ++this.tried };
    if (this.trying < 2) this.pump();
  }
  pump() {
    const wish = this.wish;
    if (!wish) return;
    this.wish = null;
    this.asking = wish;
    if (this.say({ kind: "try", n: wish.n, at: wish.at, step: wish.step })) this.trying += 1;
  }
  compare() {
    this.comparedAt = this.edits;
    this.comparing = this.say({ kind: "compare", n: this.seq });
    this.tell("refresh");
  }
  hear(said) {
    if (said.who !== this.who) return;
    this.settle();
    if ("tried" in said) {
      this.trying = Math.max(0, this.trying - 1);
      if (this.asking && said.tried === this.asking.n)
        this.asking.done(said.fault ? undefined : unpacked(said.value), said.fault || "", said.pieces || []);
      this.pump();
    } else if ("code" in said) {
      this.tell("coded", said.code);
    } else if (said.read) {
      if (!said.read.fault) this.replaceAll(said.read.steps);
      this.tell("wasRead", said.read);
    } else if ("corner" in said) {
      if (this.corner?.key !== said.corner) return;
      this.corner.shapes = said.shapes;
      this.corner.then();
    } else if (said.printed) {
      this.tell("printed", said.printed);
    } else if (said.compared) {
      this.comparing = false;
      this.compared = shownOf(said.compared, this.comparedAt === this.edits);
      this.tell("refresh");
      this.tell("announce", this.compared.said);
    }
  }
  settle() {
    if (this.waiting) {
      this.waiting = false;
      this.note = "";
      this.tell("notes");
    }
  }
  hearSheet() {
    const sheet = this.model.get("sheet"),
      [who, n] = (sheet.by || "").split(":");
    if (who === this.who) {
      this.settle();
      if (Number(n) < this.seq) return; // an answer to an older list
      this.answered = Number(n);
      if (sheet.fault) this.note = sheet.fault;
      this.hearValues(sheet);
    } else {
      this.take(sheet);
      this.compared = null;
    }
    this.tell("refresh");
  }
  hearValues(sheet) {
    for (const [name, packed] of Object.entries(sheet.drawn)) {
      const truth = unpacked(packed),
        own = this.values.get(name);
      if (own !== undefined && kindOf(own) === kindOf(truth) && farther(own, truth)) {
        this.disagreed.push(name);
        console.error("the page and Python differ on", name, own, truth);
      }
      this.truth.set(name, truth);
    }
    this.shaky = new Set();
    for (const name of [...this.truth.keys()]) if (!(name in sheet.drawn)) this.truth.delete(name);
    this.faults = { ...sheet.faults };
    const before = this.pieces;
    this.hearPieces(sheet);
    for (const piece of this.pieces.values())
      if (piece.said !== before.get(piece.name)?.said) this.tell("announce", piece.said);
    this.work();
  }
  hearPieces({ pieces, added }) {
    this.pieces = new Map((pieces || []).map((piece) => [piece.name, piece]));
    this.added = added || {}; // what is asked of a piece and is there -> its step
  }
  take(sheet) {
    Object.assign(this, { steps: sheet.steps, past: sheet.past, ahead: sheet.ahead, edits: sheet.edits });
    this.shaky = new Set();
    this.truth = new Map(Object.entries(sheet.drawn).map(([name, v]) => [name, unpacked(v)]));
    this.faults = { ...sheet.faults };
    this.hearPieces(sheet);
    this.work();
  }
  keepUnit(unit) {
    this.unit = unit;
    this.model.set("unit", unit);
    this.model.save_changes();
    this.tell("refresh");
  }
}

const farther = (a, b) =>
  isPoint(a)
    ? Math.hypot(a.x - b.x, a.y - b.y) > CLOSE
    : typeof a === "number"
      ? Math.abs(a - b) > CLOSE
      : false;
