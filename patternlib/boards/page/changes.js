// Beside a changed drawing: the outlines that it started with, dotted, and by how much each edge differs.

import { draw } from "./elements.js";
import { INCH, inCm, inEighths } from "./lengths.js";
import { FINE } from "./numbers.js";
import { STROKE } from "./pictures.js";

const MOST = 14; // differences written on a sheet
const NAMED = 5; // differences in the text alternative
const EACH = 60; // px of its width for one of them, where it is narrow
const LEAST = 0.05; // cm
const LARGE = 3; // the largest are written also where they lie on a label
const LETTER = 7; // px
const TIGHT = 29; // px: a shorter edge has no room for its difference
// px from the middle of an edge to where its difference may be written, the nearest first
const WAYS = [
  [0, 0],
  [0, -15],
  [0, 15],
  [34, 0],
  [-34, 0],
  [34, -15],
  [-34, -15],
  [34, 15],
  [-34, 15],
];
const apart = (a, b) => a[0] > b[2] || b[0] > a[2] || a[1] > b[3] || b[1] > a[3];
const shape = (d) => d.slice(d.search(/[lc]/));

/** A difference of lengths in words, "" where it is too small to be said. */
export function sayChange(cm, unit) {
  if (Math.abs(cm) < LEAST || (unit === "in" && Math.abs(cm) < INCH / 16)) return "";
  const amount =
    unit === "in" ? `${inEighths(Math.abs(cm)).replace("≈ ", "")} in` : `${inCm(Math.abs(cm))} cm`;
  return `${cm < 0 ? "−" : "+"}${amount}`;
}

/** By how much the length of an edge differs from its start, in words; parts: of a cm that are said. */
export function changeOf(desk, id, parts = 10) {
  const before = desk.start()?.lengths[id];
  const now = desk.current?.facts.get(id)?.[1];
  if (before === undefined || now === undefined || desk.step) return "";
  const said = (cm) => Math.round(cm * parts) / parts;
  return sayChange(said(now) - said(before), desk.unit);
}

/** The lines of the start that are not those of the picture, cut lines only where no seam line differs. */
export function outlines(start, items) {
  const out = { seam: [], cut: [] };
  for (const [key, d] of Object.entries(start.lines)) {
    const entry = items.get(key);
    if (!entry || entry[5] === d || shape(entry[5]) === shape(d)) continue;
    out[entry[1] === "cut" ? "cut" : "seam"].push([key, d]);
  }
  return out.seam.length ? out.seam : out.cut;
}

/** The middle of a path of relative moves, page units. */
export function middleOf(d) {
  const spots = [];
  let [x, y] = [0, 0];
  for (const [, op, numbers] of d.matchAll(/([mlc])([^mlcz]*)/g)) {
    const v = numbers.match(/-?\d+/g).map(Number);
    if (op === "c") {
      const mid = (k) => (3 * v[k] + 3 * v[k + 2] + v[k + 4]) / 8;
      spots.push([x + mid(0), y + mid(1)]);
    } else if (op === "l") spots.push([x + v[0] / 2, y + v[1] / 2]);
    [x, y] = [x + v.at(-2), y + v.at(-1)];
    spots.push([x, y]);
  }
  const far = [0];
  for (let k = 1; k < spots.length; k++) {
    far.push(far[k - 1] + Math.hypot(spots[k][0] - spots[k - 1][0], spots[k][1] - spots[k - 1][1]));
  }
  const at = far.findIndex((s) => s >= far.at(-1) / 2);
  const [a, b] = [spots[Math.max(0, at - 1)], spots[at]];
  const span = far[at] - far[Math.max(0, at - 1)];
  const w = span ? (far.at(-1) / 2 - far[at - 1]) / span : 0;
  return [a[0] + w * (b[0] - a[0]), a[1] + w * (b[1] - a[1])];
}

export class Changes {
  /** labels: gives the boxes of the labels that are shown, px. */
  constructor(desk, lens, labels) {
    this.desk = desk;
    this.lens = lens;
    this.labels = labels;
    this.ways = new Map(); // id of an edge -> where its difference was written last
    this.lines = draw("g", { class: "db-start" });
    this.words = draw("g", { class: "db-changes" });
    this.said = []; // {id, x, y, name, text, long, far}
  }
  /** Bring outlines and differences up to the picture that is shown. */
  paint() {
    const { desk } = this;
    const start = desk.step || desk.hidden.has("start") ? null : desk.start();
    const lines = start ? outlines(start, desk.current.items) : [];
    lines.forEach(([, d], k) => {
      const node = this.lines.childNodes[k] ?? this.lines.appendChild(draw("path", { class: "db-line" }));
      if (node.getAttribute("d") !== d) node.setAttribute("d", d);
    });
    while (this.lines.childNodes.length > lines.length) this.lines.lastChild.remove();
    this.said = start ? this.differences(start) : [];
    this.place();
  }
  differences(start) {
    const { desk } = this;
    const said = [];
    const done = new Set();
    for (const entry of desk.current.items.values()) {
      const id = entry[3];
      if (entry[0] !== STROKE || !id || entry[1] === "cut" || done.has(id)) continue;
      const text = changeOf(desk, id);
      if (!text) continue;
      done.add(id);
      const [x, y] = middleOf(entry[5]);
      const long = desk.current.facts.get(id)[1];
      const [name] = desk.current.facts.get(id);
      said.push({ id, x, y, name, text, long, far: Math.abs(long - start.lengths[id]) });
    }
    return said.sort((a, b) => b.far - a.far);
  }
  /** The largest differences as a sentence, "" where there are none. */
  say() {
    if (!this.said.length) return "";
    const named = this.said.slice(0, NAMED).map(({ name, text }) => `${name} ${text}`);
    const more = this.said.length > NAMED ? `, and ${this.said.length - NAMED} more edges` : "";
    return ` Edges that differ from the start: ${named.join(", ")}${more}.`;
  }
  /** Write the differences, the largest first, beside the labels and not on one another. */
  place() {
    const taken = this.said.length ? this.labels() : [];
    const most = Math.min(MOST, Math.max(LARGE, Math.floor(this.lens.width / EACH)));
    let count = 0;
    for (const { id, x, y, text, long } of this.said) {
      if (long * FINE * this.lens.k < TIGHT) continue; // they come when the edge is seen from nearer
      const spot = this.room(id, [this.lens.x(x), this.lens.y(y)], text, taken, count < LARGE);
      if (!spot) continue;
      const node = this.words.childNodes[count] ?? this.words.appendChild(draw("text"));
      const at = `translate(${spot[0].toFixed(1)} ${spot[1].toFixed(1)})`;
      if (node.getAttribute("transform") !== at) node.setAttribute("transform", at);
      if (node.textContent !== text) node.textContent = text;
      count += 1;
      if (count === most) break;
    }
    while (this.words.childNodes.length > count) this.words.lastChild.remove();
  }
  /** The free place nearest to the middle of an edge, the one it had if that is free; it is taken from now on. */
  room(id, [px, py], text, taken, always) {
    if (px < 0 || py < 0 || px > this.lens.width || py > this.lens.height) return null;
    const half = (text.length * LETTER) / 2 + 2;
    const box = ([dx, dy]) => [px + dx - half, py + dy - 7, px + dx + half, py + dy + 7];
    const free = (way) => taken.every((one) => apart(box(way), one));
    const had = this.ways.get(id);
    const way = had && free(had) ? had : (WAYS.find(free) ?? (always ? WAYS[0] : null));
    if (!way) return null;
    this.ways.set(id, way);
    taken.push(box(way));
    return [px + way[0], py + way[1] + 4];
  }
}
