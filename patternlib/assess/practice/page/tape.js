// The tape: from point to point, and along a line on its edge; with the finger, or with lists.

import { control, make } from "../../../boards/page/elements.js";
import { draw } from "../../table/page/dom.js";
import { angleOf, closest, distance, isLine, isPoint, lengthOf, minus } from "../../table/page/geometry.js";
import { writeLength } from "../../table/page/measure.js";
import { Pencil } from "../../table/page/pencil.js";

const ON_LINE = 0.05; // cm

export class Tape {
  constructor(sheet, view) {
    Object.assign(this, { sheet, view, value: null, step: null });
    this.pencil = new Pencil(view.paper);
    const list = (label) => {
      const one = control("select", { onchange: () => this.read(true) });
      one.setAttribute("aria-label", label);
      return one;
    };
    this.from = list("Tape from");
    this.to = list("Tape to");
    this.line = list("Tape along");
    this.straight = make("output", {});
    this.walked = make("output", {});
    this.el = make(
      "section",
      { className: "dt-panel fs-tape" },
      make("h4", {}, "Tape"),
      make("p", {}, make("label", {}, "from ", this.from), make("label", {}, " to ", this.to), this.straight),
      make("p", {}, make("label", {}, "along ", this.line), this.walked),
    );
    this.el.setAttribute("aria-label", "Tape");
  }
  /** A new draft: nothing is measured. */
  fresh() {
    const options = (kind) => [
      make("option", { value: "" }, "–"),
      ...[...this.sheet.on()]
        .filter(([, v]) => kind(v))
        .map(([name]) => make("option", { value: name }, name)),
    ];
    this.from.replaceChildren(...options(isPoint));
    this.to.replaceChildren(...options(isPoint));
    this.line.replaceChildren(...options(isLine));
    this.read();
  }
  /** A point or a line was tapped: a point is measured from the one tapped before. */
  take(name, kind) {
    if (kind === "line") this.line.value = name;
    else if (this.to.value !== name) {
      this.from.value = this.to.value;
      this.to.value = name;
    }
    this.read();
  }
  read(painted = false) {
    const { unit } = this.sheet;
    const on = this.sheet.on();
    const [a, b, line] = [this.from, this.to, this.line].map((list) => on.get(list.value));
    const length = (v) => writeLength(v, unit);
    this.straight.textContent =
      a && b
        ? `= ${length(distance(a, b))} straight; ${length(Math.abs(b.x - a.x))} across, ${length(Math.abs(b.y - a.y))} up or down; direction ${angleOf(minus(b, a)).toFixed(1)}°`
        : "Tap two points, or choose them here.";
    let text = "Tap a line, or choose it here.";
    if (line) {
      text = `= ${length(lengthOf(line))} from end to end`;
      for (const name of new Set([this.from.value, this.to.value])) {
        const at = name && closest(line, on.get(name));
        if (at && at.gap < ON_LINE && at.walk > ON_LINE && lengthOf(line) - at.walk > ON_LINE)
          text += `; ${length(at.walk)} from its start to ${name}, ${length(lengthOf(line) - at.walk)} to its end`;
      }
    }
    this.walked.textContent = text;
    this.pair = a && b ? [a, b] : null;
    if (painted) this.view.paper.paint();
  }
  /** Drawn by the paper with all the rest: the tape, and where the rule has what went wrong. */
  draw() {
    const { paper } = this.view;
    const taken = [...paper.taken];
    for (const [name, v] of this.sheet.wanted) {
      paper.layers.remarks.append(
        isLine(v) ? draw("path", { class: "dt-wanted", d: paper.d(v) }) : paper.cross(v, "dt-wanted", 7),
      );
      const own = this.sheet.on().get(name);
      if (isPoint(v) && isPoint(own)) paper.layers.remarks.append(paper.ruled(own, v, "dt-offby"));
    }
    if (this.pair) this.pencil.dimension(...this.pair, paper.layers.pencil, taken);
  }
}
