// Desk: one a board, however often it is shown. Holds the values, asks Python for pictures, keeps some
// ready, tells the views. Messages are described in board.py.

import { wished } from "./ahead.js";
import { Idle } from "./idle.js";
import { Link } from "./link.js";
import { clamp, tidy } from "./numbers.js";
import { changed, STROKE, Store, whole } from "./pictures.js";
import { Star } from "./star.js";
import { Trail } from "./trail.js";

const KEEP = 400; // pictures kept at most
const AHEAD = 24; // pictures wished for in one message; Python sends as many as its time allows
const STILL = 400; // ms the hand rests before the still picture is renewed
const FIELDS = "name label low high step start unit why choices whyIn choicesIn".split(" ");
const BACK = "These are your values from before. Reset gives the starting values.";

export class Desk {
  constructor(model) {
    this.model = model;
    this.setup = model.get("setup");
    this.sliders = Desk.named(this.setup.sliders);
    this.at = Object.fromEntries(this.sliders.map((s, i) => [s.name, i]));
    this.row = this.sliders.map((s) => model.get("values")[s.name] ?? s.start);
    this.step = model.get("step");
    this.unit = model.get("unit");
    this.hidden = new Set(model.get("hidden"));
    this.trail = new Trail(this.row, this.setup.trail);
    this.seq = 0; // number of the newest wish
    this.shownSeq = 0; // number of the wish whose picture is shown
    this.flying = 0; // questions without an answer yet
    this.waiting = false; // the newest wish has not been asked yet
    this.near = false; // a blended picture answers it
    this.kept = new Store(KEEP);
    this.asked = new Map(); // number of a question -> [key, row] of its picture
    this.rested = null; // {n, key, row} of a rest without an answer yet
    this.aheadNo = 0;
    this.early = []; // answers that came before their whole picture
    this.target = null; // what is computed ahead
    this.idle = new Idle();
    this.star = null; // what other pictures are blended from
    this.answered = false; // Python has been heard
    this.aheadSince = -1e9;
    this.pressed = false;
    this.views = new Set();
    this.current = null;
    this.base = null;
    this.pins = []; // ids of edges whose length stays in sight
    this.error = ""; // a refusal of the values
    this.exact = null; // the last picture that Python drew, with its key and its values
    this.note = this.setup.back ? BACK : ""; // anything else to say
    this.link = new Link(model, () => this.linkChanged());
    this.takeWhole();
    model.on("msg:custom", (said) => this.hear(said));
    model.on("change:picture", () => this.takeWhole());
    model.on("change:unit", () => this.takeUnit());
    model.on("change:hidden", () => this.takeHidden());
    // the widget manager has lost or found the kernel; each view knows once it has been told as well
    model.on("comm_live_update", () => setTimeout(() => this.tell("checkAlive")));
    this.link.say({ kind: "here" });
  }
  /** The sliders as Python packs them, their fields by name. */
  static named(packed) {
    return packed.map((entry) => Object.fromEntries(FIELDS.map((field, k) => [field, entry[k]])));
  }
  close() {
    clearTimeout(this.restTimer);
    this.idle.clear();
    this.link.close();
  }
  linkChanged() {
    if (this.link.state) this.flying = 0;
    if (this.link.state === "ended") this.ended();
    this.aheadSince = -1e9;
    this.tell("say");
  }

  /** No picture of Python follows any more: one that was blended gives way to the last that Python drew. */
  ended() {
    this.target = null;
    if (!this.current?.blended || !this.exact) return;
    [this.current, this.shownKey, this.shownRow] = this.exact;
    this.tell("paint");
  }

  key(row = this.row, step = this.step) {
    return `${row.map(tidy).join(",")}|${step}`;
  }
  tell(what) {
    for (const view of this.views) view[what]();
  }
  /** Steps of the draft, and one more for the finished drawing. */
  lastStep() {
    return (this.base?.count || 0) + 1;
  }
  /** Why the drawing is not that of the values: "" where it is, or will be in a moment. */
  stale() {
    if (!this.current || this.shownKey === this.key()) return "";
    return this.error ? "refused" : this.link.state;
  }

  /** Whether the findings are those of other values: new ones come when the hand rests. */
  unchecked() {
    return Boolean(this.setup.rested && !this.step && this.shownKey !== this.wholeKey);
  }

  /** The outlines {lines} and {lengths} that the board started with, null where they are not known. */
  start() {
    const { base } = this;
    if (!base || base.step?.[0]) return null;
    if (base.start) return base.start;
    const begun = this.sliders.map((s) => s.start);
    if (this.wholeKey !== this.key(begun, 0)) return null;
    const shapes = (entry) => entry[0] === STROKE && this.setup.outlines.includes(entry[1]);
    base.start = {
      lines: Object.fromEntries([...base.items].filter(([, e]) => shapes(e)).map(([key, e]) => [key, e[5]])),
      lengths: Object.fromEntries([...base.facts].map(([id, fact]) => [id, fact[1]])),
    };
    return base.start;
  }
  /** Keep the length of an edge in sight, or no longer. */
  pin(id) {
    this.pins = this.pins.includes(id) ? this.pins.filter((one) => one !== id) : [...this.pins, id];
    this.tell("pinned");
  }

  // -- the hand ------------------------------------------------------------------------------------------
  /** changes: {index: value in the slider's unit}; shows at once what is kept, asks for the rest. */
  move(changes, step = this.step) {
    if (this.dropped) return this.tell("place"); // a drag that was cancelled moves nothing more
    let moved = step !== this.step;
    for (const [i, v] of Object.entries(changes)) {
      const s = this.sliders[i];
      const value = tidy(clamp(v, s.low, s.high));
      if (value === this.row[i]) continue;
      s.heading = Math.sign(value - this.row[i]);
      this.row[i] = value;
      moved = true;
    }
    this.step = step;
    if (!moved) return;
    this.seq += 1;
    this.tell("hold");
    if (this.note === BACK) this.note = "";
    const ready = this.kept.get(this.key());
    const near = ready ?? (this.link.state !== "ended" && this.star?.blend(this.row, this.step));
    this.waiting = !ready;
    this.near = Boolean(near);
    if (near) this.show(near, this.seq);
    else if (this.link.state || this.error) this.tell("say");
    this.tell("place");
    this.link.touch();
    this.pump();
    if (!this.pressed) this.restSoon();
  }
  press() {
    this.pressed = true;
    this.tell("hold");
    this.idle.hold();
    this.grip = { row: [...this.row], step: this.step };
    clearTimeout(this.restTimer);
    this.link.touch();
  }
  release() {
    if (!this.pressed) return;
    this.pressed = false;
    this.dropped = false;
    this.restSoon(40);
  }
  /** Give up a drag: the values are those that it began with. False where nothing is held. */
  cancel() {
    if (!this.pressed || this.dropped) return false;
    this.move({ ...this.grip.row }, this.grip.step);
    this.dropped = true;
    return true;
  }
  restSoon(ms = 350) {
    clearTimeout(this.restTimer);
    this.restTimer = setTimeout(() => this.rest(), ms);
  }
  /** Whether the hand rests, and Python has drawn and checked what it left. */
  atRest() {
    return !this.pressed && !this.restTimer && !this.rested && this.restedAt === this.key();
  }
  /** The hand rests. now: even if an earlier rest has no answer yet. */
  rest(now = false) {
    if (this.pressed) return;
    this.restTimer = clearTimeout(this.restTimer);
    this.trail.note(this.row);
    this.tell("trails");
    if (this.restedAt !== this.key() && (now || !this.rested)) {
      const [n, key, row, step] = [this.seq, this.key(), [...this.row], this.step];
      if (this.link.say({ kind: "rest", n, v: row, s: step, trail: this.trail.kept() })) {
        this.restedAt = key;
        this.rested = { n, key, row, step };
      }
    }
    this.tell("settle");
    this.idle.after(STILL, () => this.link.say({ kind: "still" }, false));
  }
  undo() {
    this.trail.note(this.row);
    this.follow(this.trail.back());
  }
  redo() {
    this.follow(this.trail.forward());
  }
  follow(row) {
    if (row) this.move({ ...row });
    this.tell("trails");
  }
  reset() {
    this.trail.note(this.row);
    this.move(Object.fromEntries(this.sliders.map((s, i) => [i, s.start])), 0);
  }
  /** axes: [{i, step}] of the slider or point under the hand ({i: -1} is the step slider); null: nothing. */
  aim(axes) {
    this.target = axes;
    if (axes) this.pump();
  }

  // -- questions -----------------------------------------------------------------------------------------
  pump() {
    // one where a blended picture is seen already: a second one takes the processor from the hand
    if (this.waiting && this.flying < (this.near ? 1 : 2)) {
      if (!this.link.say({ kind: "draw", n: this.seq, v: [...this.row], s: this.step })) return;
      this.waiting = false;
      this.flying += 1;
      this.asked.set(this.seq, [[...this.row], this.step]);
    } else if ((this.target || this.away()) && !this.flying && this.base) this.pumpAhead();
  }
  /** Ask for pictures that the hand may want next, one message at a time. */
  pumpAhead() {
    if (performance.now() - this.aheadSince < 5000) return;
    const rows = wished(this, this.target).filter(([row, step]) => !this.kept.has(this.key(row, step)));
    if (!rows.length) return;
    rows.splice(AHEAD);
    const away = !this.target;
    if (!this.link.say({ kind: "ahead", n: this.aheadNo + 1, v: rows, away }, !away)) return;
    this.aheadSince = performance.now();
    this.aheadRows = rows;
    this.aheadNo += 1;
  }
  /** Whether the hand is away from a board that is seen, and its values are drawn. */
  away() {
    const still = !this.pressed && this.restedAt === this.key() && !this.rested;
    return still && this.answered && !this.error && [...this.views].some((view) => view.seen);
  }

  // -- answers -------------------------------------------------------------------------------------------
  hear(said) {
    if (said.who !== this.link.who) return;
    this.link.heard();
    this.answered = true;
    if (said.here) return this.pump();
    const now = this.base?.n ?? 0;
    if (said.on > now) {
      this.early.push(said);
      return;
    }
    const base = said.on === now ? this.base : this.lastBase;
    const usable = base && base.n === said.on;
    if (said.ahead) this.hearAhead(said, usable && base);
    else this.hearDrawn(said, usable && base);
    this.pump();
  }
  hearAhead(said, base) {
    if (base && this.aheadRows && said.ahead === this.aheadNo) {
      const { star, aheadRows } = this;
      said.got.forEach((got, k) => {
        this.keep(...aheadRows[k], changed(base, got));
        // blended once in a pause, so that the lines are read when the hand comes
        this.idle.add(() => !this.pressed && star === this.star && star?.warm(...aheadRows[k]));
      });
    }
    this.aheadSince = -1e9;
    const ready = this.shownSeq < this.seq && this.kept.get(this.key());
    if (ready) {
      this.waiting = false;
      this.show(ready, this.seq);
    }
  }
  hearDrawn(said, base) {
    this.flying = Math.max(0, this.flying - 1);
    const [row, step] = this.asked.get(said.n) ?? [];
    this.asked.delete(said.n);
    if (base && row) {
      const picture = changed(base, said.got[0]);
      this.keep(row, step, picture);
      this.show(picture, said.n, this.key(row, step), row);
    } else if (said.n === this.seq) this.waiting = true;
  }
  keep(row, step, picture) {
    picture.place = [[...row], step];
    this.kept.keep(this.key(row, step), picture);
    this.star?.take(row, step, picture);
  }
  /** The whole picture is that of these values: others are blended from it from now on. */
  centre(row, step) {
    this.star = new Star(this.sliders, row, step, this.base, this.star);
    this.wholeKey = this.key(row, step);
    for (const picture of this.kept.all()) this.star.take(...picture.place, picture);
    this.keep(row, step, this.base);
  }
  show(picture, seq, key = this.key(), row = this.row) {
    // also one that comes too late to be shown: in a quick drag each is, and the start of the drag lies far away
    if (!picture.blended && !picture.error) this.exact = [picture, key, [...row]];
    if (seq < this.shownSeq) return; // an older picture never replaces a newer one
    this.shownSeq = seq;
    this.error = picture.error || "";
    // values that cannot be drawn leave the last picture that Python drew, not one blended toward them
    const back = picture.error && this.current?.blended ? this.exact : null;
    if (back || !picture.error) {
      [this.current, this.shownKey, this.shownRow] = back ?? [picture, key, [...row]];
      this.tell("paint");
    }
    this.tell("say");
  }
  takeWhole() {
    const said = this.model.get("picture");
    if (!said || (!said.by && said.by !== "")) return;
    const own = said.by.startsWith(`${this.link.who}:`) ? Number(said.by.split(":")[1]) : null;
    if (own !== null) this.link.heard();
    else if (said.by === "unit") this.forget();
    else this.followPython();
    if (said.all && (!this.base || said.n !== this.base.n)) {
      this.lastBase = this.base;
      this.base = whole(said.all, said.n);
      if (this.lastBase?.layout !== this.base.layout) {
        this.lastBase = null; // what was drawn on the old places of the pieces is of no more use
        this.kept.clear();
        this.exact = null;
      }
    }
    if (said.by !== "unit" || this.key(this.pythonRow()) === this.key()) this.showWhole(said, own);
    for (const early of this.early.splice(0)) this.hear(early);
    this.pump();
    if (this.pressed) return;
    if (this.restedAt === this.key()) this.tell("settle");
    else this.restSoon();
  }
  /** All pictures kept are of no more use. */
  forget() {
    this.kept.clear();
    this.star = null;
    this.exact = null;
  }
  showWhole(said, own) {
    if (own === null) this.seq += 1;
    const seq = own ?? this.seq;
    const here = { key: this.key(), row: this.row, step: this.step };
    const { key, row, step } = this.rested?.n === own ? this.rested : here;
    if (own !== null) this.rested = null;
    if (!said.error && this.base) this.centre(row, step);
    if (said.error) {
      if (!this.current && this.base) this.show(this.base, seq, key, row);
      this.show({ error: said.error }, seq, key, row);
    } else this.show(this.base, seq, key, row);
  }
  pythonRow() {
    const values = this.model.get("values");
    return this.sliders.map((s) => tidy(values[s.name] ?? s.start));
  }
  followPython() {
    this.row = this.pythonRow();
    this.step = this.model.get("step");
    this.trail[this.seq ? "note" : "begin"](this.row); // values that a reader left come after the board
    this.waiting = false;
    this.restedAt = this.key();
    this.tell("place");
    this.tell("trails");
  }

  // -- what the board looks like -------------------------------------------------------------------------
  /** Python writes the measures of the drawing again in the unit. */
  setUnit(unit) {
    this.rest(true);
    this.remember("unit", unit);
    this.takeUnit();
  }
  takeUnit() {
    if (this.unit === this.model.get("unit")) return;
    this.unit = this.model.get("unit");
    this.tell("units");
  }
  setHidden(name, hide) {
    const others = [...this.hidden].filter((one) => one !== name);
    this.remember("hidden", hide ? [...others, name] : others);
    this.takeHidden();
  }
  takeHidden() {
    this.hidden = new Set(this.model.get("hidden"));
    this.tell("layers");
  }
  remember(name, value) {
    this.model.set(name, value);
    this.model.save_changes();
  }
}
