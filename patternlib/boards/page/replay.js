// The step slider: the draft step by step, each with its sentence.

import { control, make } from "./elements.js";
import { holding } from "./hand.js";

/** {el, show, read}: the row, what brings the slider up to date, and what says the sentence of the step. */
export function stepRow(desk, aims) {
  const range = control("input", { type: "range", min: 1, step: 1, ariaLabel: "Step of the draft" });
  const axes = () => [{ i: -1 }];
  const count = make("span", { className: "db-unit" });
  const text = make("p", { className: "db-steptext" });
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
    text,
  );
  aims(el, axes);
  const show = () => {
    const last = desk.lastStep();
    range.max = last;
    range.value = desk.step || last;
    count.textContent = desk.step ? `${desk.step} of ${last - 1}` : "finished";
    range.setAttribute("aria-valuetext", desk.step ? `step ${desk.step} of ${last - 1}` : "finished drawing");
  };
  const read = () => {
    const step = desk.current?.step;
    if (!step) return;
    text.textContent = step[0] ? step[1] : "The finished drawing.";
    range.max = desk.lastStep();
  };
  return { el, show, read };
}
