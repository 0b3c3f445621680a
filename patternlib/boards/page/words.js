// What a board says of itself in words.

import { inCm, sayLength } from "./lengths.js";

/** Label, value and unit of slider i, as it stands. */
export function sayValue(desk, i) {
  const s = desk.sliders[i];
  const v = desk.row[i];
  if (s.choices.length) return `${s.label} ${s.choices[v]}`;
  return `${s.label} ${sayAmount(s, v, desk.unit)}`;
}

/** A value with its unit. */
export function sayAmount(slider, v, unit) {
  if (slider.unit === "cm") return sayLength(v, unit);
  if (slider.unit === "degrees") return `${inCm(v)}°`;
  return `${inCm(v)}${slider.unit && ` ${slider.unit}`}`;
}

/** The limits of a slider in words. */
export function sayLimits(slider, unit) {
  const [low, high] = [slider.low, slider.high];
  if (slider.unit === "cm") return `${sayLength(low, unit)} to ${sayLength(high, unit)}`;
  return `${inCm(low)} to ${inCm(high)}${slider.unit && ` ${slider.unit}`}`;
}

/** The text alternative of the drawing. */
export function sayPicture(desk) {
  const values = desk.sliders.map((_, i) => sayValue(desk, i)).join(", ");
  const count = desk.current ? desk.current.findings.length : 0;
  return `${desk.setup.title}: ${values}. ${count === 1 ? "1 finding" : `${count} findings`}.`;
}
