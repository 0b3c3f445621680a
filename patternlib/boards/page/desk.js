// Desk: one a board. Holds the values, asks Python for pictures, keeps some ready, tells the views.
// Messages are described in board.py.

import { near, nearSteps, rowsAround } from "./ahead.js";
import { clamp, tidy } from "./numbers.js";
import { changed, Store, whole } from "./pictures.js";

const KEEP = 320; // pictures kept at most
const AHEAD = 24; // pictures wished for in one message; Python sends as many as its time allows

export class Desk {
  constructor(model) {
    this.model = model;
    this.who = Math.random().toString(36).slice(2, 8);
    this.setup = model.get("setup");
    this.sliders = this.setup.sliders.map(([name, label, low, high, step, start, unit, why, choices]) => ({
      name,
      label,
      low,
      high,
      step,
      start,
      unit,
      why,
      choices,
    }));
    this.at = Object.fromEntries(this.sliders.map((s, i) => [s.name, i]));
    this.row = this.sliders.map((s) => model.get("values")[s.name] ?? s.start);
    this.step = model.get("step");
    this.unit = model.get("unit");
    this.hidden = new Set(model.get("hidden"));
    this.seq = 0; // number of the newest wish
    this.shownSeq = 0; // number of the wish whose picture is shown
    this.flying = 0; // questions without an answer yet
    this.waiting = false; // the newest wish has not been asked yet
    this.kept = new Store(KEEP);
    this.asked = new Map(); // number of a question -> key of its picture
    this.rested = new Map(); // number of a rest -> key of its picture
    this.aheadNo = 0;
    this.early = []; // answers that came before their whole picture
    this.target = null; // what is computed ahead
    this.aheadSince = -1e9;
    this.pressed = false;
    this.views = new Set();
    this.current = null;
    this.base = null;
    this.error = "";
    this.note = "";
    this.takeWhole();
    model.on("msg:custom", (said) => this.hear(said));
    model.on("change:picture", () => this.takeWhole());
    this.say({ kind: "here" });
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

  // -- the hand ------------------------------------------------------------------------------------------
  /** changes: {index: value in the slider's unit}; shows at once what is kept, asks for the rest. */
  move(changes, step = this.step) {
    let moved = step !== this.step;
    for (const [i, v] of Object.entries(changes)) {
      const s = this.sliders[i];
      const value = tidy(clamp(v, s.low, s.high));
      if (value !== this.row[i]) {
        s.heading = Math.sign(value - this.row[i]);
        this.row[i] = value;
        moved = true;
      }
    }
    this.step = step;
    if (!moved) return;
    this.seq += 1;
    const ready = this.kept.get(this.key());
    this.waiting = !ready;
    if (ready) this.show(ready, this.seq);
    this.tell("place");
    this.pump();
    if (!this.pressed) this.restSoon();
  }
  press() {
    this.pressed = true;
    clearTimeout(this.restTimer);
  }
  release() {
    if (!this.pressed) return;
    this.pressed = false;
    this.restSoon(40);
  }
  restSoon(ms = 350) {
    clearTimeout(this.restTimer);
    this.restTimer = setTimeout(() => this.rest(), ms);
  }
  rest() {
    if (this.pressed) return;
    if (this.restedAt !== this.key()) {
      this.restedAt = this.key();
      this.rested.set(this.seq, this.key());
      this.say({ kind: "rest", n: this.seq, v: [...this.row], s: this.step });
    }
    this.tell("settle");
  }
  /** axes: [{i, step}] of the slider or point under the hand ({i: -1} is the step slider); null: nothing. */
  aim(axes) {
    this.target = axes;
    if (axes) this.pump();
  }

  // -- questions -----------------------------------------------------------------------------------------
  /** Send a message; false when the kernel that drew this board has ended. */
  say(what) {
    try {
      this.model.send({ who: this.who, ...what });
      return true;
    } catch {
      this.flying = 0;
      this.target = null;
      this.missed = true;
      this.note = "The kernel that drew this board has ended. Run this cell again to draw on.";
      this.tell("say");
      return false;
    }
  }
  pump() {
    if (this.waiting && this.flying < 2) {
      this.waiting = false;
      if (!this.say({ kind: "draw", n: this.seq, v: [...this.row], s: this.step })) return;
      this.flying += 1;
      this.asked.set(this.seq, this.key());
      clearTimeout(this.slow);
      this.slow = setTimeout(() => this.tooLong(), 2500);
    } else if (this.target && !this.flying && this.base && performance.now() - this.aheadSince > 5000) {
      const rows = this.wishes();
      if (!rows.length) return;
      this.aheadSince = performance.now();
      this.aheadRows = rows;
      this.aheadNo += 1;
      this.say({ kind: "ahead", n: this.aheadNo, v: rows });
    }
  }
  /** Values around the hand whose pictures are not kept yet; empties the store when others changed. */
  wishes() {
    const free = new Set(this.target.map((a) => a.i));
    const others =
      this.row.map((v, i) => (free.has(i) ? "*" : v)).join() + (free.has(-1) ? "" : `|${this.step}`);
    if (others !== this.keptFor) {
      this.kept.clear();
      this.keptFor = others;
    }
    if (this.current && this.shownSeq === this.seq) this.kept.keep(this.key(), this.current);
    const count = this.target.length > 1 ? 9 : 120;
    const axes = this.target.map((a) => ({
      i: a.i,
      places:
        a.i < 0 ? nearSteps(this.step, this.lastStep()) : near(this.sliders[a.i], this.row[a.i], a, count),
    }));
    return rowsAround(this.row, this.step, axes)
      .slice(0, KEEP - 40)
      .filter(([row, step]) => !this.kept.has(this.key(row, step)))
      .slice(0, AHEAD);
  }
  tooLong() {
    if (!this.flying) return;
    this.flying = 0;
    this.aheadSince = -1e9;
    this.missed = true;
    this.note =
      "No answer yet. The kernel is busy, or it was restarted; after a restart run this cell again.";
    this.tell("say");
  }

  // -- answers -------------------------------------------------------------------------------------------
  hear(said) {
    if (said.who !== this.who) return;
    if (this.missed) {
      this.missed = false;
      this.note = ""; // other notes stay till they are mended
      this.tell("say");
    }
    const now = this.base ? this.base.n : 0;
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
      said.got.forEach((got, k) => {
        this.kept.keep(this.key(...this.aheadRows[k]), changed(base, got));
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
    const asked = this.asked.get(said.n);
    this.asked.delete(said.n);
    if (base) {
      const picture = changed(base, said.got[0]);
      if (asked) this.kept.keep(asked, picture);
      this.show(picture, said.n, asked);
    } else if (said.n === this.seq) this.waiting = true;
  }
  show(picture, seq, key = this.key()) {
    if (seq < this.shownSeq) return; // an older picture never replaces a newer one
    this.shownSeq = seq;
    this.error = picture.error || "";
    if (!picture.error) {
      this.current = picture;
      this.shownKey = key;
      this.tell("paint");
    }
    this.tell("say");
  }
  takeWhole() {
    const said = this.model.get("picture");
    if (!said || (!said.by && said.by !== "")) return;
    const own = said.by.startsWith(`${this.who}:`) ? Number(said.by.split(":")[1]) : null;
    if (own === null) this.followPython();
    if (said.all && (!this.base || said.n !== this.base.n)) {
      this.lastBase = this.base;
      this.base = whole(said.all, said.n);
    }
    if (own === null) this.seq += 1;
    const seq = own ?? this.seq;
    const key = this.rested.get(own) ?? this.key();
    this.rested.delete(own);
    if (said.error) {
      if (!this.current && this.base) this.show(this.base, seq, key);
      this.show({ error: said.error }, seq, key);
    } else this.show(this.base, seq, key);
    if (own === null) this.tell("settle");
    for (const early of this.early.splice(0)) this.hear(early);
  }
  followPython() {
    const values = this.model.get("values");
    this.row = this.sliders.map((s) => tidy(values[s.name]));
    this.step = this.model.get("step");
    this.kept.clear();
    this.waiting = false;
    this.restedAt = this.key();
    this.tell("place");
  }
  reset() {
    this.move(Object.fromEntries(this.sliders.map((s, i) => [i, s.start])), 0);
  }
  /** Python writes the measures of the drawing again in the unit. */
  setUnit(unit) {
    this.rest();
    this.unit = unit;
    this.remember("unit", unit);
    this.tell("units");
  }
  remember(name, value) {
    this.model.set(name, value);
    this.model.save_changes();
  }
}
