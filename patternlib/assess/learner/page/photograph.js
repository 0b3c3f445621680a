// A photograph instead of a ruler: chosen or dropped, its pages, and what is asked of Python about it.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "../../table/page/dom.js";
import { Enlarged } from "./enlarged.js";
import { FlatPicture } from "./flat.js";
import { evenly, Frame, PLACES, ReadOff, TIMES } from "./placed.js";
import { Lengths, ReadRows } from "./readrows.js";
import { refused, sendFile } from "./sending.js";
import { apart, NEEDED, Tapping } from "./tapping.js";

const MOST = 12, // photographs of one draft
  CELL = 6, // cm: so much of the paper is searched at once
  SLOW = 2500;
const HOW =
  "Lay the paper flat and hold the telephone level above it, so that every printed square is in the picture. " +
  "Copy the file to this computer as the telephone made it. Photograph each page of a worksheet by itself.";
const LATE =
  " The notebook has not answered yet. If it does nothing at all, run this cell again and choose the photograph again: " +
  "what you confirmed is kept.";
const ENDED = "The notebook is not running. Run this cell again, then choose the photograph again.";

export class PhotographPart {
  constructor(form) {
    this.form = form;
    this.values = new ReadOff(form);
    this.shots = new Map();
    this.n = 0;
    this.asked = 0;
    this.waiting = new Map();
    this.rows = form.setup.rows.filter((row) => NEEDED[row.kind]);
    const missing = form.setup.photograph;
    this.live = !missing && this.rows.length > 0;
    this.el = control(
      "details",
      { className: "pf-part ph-part", hidden: !this.rows.length },
      make("summary", {}, "Photograph it instead of measuring"),
      make("p", { className: "pf-help" }, missing || HOW),
    );
    if (this.live) this.build();
    this.el.open = this.live && (form.setup.held > 0 || this.rows.some((row) => this.values.of(row)));
    this.hears = (said, buffers) => {
      if (said.who === form.who && said.photograph) this.hear(said.photograph, buffers || []);
    };
    form.model.on("msg:custom", this.hears);
    for (let n = 0; this.live && n < (form.setup.held || 0); n += 1) this.ask({ do: "held", n });
  }
  remove() {
    clearTimeout(this.slow);
    this.form.model.off("msg:custom", this.hears);
    this.picture?.remove();
    for (const shot of this.shots.values()) URL.revokeObjectURL(shot.url);
  }

  // -- what is seen ------------------------------------------------------------------------------------------------
  build() {
    const accept = ".jpg,.jpeg,.png,image/jpeg,image/png";
    this.file = control("input", { type: "file", accept, className: "ph-file" });
    this.file.setAttribute("aria-label", "Choose the photograph");
    this.file.addEventListener("change", () => this.choose(this.file.files[0]));
    const drop = make("div", { className: "ph-drop" }, this.file, make("span", {}, "or drop the file here"));
    for (const name of ["dragover", "dragleave", "drop"])
      this.el.addEventListener(name, (e) => {
        e.preventDefault();
        e.stopPropagation();
        drop.classList.toggle("ph-over", name === "dragover");
        if (name === "drop") this.choose(e.dataTransfer.files[0]);
      });
    this.el.addEventListener("keydown", (e) => {
      this.byKeys = e.key === "Tab" || this.byKeys;
      if (this.byKeys) this.search();
    });
    this.el.addEventListener("pointerdown", () => {
      this.byKeys = false;
    });
    this.lengths = new Lengths(this);
    this.told = make("p", { className: "ph-told" });
    this.told.setAttribute("role", "status");
    this.pages = make("div", { className: "pf-bar ph-pages", hidden: true });
    this.facts = make("p", { className: "pf-help" });
    this.keys = make("div", { className: "pf-bar ph-keys" });
    this.tapping = new Tapping(this);
    this.picture = new FlatPicture(this);
    this.enlarged = new Enlarged((place) => this.where(place));
    this.list = new ReadRows(this);
    const side = make("div", { className: "ph-side" }, this.enlarged.el, this.list.el);
    this.work = make("div", { className: "ph-work" }, this.picture.el, side);
    this.el.append(drop, this.lengths.el, this.pages, this.facts, this.told, this.keys, this.work);
    this.refresh();
  }
  refresh() {
    if (!this.live) return;
    this.list.fill();
    this.lengths.fill();
    this.picture.paint();
  }
  /** Do what may change the scale of the lengths typed: what was read stays what it is. */
  rescaled(change) {
    this.values.change(this.rows, (_, place) => place, change);
  }
  say(words, keys = []) {
    this.told.textContent = words;
    this.told.classList.remove("ph-fault");
    const made = keys.map(([text, act, main]) => button(text, act, main ? { className: "pf-main" } : {}));
    this.keys.replaceChildren(...made);
  }
  fault(words) {
    this.say(words);
    this.told.classList.add("ph-fault");
  }
  get shot() {
    return this.shots.get(this.n);
  }
  /** A place on the paper in words, '' as long as the draft's frame is not known. */
  where(place) {
    const { frame } = this.shot;
    if (!frame) return "";
    const [x, y] = frame.draft(place);
    return `${(x + 0).toFixed(2)} across, ${(y + 0).toFixed(2)} up`;
  }

  // -- talk with Python -----------------------------------------------------------------------------------------------
  async choose(file) {
    const fault = refused(file);
    if (fault) {
      this.fault(fault);
      return;
    }
    this.say("Reading the photograph …");
    try {
      await sendFile(file, (what, data) => this.ask({ do: "part", ...what, ...this.lengths.said() }, [data]));
      this.file.value = "";
    } catch {
      this.fault(ENDED);
    }
  }
  ask(what, buffers = []) {
    this.asked += 1;
    const { form } = this;
    form.model.send({ who: form.who, kind: "photograph", ask: this.asked, ...what }, undefined, buffers);
    clearTimeout(this.slow);
    if (what.do !== "crossings") this.slow = setTimeout(() => this.late(), SLOW);
    return this.asked;
  }
  /** No answer has come for a while: it is said, until one comes. */
  late() {
    this.lateSaid ??= make("span", {}, LATE);
    this.told.append(this.lateSaid);
  }
  /** Ask something about the photograph that is seen; then(answer, buffers), if nothing newer of its kind was asked. */
  question(what, then = () => {}) {
    try {
      this.waiting.set(what.do, [this.ask({ sha256: this.shot?.sha256 ?? "", ...what }), then]);
    } catch {
      this.fault(ENDED);
    }
  }
  hear(said, buffers) {
    clearTimeout(this.slow);
    this.lateSaid?.remove();
    if (said.fault) {
      this.searching = false;
      if (said.lengths) this.lengths.el.open = true;
      this.fault(said.fault);
      return;
    }
    if (said.taken) {
      this.take(said.taken, buffers[0]);
      return;
    }
    const [n, then] = this.waiting.get(said.do) || [];
    if (n === said.ask) then(said, buffers);
  }

  // -- the pages ------------------------------------------------------------------------------------------------------
  take(taken, jpeg) {
    const n = this.number(taken),
      again = this.values.shot(n, "sha256") === taken.sha256;
    const [origin, above] = taken.tapped, // two flags on the centre line
      times = TIMES[taken.scale || this.lengths.scale],
      byFlags = origin && apart(origin, above) && Frame.tapped(origin, above, true, times),
      kept = again && Frame.read(this.values.shot(n, "frame"));
    const frame = Frame.read(taken.frame) || byFlags || kept || null;
    const url = URL.createObjectURL(new Blob([jpeg], { type: "image/jpeg" }));
    if (this.shots.has(n)) URL.revokeObjectURL(this.shots.get(n).url);
    this.shots.set(n, { ...taken, url, frame });
    this.note(n);
    this.turn(n);
    this.changed();
    if (!again || taken.kind === "strips") this.flags(); // else what was confirmed or taken away stays so
    if (taken.held) this.turn(1); // several lie on the form from the start
    this.tapping.next();
  }
  /** A page taken again has its old number, another photograph the next one. */
  number({ page, sha256 }) {
    const fact = (n, part) => this.shots.get(n)?.[part] || this.values.shot(n, part);
    let n = 1;
    while (
      n < MOST &&
      fact(n, "sha256") &&
      fact(n, "sha256") !== sha256 &&
      !(page && fact(n, "page") === page)
    )
      n += 1;
    return n;
  }
  note(n) {
    const { sha256, residual, page, scale, frame } = this.shots.get(n);
    this.values.note(n, { sha256, residual, page, scale, frame: frame ? frame.text() : "" });
  }
  /** Write what was read from the photograph that is seen. */
  put(row, places) {
    this.note(this.n);
    this.values.put(row, this.n, places);
  }
  changed() {
    this.form.changed();
    this.form.refresh();
  }
  turn(n) {
    this.n = n;
    this.enlarged.close();
    this.el.classList.remove("ph-looking");
    const { shot } = this;
    const keys = [...this.shots].map(([k, one]) => {
      const key = button(one.page ? `Page ${one.page}` : `Photograph ${k}`, () => {
        this.turn(k);
        this.tapping.turned();
      });
      key.setAttribute("aria-pressed", String(k === n));
      return key;
    });
    const strips = shot.kind === "strips";
    if (strips) keys.push(button("Tap the centre line again", () => this.tapping.reframe()));
    this.pages.replaceChildren(...keys);
    this.pages.hidden = this.shots.size < 2 && !strips;
    this.facts.textContent =
      `${shot.page ? `Page ${shot.page}` : "The photograph"} is read. Its printed squares fit within ` +
      `${shot.residual} mm, and the telephone was tilted by ${Math.round(shot.tilt)}°.`;
    this.picture.show(shot);
  }
  /** The frame of a large draft is tapped; what was read in the old frame is carried into the new one. */
  framed(origin, second) {
    const { shot, n, lengths, values } = this,
      was = shot.frame,
      scale = shot.scale || lengths.scale,
      frame = Frame.tapped(origin, second, lengths.above, TIMES[scale]);
    const moved = (k, place) => (k === n && was ? frame.draft(was.paper(place)) : place);
    values.change(this.rows, moved);
    Object.assign(shot, { frame, scale });
    this.note(n);
    this.changed();
    this.flags();
  }
  /** A flag names its point by itself, and lines are followed between flags; what was typed by hand stays. */
  flags() {
    const { frame, flags, lines } = this.shot,
      read = [];
    if (!frame) return;
    for (const row of this.rows) {
      const line = row.kind === "curve" && lines[row.name],
        found = row.kind === "point" ? flags[row.name] && [flags[row.name]] : line && evenly(line, PLACES);
      if (!found || (this.values.filled(row) && !this.values.of(row))) continue;
      this.put(
        row,
        found.map((p) => frame.draft(p)),
      );
      read.push(row.title);
    }
    const { doubtful } = this.shot;
    if (read.length) {
      this.changed();
      this.facts.textContent += ` Read from flags: ${read.join(", ")}. Look whether each lies where you see it.`;
    }
    if (doubtful.length)
      this.facts.textContent += ` Tap these yourself, their flags are bent, partly covered or there twice: ${doubtful.join(", ")}.`;
  }
  /** Keys are used: find the crossings that Tab goes through, in one part of the picture after the other. */
  search() {
    const { shot } = this;
    if (!shot || this.searching) return;
    if (!shot.cells) Object.assign(shot, { cells: cells(shot.box), crossings: [] });
    this.picture.crossings(shot.crossings);
    const box = shot.cells[0];
    if (!box) return;
    this.searching = true;
    this.question({ do: "crossings", box }, ({ crossings }) => {
      if (shot.cells[0] === box) {
        shot.cells.shift();
        shot.crossings.push(...crossings);
        if (this.shot === shot) this.picture.crossings(shot.crossings);
      }
      this.searching = false;
      if (this.byKeys) this.search();
    });
  }
}

/** The parts of a picture that are searched one after the other, from the top, each row from the left. */
export function cells([x0, y0, x1, y1]) {
  const made = [];
  for (let y = y1; y > y0; y -= CELL)
    for (let x = x0; x < x1; x += CELL) made.push([x, Math.max(y - CELL, y0), Math.min(x + CELL, x1), y]);
  return made;
}
