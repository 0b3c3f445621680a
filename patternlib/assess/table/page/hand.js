// The hand on the paper: tap a point or line to fill a place, press and pull to draw, slide along a line.

import { bentTo } from "./handles.js";
import { isPoint } from "./geometry.js";
import { nearest, nearestLine, pulled, slid } from "./snap.js";
import { cornerAt, tracedOn } from "./traced.js";
import { under, wheeled } from "./wheel.js";

const HANDLES = {
  bend: "half-way mark",
  leaving: "direction at the start",
  arriving: "direction at the end",
};
const NO_LINE = "No line runs there to trace. Rule or draw it first, then pull the wheel along it.";
const MOVED = 6; // px: less is a tap
const REACH = { mouse: 13, pen: 13, touch: 24 }; // px round a point
const LINE_REACH = { mouse: 9, pen: 9, touch: 22 }; // px beside a line

export class Hand {
  constructor(desk, view) {
    Object.assign(this, { desk, view, paper: view.paper, press: null });
    const { el } = this.paper;
    el.addEventListener("pointerdown", (e) => this.down(e));
    el.addEventListener("pointermove", (e) => this.move(e));
    el.addEventListener("pointerup", (e) => this.up(e));
    const still = (e) => this.press?.what && e.cancelable && e.preventDefault(); // a pull scrolls no page
    el.addEventListener("touchmove", still, { passive: false });
    el.addEventListener("pointercancel", () => this.end());
    el.addEventListener("pointerleave", () => (this.paper.card.hidden = true));
  }
  where(e) {
    const box = this.paper.el.getBoundingClientRect(),
      [x, y] = [e.clientX - box.left, e.clientY - box.top];
    return { x, y, cm: this.paper.cm(x, y) };
  }
  under(e) {
    // what lies under the hand: a point before a line
    const { cm, x, y } = this.where(e),
      on = this.view.replaying ? this.view.on() : this.desk.on(this.view.sentence.place),
      reach = REACH[e.pointerType] || 13;
    for (const { field, at } of this.view.replaying ? [] : this.paper.pencil.handles) {
      const [hx, hy] = this.paper.px(at);
      if (Math.hypot(hx - x, hy - y) <= reach) return { name: field, kind: "handle" };
    }
    const spot = nearest(
      [...on].filter(([, v]) => isPoint(v)),
      cm,
    );
    if (spot && spot.gap * this.paper.k <= reach) return { name: spot.name, kind: "point" };
    const line = this.lineUnder(on, cm);
    if (line && line.gap * this.paper.k <= (LINE_REACH[e.pointerType] || 9)) return line;
    return null;
  }
  lineUnder(on, cm) {
    // an edge where one is wanted, else a line of the plan; of two edges on one line that which is not named yet
    const { sentence } = this.view,
      traced = tracedOn(this.desk, sentence.place),
      takes = sentence.active?.takes || [],
      named = sentence.fields.map((f) => f.text);
    const of = (wanted) => nearestLine(new Map([...on].filter(([name]) => wanted(name))), cm);
    const edge = takes.includes("edge") && of((name) => traced.has(name) && !named.includes(name));
    const line = takes.includes("edge") && !takes.includes("line") ? null : of((name) => !traced.has(name));
    if (edge && !(line && line.gap < edge.gap - 0.05)) return { ...edge, kind: "edge" };
    return line && { ...line, kind: "line" };
  }
  down(e) {
    if (e.button > 0 || e.target.closest("button")) return;
    const at = this.where(e),
      what = this.view.replaying ? null : this.under(e);
    this.press = { id: e.pointerId, x: e.clientX, y: e.clientY, at, what, moved: false };
    if (this.view.sentence.verb === "trace") this.holdWheel(at, REACH[e.pointerType] || 13);
    if (what) e.preventDefault(); // the place that waits keeps the focus
    if (what || e.pointerType !== "touch") this.paper.el.setPointerCapture(e.pointerId);
  }
  move(e) {
    const { press } = this;
    if (!press) {
      if (e.pointerType !== "touch") this.hover(e);
      return;
    }
    if (e.pointerId !== press.id) return;
    const [dx, dy] = [e.clientX - press.x, e.clientY - press.y];
    if (!press.moved && Math.hypot(dx, dy) < MOVED) return;
    if (!press.moved) {
      press.moved = true;
      this.paper.card.hidden = true;
      this.paper.hold = true;
      this.paper.el.classList.toggle("dt-pulling", !!press.what);
    }
    if (!press.what) {
      this.paper.pan(e.clientX - (press.lastX ?? press.x), e.clientY - (press.lastY ?? press.y));
      [press.lastX, press.lastY] = [e.clientX, e.clientY];
      return;
    }
    this.pull(this.where(e));
  }
  holdWheel(at, reach) {
    const { place } = this.view.sentence,
      traced = tracedOn(this.desk, place);
    this.press.wheel = under(at.cm, this.desk.on(place), traced, reach / this.paper.k);
  }
  pull(at) {
    const { what, wheel } = this.press,
      { desk, paper } = this,
      on = desk.on(this.view.sentence.place);
    if (wheel) {
      const parts = wheeled(wheel, at.cm, on, tracedOn(desk, this.view.sentence.place));
      if (parts) this.view.sentence.fill("trace", parts);
      this.press.traced = !!parts;
      return;
    }
    if (what.kind === "handle") {
      this.view.sentence.fill("curve", bentTo(what.name, at.cm, paper.pencil.curve, on, desk.unit));
      return;
    }
    const done =
      what.kind === "point"
        ? pulled(what.name, at.cm, on, paper.k, desk.unit)
        : slid(what.name, at.cm, on, desk.unit);
    if (done) this.view.sentence.fill(done.verb, done.parts);
    if (at.x < 12 || at.y < 12 || at.x > paper.width - 12 || at.y > paper.height - 12) this.makeRoom(at);
  }
  makeRoom(at) {
    // at the edge of the paper it is seen from farther, so that the hand can go on
    if (this.room) return;
    this.room = setTimeout(() => {
      this.room = null;
      if (!this.press) return;
      const { name } = this.press.what,
        value = this.desk.on().get(name);
      this.paper.fit = true;
      const [x, y] = isPoint(value) ? this.paper.px(value) : [at.x, at.y];
      this.paper.zoom(0.9, x, y);
      this.paper.fit = true;
    }, 120);
  }
  up(e) {
    const { press } = this;
    if (!press || e.pointerId !== press.id) return;
    this.end();
    const { sentence } = this.view;
    if (press.moved) {
      if (!press.what) return;
      if (sentence.verb === "trace" && !press.traced) sentence.complain(null, NO_LINE);
      const next = sentence.fields.find((f) => f.needed && f.kind !== "name");
      const over =
        e.pointerType !== "touch" &&
        sentence.field(press.what.kind === "handle" ? press.what.name : "measure"); // a length may be typed over
      if (next || over) this.view.focus(next || over);
      else sentence.setButton.focus({ preventScroll: true });
      return;
    }
    if (this.view.replaying) return;
    if (press.what) {
      this.tap(press.what);
      return;
    }
    const from = sentence.field("of0"),
      way = sentence.field("way");
    if (sentence.verb === "go" && from.text && way.empty) {
      const done = pulled(from.text, press.at.cm, this.desk.on(sentence.place), this.paper.k, this.desk.unit);
      if (done && done.verb === "go") {
        sentence.fill("go", done.parts);
        this.view.focus(sentence.field("measure"));
      }
    }
  }
  tap({ name, kind }) {
    const { view, desk } = this;
    if (kind === "handle") {
      view.focus(view.sentence.field(name));
      return;
    }
    const value = desk.on(view.sentence.place).get(name),
      corner = view.sentence.verb === "corner" && kind === "point";
    const edges = corner && cornerAt(desk, value, view.sentence.place);
    if (edges) {
      view.sentence.fill("corner", { of0: edges[0], of1: edges[1] });
      view.focus(view.sentence.field("first"));
      return;
    }
    if (view.sentence.takeThing(name, kind)) return;
    const i = desk.steps.findIndex((s) => s.name === name);
    if (i >= 0) view.choose(name);
    else view.announce(`${name} is given.`);
  }
  end() {
    this.press = null;
    this.paper.hold = false;
    if (this.view.later) this.view.takeUp(this.view.later);
    this.paper.el.classList.remove("dt-pulling");
  }
  hover(e) {
    const { card } = this.paper,
      what = this.under(e);
    card.hidden = !what;
    if (!what) return;
    card.textContent = what.kind === "handle" ? HANDLES[what.name] : what.name;
    const { x, y } = this.where(e),
      left = x > this.paper.width * 0.6;
    card.style.transform = `translate(${left ? `calc(${x - 14}px - 100%)` : `${x + 14}px`}, ${y + 14}px)`;
  }
}
