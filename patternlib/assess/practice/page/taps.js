// A tap on the paper finds the point or line under the finger; a pull moves the paper.

import { closest, isLine, isPoint } from "../../table/page/geometry.js";

const POINT = { touch: 24, other: 14 }; // px
const LINE = { touch: 18, other: 10 };
const STILL = 6;

export function listenTaps(paper, tapped) {
  let at = null;
  paper.el.addEventListener("pointerdown", (e) => {
    if (e.target.closest("button")) return;
    at = { x: e.clientX, y: e.clientY, moved: false };
  });
  paper.el.addEventListener("pointermove", (e) => {
    if (!at || e.pointerType === "touch") return;
    if (!at.moved && Math.hypot(e.clientX - at.x, e.clientY - at.y) < STILL) return;
    at.moved = true;
    paper.pan(e.clientX - at.x, e.clientY - at.y);
    Object.assign(at, { x: e.clientX, y: e.clientY });
  });
  paper.el.addEventListener("pointercancel", () => {
    at = null;
  });
  paper.el.addEventListener("pointerup", (e) => {
    const down = at;
    at = null;
    if (!down || down.moved || Math.hypot(e.clientX - down.x, e.clientY - down.y) > STILL * 2) return;
    const box = paper.el.getBoundingClientRect();
    const found = under(
      paper,
      e.clientX - box.left,
      e.clientY - box.top,
      e.pointerType === "touch" ? "touch" : "other",
    );
    if (found) tapped(...found);
  });
}

/** [name, 'point' or 'line'] at a place of the paper in px; what was drawn later comes first. */
function under(paper, x, y, hand) {
  const things = [...paper.desk.on()].reverse();
  let best = null;
  for (const [name, v] of things) {
    if (!isPoint(v)) continue;
    const [px, py] = paper.px(v);
    const gap = Math.hypot(px - x, py - y);
    if (gap < POINT[hand] && (!best || gap < best.gap - 0.01)) best = { gap, found: [name, "point"] };
  }
  if (best) return best.found;
  const cm = paper.cm(x, y);
  for (const [name, v] of things) {
    if (!isLine(v)) continue;
    const gap = closest(v, cm).gap * paper.k;
    if (gap < LINE[hand] && (!best || gap < best.gap - 0.5)) best = { gap, found: [name, "line"] };
  }
  return best && best.found;
}
