// Labels of a drawing: they keep their size on the screen, and step back where there is no room.
// entry: [TEXT, style, layer, words, x, y, size, anchor, angle, row], page units; row: of a table, or "".

import { clamp } from "./numbers.js";
import { HANDLE, TEXT } from "./pictures.js";

const CELL = 4; // px: the sheet is divided into squares, each taken by one label

const size = (entry, lens, limits) => clamp(entry[6] * lens.k, ...limits);
const letters = (entry, lens, looks) =>
  entry[3].length * size(entry, lens, looks.textSizes) * (looks.bold.includes(entry[1]) ? 0.63 : 0.56);

/** Where a label stands across; a level one near the rim of the sheet is drawn in, so that it is not cut off. */
function across(entry, lens, looks) {
  const x = lens.x(entry[4]);
  if (entry[8] || x < 0 || x > lens.width) return x;
  const length = letters(entry, lens, looks);
  const left = { start: 0, middle: -length / 2, end: -length }[entry[7]];
  return x - Math.min(0, x + left - 4) - Math.max(0, x + left + length + 4 - lens.width);
}

/** Put the node of a label in its place. looks: {textSizes, bold} of the board's setup. */
export function placeLabel(shown, lens, looks) {
  const { node, entry } = shown;
  const x = across(entry, lens, looks).toFixed(1);
  const y = lens.y(entry[5]).toFixed(1);
  const place = `translate(${x} ${y})${entry[8] ? ` rotate(${entry[8]})` : ""}`;
  const large = size(entry, lens, looks.textSizes).toFixed(1);
  // each attribute that is written has the browser lay the words out again
  if (shown.place !== place) node.setAttribute("transform", place);
  if (shown.large !== large) node.setAttribute("font-size", large);
  Object.assign(shown, { place, large });
}

const cell = (x, y) => Math.round(x / CELL) * 8192 + Math.round(y / CELL);

/** The squares under a label, and those under its middle line. */
function cellsOf(entry, lens, looks) {
  const px = size(entry, lens, looks.textSizes);
  const length = letters(entry, lens, looks) + 4;
  const x = across(entry, lens, looks);
  const y = lens.y(entry[5]);
  const angle = ((entry[8] || 0) * Math.PI) / 180;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const start = { start: -2, middle: -length / 2, end: 2 - length }[entry[7]];
  const n = Math.max(2, Math.ceil(length / 3.5));
  const cells = [];
  for (let i = 0; i <= n; i++) {
    const along = start + (length * i) / n;
    for (const up of [0.1, -0.15, -0.4, -0.65]) {
      cells.push(cell(x + along * c - up * px * s, y + along * s + up * px * c));
    }
  }
  return cells;
}

/** [left, top, right, bottom] px of each label that is shown. */
export function boxesOf(shown, lens, looks) {
  const labels = shown.filter(({ entry, node }) => entry[0] === TEXT && node.style.visibility !== "hidden");
  return labels.map(({ entry }) => {
    const px = size(entry, lens, looks.textSizes);
    const length = letters(entry, lens, looks);
    const angle = ((entry[8] || 0) * Math.PI) / 180;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const [x, y] = [across(entry, lens, looks), lens.y(entry[5])];
    const start = { start: 0, middle: -length / 2, end: -length }[entry[7]];
    const corners = [start, start + length].flatMap((a) =>
      [0.2 * px, -0.75 * px].map((b) => [x + a * c - b * s, y + a * s + b * c]),
    );
    const [xs, ys] = [corners.map(([u]) => u), corners.map(([, v]) => v)];
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  });
}

function seen(entry, lens) {
  const [x, y] = [lens.x(entry[4]), lens.y(entry[5])];
  return x > -60 && y > -20 && x < lens.width + 60 && y < lens.height + 20;
}

/**
 * Show the larger label of two that would lie on one another, and none under a movable point. The labels of
 * one row of a table stand or fall together.
 */
export function arrangeLabels(shown, lens, looks, hidden) {
  const taken = new Set();
  for (const { entry } of shown) {
    if (entry[0] !== HANDLE) continue;
    const [x, y] = [lens.x(entry[1]), lens.y(entry[2])];
    for (let i = -2; i <= 2; i++) {
      for (let j = -2; j <= 2; j++) taken.add(cell(x + i * CELL, y + j * CELL));
    }
  }
  for (const group of grouped(shown)) {
    const own = new Set();
    const free = group.every(({ entry }) => {
      if (hidden.has(entry[2]) || !seen(entry, lens)) return false;
      const cells = cellsOf(entry, lens, looks);
      if (cells.some((c) => taken.has(c) || own.has(c))) return false;
      for (const c of cells) own.add(c);
      return true;
    });
    if (free) for (const c of own) taken.add(c);
    for (const { node } of group) node.style.visibility = free ? "" : "hidden";
  }
}

/** Labels that are shown together, the largest first; a row of a table is one group. */
function grouped(shown) {
  const labels = shown.filter(({ entry }) => entry[0] === TEXT);
  const first = ({ entry }) => (entry[1] === "point shown" ? 1 : 0); // the name of the newest point always stands
  labels.sort((a, b) => first(b) - first(a) || b.entry[6] - a.entry[6]);
  const rows = new Map();
  const groups = [];
  for (const label of labels) {
    const row = label.entry[9];
    if (row && rows.has(row)) rows.get(row).push(label);
    else {
      const group = [label];
      if (row) rows.set(row, group);
      groups.push(group);
    }
  }
  return groups;
}
