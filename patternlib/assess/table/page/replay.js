// The steps of a section, shown on the paper one after the other; then the reader draws them herself.

import { control, make } from "../../../boards/page/elements.js";
import { dimensionLine } from "./dimension.js";
import { button, draw } from "./dom.js";
import { isLine, isPoint, unpacked } from "./geometry.js";

const LANE = 20; // px from a line to its first dimension line, and from one to the next

export class Replay {
  constructor(desk, view) {
    const { steps, begin } = desk.setup.shown;
    Object.assign(this, { desk, view, count: steps.length, at: steps.length });
    this.steps = steps.map((step) => ({ ...step, value: unpacked(step.value) }));
    this.active = begin === "shown" && !desk.steps.length;
    this.back = button("Back", () => this.show(this.at - 1), { title: "One step back" });
    this.next = button("Next step", () => this.show(this.at + 1));
    this.slider = control("input", {
      type: "range",
      min: 0,
      max: this.count,
      oninput: () => this.show(Number(this.slider.value)),
    });
    this.slider.setAttribute("aria-label", "How many steps are shown");
    this.where = make("span", { className: "dt-replaywhere" });
    this.said = make("p", { className: "dt-replaysaid" });
    this.said.setAttribute("aria-live", "polite");
    this.turn = button("", () => this.turnTo(!this.active), { className: "dt-turn" });
    this.bar = make("div", { className: "dt-replaybar" }, this.back, this.next, this.slider, this.where);
    this.el = make(
      "section",
      { className: "dt-replay" },
      this.bar,
      this.said,
      make("div", { className: "dt-replaybar" }, this.turn),
    );
    this.el.setAttribute("aria-label", "Steps of this section");
  }
  on() {
    return new Map([...this.desk.given, ...this.steps.slice(0, this.at).map((s) => [s.name, s.value])]);
  }
  /** px that the dimension lines stand out on each side of the drawing. */
  aside() {
    const room = { left: 0, right: 0, up: 0, down: 0 };
    for (const { dimension } of this.steps) {
      if (!dimension) continue;
      const [x, y] = [0, 1].map((k) => dimension.end[k] - dimension.start[k]);
      const out = { x: -y * dimension.lane, y: x * dimension.lane };
      const side =
        Math.abs(out.x) > Math.abs(out.y) ? (out.x < 0 ? "left" : "right") : out.y > 0 ? "up" : "down";
      room[side] = Math.max(room[side], this.lane * Math.abs(dimension.lane));
    }
    return room;
  }
  get lane() {
    return this.view.paper.width < 520 ? 13 : LANE;
  }
  get newest() {
    // the step that was added last; with all of them shown they are all new
    return this.at && this.at < this.count ? this.steps[this.at - 1].name : "";
  }
  show(at) {
    this.at = Math.min(Math.max(at, 0), this.count);
    this.view.refresh();
  }
  turnTo(active) {
    this.active = active;
    this.view.root.dataset.mode = active ? "shown" : "own";
    this.view.paper.shownBox = null;
    this.view.refresh();
    if (active) this.next.focus({ preventScroll: true });
    else this.view.sentence.start(this.view.sentence.verb, { focus: true });
  }
  refresh() {
    const { at, count, desk } = this;
    this.bar.hidden = this.said.hidden = !this.active;
    this.turn.textContent = this.active
      ? desk.steps.length
        ? "Back to your own drawing"
        : "Draw these steps yourself"
      : "Show me the steps";
    if (!this.active) return;
    this.back.disabled = at === 0;
    this.next.disabled = count === 0;
    this.next.textContent = at === count ? "From the start" : "Next step";
    this.next.onclick = () => this.show(at === count ? 0 : at + 1);
    this.slider.value = at;
    this.where.textContent =
      at === count ? (count > 1 ? `all ${count} steps` : "the one step") : `step ${at} of ${count}`;
    this.slider.setAttribute("aria-valuetext", this.where.textContent);
    this.said.textContent =
      at === count
        ? "New here: the strong lines, with their measures."
        : at
          ? this.steps[at - 1].said[desk.unit]
          : "This is the paper before the first step.";
  }
  /** The dimension lines of what is shown; the newest step stands out, with what it hangs from. */
  dimensions(paper, taken) {
    const layer = paper.layers.pencil,
      { newest } = this,
      on = this.on();
    const shown = this.steps.slice(0, this.at);
    for (const step of shown) if (step.name === newest) this.hangs(paper, step, on);
    const numbers = shown
      .filter((step) => step.dimension)
      .map((step) => {
        const { start, end, lane, said } = step.dimension;
        return dimensionLine(paper, unpacked(start), unpacked(end), {
          layer,
          taken,
          off: lane * this.lane,
          className: newest && step.name !== newest ? " dt-quiet" : "",
          said: said[this.desk.unit],
        });
      });
    for (const write of numbers) write();
  }
  hangs(paper, step, on) {
    const layer = paper.layers.pencil;
    for (const name of step.hangs) {
      const thing = on.get(name);
      if (isPoint(thing)) {
        const [cx, cy] = paper.px(thing);
        layer.append(draw("circle", { class: "dt-ring", cx, cy, r: 8 }));
        if (isPoint(step.value) && !step.dimension) layer.append(paper.ruled(thing, step.value, "dt-guide"));
      } else if (isLine(thing) && !step.walked)
        layer.append(draw("path", { class: "dt-held", d: paper.d(thing) }));
    }
    if (step.walked) layer.append(draw("path", { class: "dt-held", d: paper.d(unpacked(step.walked)) }));
  }
}
