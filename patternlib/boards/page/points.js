// Movable points of a drawing: each moves one or two values. entry: [HANDLE, x, y, name, moves, title];
// moves: {value: [dx, dy] that 1 cm more of it moves the point, y down}.

import { control } from "./elements.js";
import { focusFirst, moving } from "./hand.js";
import { FINE } from "./numbers.js";

const KEY_STEP = 0.1; // cm a key press
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

const dot = (a, b) => a[0] * b[0] + a[1] * b[1];

/** How far each of one or two ways must be gone to come nearest to a move of (x, y). */
export function amounts(ways, x, y) {
  const [a, b] = ways;
  if (!b) return [dot([x, y], a) / dot(a, a)];
  const det = a[0] * b[1] - a[1] * b[0];
  return [(x * b[1] - y * b[0]) / det, (a[0] * y - a[1] * x) / det];
}

/** {index: value} nearest to a move of (x, y) cm from the values of `row`; grid: on the sliders' steps. */
export function reach(desk, moves, row, x, y, grid) {
  const names = Object.keys(moves);
  const far = amounts(Object.values(moves), x, y);
  return Object.fromEntries(
    names.map((name, n) => {
      const i = desk.at[name];
      const { low, step } = desk.sliders[i];
      const v = row[i] + far[n];
      const by = Math.max(step, KEY_STEP);
      return [i, grid ? low + Math.round((v - low) / by) * by : v];
    }),
  );
}

/** Give `shown` a node that listens to pointer and keys. aims(node, axes) makes pictures near it ready. */
export function makePoint(shown, desk, lens, aims) {
  const { entry } = shown;
  const node = control("button", { className: "db-point", type: "button", title: entry[5] });
  shown.node = node;
  node.dataset.point = entry[3];
  node.dataset.values = Object.keys(entry[4]).join(" ");
  const axes = (fine) =>
    Object.entries(shown.entry[4]).map(([name, [dx, dy]]) => {
      const i = desk.at[name];
      if (fine) return { i, step: KEY_STEP / Math.hypot(dx, dy), from: desk.row[i] };
      return { i, step: Math.max(desk.sliders[i].step, KEY_STEP) };
    });
  aims(node, () => axes(node.matches(":focus-visible")));
  let start = null;
  node.addEventListener("pointerdown", (e) => {
    if (e.button > 0) return;
    focusFirst(node, e);
    node.setPointerCapture(e.pointerId);
    desk.aim(axes(false));
    desk.press();
    start = { x: e.clientX, y: e.clientY, row: [...desk.row] };
  });
  moving(node, (e) => {
    if (!start) return;
    const cm = 1 / (lens.k * FINE);
    const [x, y] = [(e.clientX - start.x) * cm, (e.clientY - start.y) * cm];
    desk.move(reach(desk, shown.entry[4], start.row, x, y, true));
  });
  for (const end of ["pointerup", "pointercancel"]) {
    node.addEventListener(end, () => {
      start = null;
      desk.release();
    });
  }
  node.addEventListener("keydown", (e) => {
    const way = WAYS[e.key];
    if (!way) return;
    e.preventDefault();
    e.stopPropagation();
    desk.move(reach(desk, shown.entry[4], desk.row, way[0] * KEY_STEP, way[1] * KEY_STEP, false));
    desk.aim(axes(true));
  });
}
