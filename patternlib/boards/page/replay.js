// The step slider: the draft step by step, each with its sentence; or all of it drawn again, slowly.

import { control, make } from "./elements.js";
import { holding } from "./hand.js";

const SHORTEST = 1500; // ms a step is shown
const LONGEST = 6500;
const WORD = 170; // ms to read a word

/** ms a step with this sentence is shown while the draft is drawn again. */
export const readingTime = (text) =>
  Math.min(LONGEST, SHORTEST + WORD * text.split(/\s+/).filter(Boolean).length);

/** Player: draws the draft again, a step at a time, until it is finished or a key or a touch stops it. */
export class Player {
  /** changed: called when it starts and stops. */
  constructor(desk, changed) {
    this.desk = desk;
    this.changed = changed;
    this.playing = false;
  }
  start() {
    this.playing = true;
    this.desk.move({}, 1);
    this.wait();
    this.stopping = (e) => {
      const pressed = e.type === "pointerdown" || e.key === "Enter" || e.key === " ";
      if (!pressed || !e.target?.closest?.(".db-again")) this.stop(); // a press on its own button stops it anyway
    };
    for (const kind of ["keydown", "pointerdown"]) document.addEventListener(kind, this.stopping, true);
    this.changed();
  }
  stop() {
    if (!this.playing) return;
    this.playing = false;
    clearTimeout(this.timer);
    for (const kind of ["keydown", "pointerdown"]) document.removeEventListener(kind, this.stopping, true);
    this.changed();
  }
  wait() {
    const text = this.desk.current?.step?.[1] ?? "";
    this.timer = setTimeout(() => this.next(), readingTime(text));
  }
  next() {
    const { desk } = this;
    if (desk.link.state || desk.error) return this.stop();
    const step = desk.step + 1;
    if (!desk.step || step >= desk.lastStep()) {
      desk.move({}, 0);
      return this.stop();
    }
    desk.move({}, step);
    this.wait();
  }
}

/** {el, show, read, stop}: the row, what brings the slider up to date, and what says the sentence of the step. */
export function stepRow(desk, aims) {
  const range = control("input", { type: "range", min: 1, step: 1, ariaLabel: "Step of the draft" });
  const axes = () => [{ i: -1 }];
  const count = make("span", { className: "db-unit" });
  const text = make("p", { className: "db-steptext" });
  const again = control("button", { type: "button", className: "db-again" }, "Draw it again, slowly");
  const player = new Player(desk, () => {
    again.textContent = player.playing ? "Stop drawing" : "Draw it again, slowly";
  });
  again.onclick = () => (player.playing ? player.stop() : player.start());
  range.addEventListener("input", () => {
    desk.move({}, Number(range.value) === desk.lastStep() ? 0 : Number(range.value));
  });
  holding(desk, range, axes);
  const label = make("span", { className: "db-label" }, "Step");
  const el = make(
    "div",
    { className: "db-step", title: "Replays the draft step by step" },
    label,
    range,
    count,
    again,
    text,
  );
  aims(el, axes);
  const show = () => {
    const last = desk.lastStep();
    const at = Math.min(desk.step, last - 1); // another drawing may have fewer steps
    range.max = last;
    range.value = at || last;
    count.textContent = at ? `${at} of ${last - 1}` : "finished";
    range.setAttribute("aria-valuetext", at ? `step ${at} of ${last - 1}` : "finished drawing");
  };
  const read = () => {
    const step = desk.current?.step;
    if (!step) return;
    text.textContent = step[0] ? step[1] : "The finished drawing.";
    if (Number(range.max) !== desk.lastStep()) show();
  };
  return { el, show, read, stop: () => player.stop() };
}
