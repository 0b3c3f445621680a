// A verb's sentence with its places: read from the words that Python sends, and filled for reading.

import { readMeasure, usesOf, writeQuantity } from "./measure.js";

export const TAKEN = ["point", "line", "thing", "points", "lines", "numbers", "edge", "at"];
export const MEASURES = ["length", "signed", "width", "angle", "share", "number", "bend"];
const WANTED = { signed: "length", bend: "length", width: "length" };
export const SQUARE_TO = "square to ";
export const RUNNING_ON = "running on from ";
export const TOWARD = "toward ";
const STARTS = [SQUARE_TO, RUNNING_ON, TOWARD];
const wayOf = (text) => STARTS.find((start) => text.startsWith(start));

// "From {of0:point} go[, half-way {bend:bend}]" -> [{optional, parts: ["From ", {field, kind}, ...]}, ...]
export function groupsOf(sentence) {
  return [...sentence.matchAll(/\[([^\]]*)\]|([^[]+)/g)].map(([, optional, plain]) => ({
    optional: !!optional,
    parts: partsOf(optional || plain),
  }));
}
function partsOf(text) {
  const cut = text.split(/\{(\w+):([\w ]+)\}/),
    parts = [];
  for (let k = 0; k < cut.length; k += 3) {
    if (cut[k]) parts.push(cut[k]);
    if (k + 2 < cut.length) parts.push({ field: cut[k + 1], kind: cut[k + 2] });
  }
  return parts;
}
export const placesOf = (verb) =>
  verb.groups.flatMap((g) => g.parts.filter((p) => p.field).map((p) => ({ ...p, optional: g.optional })));

function inputsAt(step, place) {
  const { of } = step;
  if (place.field.startsWith("of"))
    return of.slice(Number(place.field.slice(2)), Number(place.field.slice(2)) + 1);
  return (
    { first: of.slice(0, 1), through: of.slice(1, -1), last: of.slice(1).slice(-1), lines: of, numbers: of }[
      place.field
    ] || []
  );
}

export function writtenAt(step, place) {
  return TAKEN.includes(place.kind) ? inputsAt(step, place).join(" and ") : step[place.field] || "";
}

export function wantedAt(step, place) {
  if (place.kind === "number" && /angle/.test(step.name || "")) return "angle";
  return WANTED[place.kind] || place.kind;
}

// what each measure of a step comes to, by field; throws MeasureError
export function measuresOf(step, verb, numbers) {
  const found = {};
  for (const place of placesOf(verb)) {
    const text = step[place.field] || "";
    if (!MEASURES.includes(place.kind) || (place.optional && !text)) continue;
    found[place.field] = readMeasure(text, numbers, wantedAt(step, place), step.unit || "cm");
  }
  return found;
}

// the names a step uses, so that what hangs from a step is known
export function hangsFrom(step, verb, numbers) {
  const names = new Set(step.of);
  for (const place of placesOf(verb)) {
    const text = TAKEN.includes(place.kind) ? "" : step[place.field] || "";
    if (MEASURES.includes(place.kind)) for (const name of usesOf(text, numbers)) names.add(name);
    if (place.kind === "way" || place.kind === "bearing") {
      const start = wayOf(text);
      const used = start ? [text.slice(start.length)] : usesOf(text.replace(/^at /, ""), numbers);
      for (const name of used) names.add(name);
    }
  }
  return names;
}

export function say(step, verb, measured, unit, value) {
  let out = "";
  for (const { optional, parts } of verb.groups) {
    if (optional && parts.some((p) => p.field && !writtenAt(step, p))) continue;
    out += parts
      .map((part) => {
        if (!part.field) return part;
        const text = writtenAt(step, part);
        if (part.kind === "lines" || part.kind === "numbers") return step.of.join(", ");
        const found = measured?.[part.field];
        if (!found || !MEASURES.includes(part.kind)) return text || "…";
        const said = writeQuantity(found, unit);
        return found.composed ? `${said} (${text})` : said;
      })
      .join("");
  }
  if (typeof value === "number")
    out += ` = ${writeQuantity({ value, kind: /angle/.test(step.name) ? "angle" : "length" }, unit)}`;
  return `${out}.`;
}
