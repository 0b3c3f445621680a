// The figure: the tape's course seen from near, and the three views beside it.

import { control, draw, make } from "../../page/elements.js";

const VIEWS = { front: "front", back: "back", side: "side" };
const WHOLE = "-48 -172 96 178";

export class Figures {
  constructor({ outlines, tapes }) {
    Object.assign(this, { outlines, tapes });
    this.near = draw("svg", { class: "me-near", role: "img" });
    this.views = {};
    const strip = make("div", { className: "me-views" });
    strip.setAttribute("aria-hidden", "true");
    for (const [view, words] of Object.entries(VIEWS)) {
      const svg = draw("svg", { viewBox: WHOLE, class: "me-view" });
      const tape = draw("path", { class: "me-tape" });
      svg.append(...this.body(view), tape);
      this.views[view] = tape;
      strip.append(make("figure", {}, svg, make("figcaption", {}, words)));
    }
    this.caption = make("span", { className: "me-soft" });
    this.turn = control("button", { type: "button", onclick: () => this.look(this.seen + 1) });
    const below = make("p", { className: "me-turn" }, this.caption, this.turn);
    this.el = make("div", { className: "me-figures" }, this.near, below, strip);
  }
  body(view) {
    return this.outlines[view].map((d) => draw("path", { d, class: "me-outline" }));
  }
  show(name, term) {
    this.now = this.tapes[name];
    this.term = term;
    this.look(0);
    for (const [view, tape] of Object.entries(this.views)) {
      const seen = this.now.find((one) => one.view === view);
      tape.setAttribute("d", seen ? seen.path : "");
    }
  }
  look(n) {
    // from near, in the view number n
    this.seen = n % this.now.length;
    const best = this.now[this.seen];
    const after = this.now[(this.seen + 1) % this.now.length];
    this.near.setAttribute("viewBox", best.box.join(" "));
    this.near.setAttribute("aria-label", `${this.term} on the figure, seen from the ${best.view}`);
    const scale = best.box[2] / 300;
    const ends = best.ends.map(([cx, cy]) => draw("circle", { cx, cy, r: 4 * scale, class: "me-end" }));
    const names = best.marks.map(([x, y, words]) => this.named(x, y, words, best.box, scale));
    this.near.replaceChildren(
      ...this.body(best.view),
      draw("path", { d: best.path, class: "me-tape" }),
      ...ends,
      ...names,
    );
    this.caption.textContent = `Seen from the ${best.view}${best.view === "side" ? ", looking left" : ""}.`;
    this.turn.hidden = this.now.length < 2;
    this.turn.textContent = `See it from the ${after.view}`;
  }
  named(x, y, words, [x0, , width], scale) {
    // on the side where there is more room
    const right = x < x0 + width / 2;
    const text = draw("text", {
      x: x + (right ? 8 : -8) * scale,
      y: y - 6 * scale,
      "text-anchor": right ? "start" : "end",
      "font-size": 13 * scale,
      class: "me-mark",
    });
    text.textContent = words;
    return text;
  }
}
