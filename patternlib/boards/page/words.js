// What a board says of itself in words.

import { inCm, sayLength } from "./lengths.js";

const MOST = 3; // values named in one sentence

/** Label, value and unit of slider i, as it stands or in another row of values. */
export function sayValue(desk, i, row = desk.row) {
  const s = desk.sliders[i];
  if (s.choices.length) return `${s.label} ${choices(s, desk.unit)[row[i]]}`;
  return `${s.label} ${sayAmount(s, row[i], desk.unit)}`;
}

/** The words of a choice, and the reason of a value, with their lengths in the unit. */
export const choices = (slider, unit) => (unit === "in" ? slider.choicesIn : slider.choices);
export const reason = (slider, unit) => (unit === "in" ? slider.whyIn : slider.why);

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

/** The text alternative of the drawing: what is drawn, and what is not. */
export function sayPicture(desk) {
  const values = desk.sliders.map((_, i) => sayValue(desk, i, desk.shownRow)).join(", ");
  const count = desk.current ? desk.current.findings.length : 0;
  const found = count === 1 ? "1 finding" : `${count} findings`;
  const apart = desk.stale() ? ` Not drawn yet: ${differing(desk, desk.row).join(", ")}.` : "";
  return `${desk.setup.title}: ${values}. ${found}.${apart}`;
}

/** What the drawing still shows where it is not that of the values; "" where it is. */
export function sayStale(desk) {
  if (!desk.stale()) return "";
  const differ = differing(desk, desk.shownRow);
  if (!differ.length) return "The drawing below is the one before.";
  const more = differ.length > MOST ? ` and ${differ.length - MOST} more` : "";
  return `The drawing below is still that of: ${differ.slice(0, MOST).join(", ")}${more}.`;
}

/** The values of a row, in words, that are not the same in the drawing and on the sliders. */
function differing(desk, row) {
  const apart = desk.sliders.map((_, i) => i).filter((i) => desk.row[i] !== desk.shownRow[i]);
  return apart.map((i) => sayValue(desk, i, row));
}
