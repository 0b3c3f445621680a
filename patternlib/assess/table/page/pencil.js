// The step in work on the paper: what it hangs from, the pencil mark, and its dimension with arrows and number.

import { draw } from "./dom.js";
import { dimensionLine } from "./dimension.js";
import { distance, endOf, flat, isLine, isPoint, startOf } from "./geometry.js";
import { handlesOf } from "./handles.js";
import { round, write } from "./lettering.js";

const MEASURED = ["go", "hole", "toward", "square", "square from", "swing", "swing down"];

export class Pencil {
  constructor(paper) {
    Object.assign(this, { paper, value: null, step: null, at: 0, instead: null });
  }
  /**
   * What the step in work gives now; null: nothing yet. at: its place in the list of steps; instead: a curve that
   * carries the handles of one that cannot be drawn.
   */
  mark(value, step, at, instead = null) {
    const { paper } = this;
    Object.assign(this, { value, step, at, instead });
    if (!paper.width) return;
    const grown =
      paper.fit && !paper.hold && value !== null && String(paper.box()) !== String(paper.shownBox);
    if (grown) paper.paint();
    else {
      paper.layers.pencil.replaceChildren();
      this.draw();
    }
  }
  draw() {
    const { paper, value, step } = this;
    if (!step) return;
    const layer = paper.layers.pencil;
    const taken = [...paper.taken];
    const on = paper.desk.on(this.at);
    const from = step.of.map((name) => on.get(name));
    for (const thing of from) {
      if (isPoint(thing)) {
        const [cx, cy] = paper.px(thing);
        layer.append(draw("circle", { class: "dt-ring", cx, cy, r: 8 }));
      } else if (isLine(thing)) layer.append(draw("path", { class: "dt-held", d: paper.d(thing) }));
    }
    if (this.instead) {
      layer.append(draw("path", { class: "dt-pencilline dt-instead", d: paper.d(this.instead) }));
      this.drawHandles(layer);
    }
    if (value === null || value === undefined) return;
    if (isLine(value)) layer.append(draw("path", { class: "dt-pencilline", d: paper.d(value) }));
    if (step.verb === "trace" && isLine(value)) this.wheel(value, layer);
    this.drawHandles(layer);
    const measured = MEASURED.includes(step.verb);
    if (measured) this.dimension(from[0], value, layer, taken);
    if (step.verb === "measure" && from.length === 2) this.dimension(from[0], from[1], layer, taken);
    if (!isPoint(value)) return;
    from.forEach((thing, i) => {
      if (isPoint(thing) && !(measured && i === 0)) layer.append(paper.ruled(thing, value, "dt-guide"));
    });
    layer.append(paper.cross(value, "dt-pencilmark", 7));
    const places = round(...paper.px(value), [9, 16, 26]);
    write(paper, step.name || "", "dt-pencilname", places, layer, taken);
  }
  wheel(line, layer) {
    // which way it runs, and where it stands
    const { paper } = this,
      places = flat(line, 12),
      k = Math.floor(places.length / 2);
    const [[x, y], [u, v]] = [paper.px(places[k]), paper.px(places[k - 1])],
      far = Math.hypot(x - u, y - v) || 1,
      [dx, dy] = [(x - u) / far, (y - v) / far];
    const at = (s) => `${x - 12 * dx - s * dy} ${y - 12 * dy + s * dx}`;
    layer.append(draw("path", { class: "dt-arrow", d: `M${at(5)}L${x} ${y}L${at(-5)}` }));
    const [cx, cy] = paper.px(endOf(line));
    layer.append(draw("circle", { class: "dt-wheel", cx, cy, r: 6 }));
  }
  /** The curve in work. */
  get curve() {
    return this.value ?? this.instead;
  }
  get handles() {
    return this.curve ? handlesOf(this.curve, this.step, this.paper.k) : [];
  }
  drawHandles(layer) {
    for (const { field, at } of this.handles) {
      const [cx, cy] = this.paper.px(at);
      const end = field === "leaving" ? startOf(this.curve) : endOf(this.curve);
      if (field !== "bend") layer.append(this.paper.ruled(end, at, "dt-guide"));
      layer.append(
        draw("circle", { class: "dt-handle", cx, cy, r: 7 }),
        draw("circle", { class: "dt-hit dt-hitpoint", cx, cy, r: 22, "data-handle": field }),
      );
    }
  }
  dimension(a, b, layer, taken) {
    if (isPoint(a) && distance(a, b) > 1e-6) dimensionLine(this.paper, a, b, { layer, taken })();
  }
}
