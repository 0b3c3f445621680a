// What is tapped on a photograph, one place after the other: the frame, points, the ends of lines.

import { evenly, joined, PLACES, thinned } from "./placed.js";

const OFF = 0.05, // cm of the draft that a cut line may stray between two of its corners
  FAR = 10; // cm on the paper: so far apart the two places on the centre line must be
export const NEEDED = { point: 1, grain: 2, curve: 2, "cut line": 3 };
const gap = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);
/** Whether two places on the centre line lie far enough apart to say how the draft lies. */
export const apart = (a, b) => gap(a, b) >= FAR;

export class Tapping {
  constructor(part) {
    this.part = part;
    this.row = null;
    this.clear();
  }
  /** taps: on this page; parts: of a line on pages before it; between: the next tap goes between two others. */
  clear() {
    Object.assign(this, { taps: [], parts: [], traced: null, origin: null, between: false, framing: false });
  }
  get beginning() {
    return this.framing || !this.part.shot.frame;
  }

  // -- which row ------------------------------------------------------------------------------------------------------
  /** The next row that is not read yet. */
  next() {
    const { part } = this;
    if (!this.row || part.values.of(this.row))
      this.row = part.rows.find((row) => !part.values.of(row)) ?? null;
    this.restart();
  }
  restart() {
    this.clear();
    this.guide();
    this.part.refresh();
  }
  /** Another page is seen: a line that goes on is not lost. */
  turned() {
    const { parts } = this;
    this.clear();
    this.parts = parts;
    this.guide();
    this.part.refresh();
  }
  reframe() {
    this.restart();
    this.framing = true;
    this.guide();
  }
  /** Read this row, again if it has been read: a point's own place is enlarged at once. */
  read(row) {
    const { part } = this;
    this.row = row;
    part.enlarged.close();
    if (!part.shot) {
      part.say(`Choose the photograph that shows ${row.title}.`);
      part.refresh();
      return;
    }
    this.restart();
    const read = part.values.of(row),
      place = read && row.kind === "point" && !this.beginning && part.shot.frame.paper(read.places[0]);
    if (place && part.picture.shows(place)) this.look(place, place);
    else part.picture.focus();
  }
  takeAway(row) {
    const { part } = this;
    part.values.drop(row);
    part.changed();
    part.form.send();
    this.row = row;
    if (part.shot) this.restart();
    else part.refresh();
  }

  // -- what to tap ----------------------------------------------------------------------------------------------------
  guide() {
    const { part, row } = this;
    if (!part.shot) return;
    if (this.beginning) {
      const where = part.lengths.above ? "above" : "below";
      part.say(
        this.origin
          ? `Tap a second place on the centre line, far ${where} the waist level.`
          : "Tap where the centre line crosses the waist level.",
      );
      return;
    }
    if (!row) {
      part.say("Everything is read. Measure by hand what is left below, then compare with the rule.");
      return;
    }
    const begun = this.taps.length > 0;
    const words = {
      point: `Tap where ${row.title} is.`,
      grain: begun ? "Tap the other end of the grain line." : "Tap one end of the grain line.",
      curve: begun ? `Tap the other end of ${row.title}.` : `Tap one end of ${row.title}.`,
      "cut line": begun
        ? "Tap the next corner, walking round once, and on a curve a few places more."
        : "Tap a corner of the cut line.",
    };
    const on =
      this.parts.length && !begun ? `Tap where ${row.title} comes in on this page.` : words[row.kind];
    const keys = begun || this.parts.length ? [["Begin again", () => this.restart()]] : [];
    if (row.kind === "cut line" && this.taps.length >= NEEDED[row.kind])
      keys.unshift(["The line is closed", () => this.trace(), true]);
    part.say(on, keys);
  }
  title() {
    const { row } = this;
    if (this.beginning)
      return this.origin ? "A second place on the centre line" : "Centre line and waist level";
    return row.kind === "point" ? row.title : `${row.title}, place ${this.taps.length + 1}`;
  }
  /** A tap on the picture: enlarged, then confirmed. */
  tapped(place) {
    if (this.row || this.beginning) this.look(place);
  }
  look(at, place) {
    const { part } = this;
    part.question({ do: "look", at }, (said, buffers) => {
      const url = URL.createObjectURL(new Blob([buffers[0]], { type: "image/jpeg" }));
      const shut = () => {
        part.el.classList.remove("ph-looking");
        part.refresh();
        part.picture.focus();
      };
      part.el.classList.add("ph-looking");
      part.enlarged.open(
        { ...said, url, place },
        this.title(),
        (mark) => {
          shut();
          this.confirmed(mark);
        },
        shut,
      );
    });
  }
  confirmed(mark) {
    if (this.beginning) this.onFrame(mark);
    else if (this.between) this.put(mark);
    else {
      this.taps.push(mark);
      const { kind } = this.row,
        enough = this.taps.length >= NEEDED[kind];
      if (enough && kind === "curve") this.trace();
      else if (enough && kind !== "cut line") this.keep(this.taps.map((p) => this.part.shot.frame.draft(p)));
      else {
        this.guide();
        this.part.picture.paint();
      }
    }
  }
  onFrame(mark) {
    const { part, origin } = this;
    if (!origin) {
      this.origin = mark;
      this.guide();
      part.picture.paint();
    } else if (!apart(mark, origin))
      part.say(
        `These two places lie less than ${FAR} cm apart. Tap one on the centre line that is farther away.`,
      );
    else {
      part.framed(origin, mark);
      this.next();
    }
  }
  keep(places) {
    const { part } = this;
    part.put(this.row, places);
    part.changed();
    part.form.send();
    this.next();
    part.picture.focus();
  }

  // -- lines ------------------------------------------------------------------------------------------------------------
  trace() {
    const { part, row } = this,
      round = row.kind === "cut line",
      places = round ? [...this.taps, this.taps[0]] : this.taps;
    part.say("Following the pencil …");
    part.question({ do: "trace", places }, ({ line }) => {
      this.traced = line;
      part.picture.paint();
      const more = [
        ["Add a place between", () => this.addBetween()],
        ["It goes on on another page", () => this.goOn()],
      ];
      part.say("The line in colour follows the pencil. Does it lie on your line everywhere?", [
        ["Take this line", () => this.keepLine(), true],
        ...(round ? [] : part.shot.kind === "sheet" ? more : more.slice(0, 1)),
        ["Begin again", () => this.restart()],
      ]);
      part.keys.firstChild.focus({ preventScroll: true });
    });
  }
  addBetween() {
    this.between = true;
    this.part.say("Tap a place on your line where the colour leaves it.", [
      ["Begin again", () => this.restart()],
    ]);
    this.part.picture.focus();
  }
  put(mark) {
    // into the stretch between two taps from which it lies off least
    const { taps } = this,
      detour = (i) => gap(mark, taps[i]) + gap(mark, taps[i + 1]) - gap(taps[i], taps[i + 1]);
    const best = taps.slice(1).reduce((a, _, i) => (detour(i) < detour(a) ? i : a), 0);
    taps.splice(best + 1, 0, mark);
    this.between = false;
    this.trace();
  }
  goOn() {
    const { part } = this;
    this.parts.push(this.traced.map((p) => part.shot.frame.draft(p)));
    Object.assign(this, { traced: null, taps: [] });
    part.say("This part is kept. Turn to the other page, or choose its photograph, and go on there.", [
      ["Begin again", () => this.restart()],
    ]);
    part.picture.paint();
  }
  keepLine() {
    const { frame } = this.part.shot,
      line = joined([...this.parts, this.traced.map((p) => frame.draft(p))]);
    this.keep(this.row.kind === "cut line" ? thinned(line, OFF).slice(0, -1) : evenly(line, PLACES));
  }

  // -- what is drawn on the picture -----------------------------------------------------------------------------------
  marks() {
    const { part } = this,
      { frame } = part.shot,
      made = this.taps.map((tap) => [tap, ""]);
    if (this.origin) made.push([this.origin, "centre line and waist level"]);
    if (!frame) return made;
    for (const row of part.rows) {
      const read = row.kind === "point" && part.values.of(row);
      if (read) made.push([frame.paper(read.places[0]), row.title]);
    }
    return made;
  }
  lines() {
    const { part } = this,
      { frame } = part.shot,
      made = this.traced ? [this.traced] : [];
    if (!frame) return made;
    for (const line of this.parts) made.push(line.map((p) => frame.paper(p)));
    for (const row of part.rows) {
      const read = row.kind !== "point" && part.values.of(row);
      if (!read) continue;
      const line = read.places.map((p) => frame.paper(p));
      made.push(row.kind === "cut line" ? [...line, line[0]] : line);
    }
    return made;
  }
}
