// When the hand rests, pieces are laid out again and the sheet shows all of them: lines, labels and points go to
// their new places on a short path the eye can follow.

import { STROKE, TEXT } from "./pictures.js";

const LONG = 400; // ms
const HOW = { duration: LONG, easing: "ease-in-out" };
const start = (d) =>
  d
    .match(/^m(-?\d+) (-?\d+)/)
    ?.slice(1)
    .map(Number);

/** Whether the reader wants no motion. */
const still = () => globalThis.matchMedia?.("(prefers-reduced-motion: reduce)").matches;

/** How far the start of a line was moved: [x, y] from the new place back to the old one; null where it was not. */
export function shift(before, after) {
  const [a, b] = [start(before), start(after)];
  if (!a || !b) return null;
  const way = [a[0] - b[0], a[1] - b[1]];
  return way[0] || way[1] ? way : null;
}

/** Where a label or a point is seen, px. */
const spot = (entry, lens) => {
  const at = entry[0] === TEXT ? 4 : 1;
  return [lens.x(entry[at]), lens.y(entry[at + 1])];
};
const look = ({ tx, ty, k }) => `translate(${tx}px, ${ty}px) scale(${k})`;

export class Glide {
  constructor() {
    this.from = null; // where everything was seen, while it is on its way
    this.running = [];
  }
  /** Everything is at its new place at once: the hand moves on, and the frames of a path would hold it up. */
  stop() {
    this.from = null;
    for (const path of this.running.splice(0)) path.cancel();
  }
  /** Remember where everything is seen. shown: the nodes of the sheet with their entries. */
  leave(shown, lens) {
    if (this.from || still()) return;
    this.from = { look: look(lens), spots: new Map(), lines: [] };
    for (const { node, entry } of shown) {
      if (entry[0] !== STROKE) this.from.spots.set(node, spot(entry, lens));
    }
  }
  /** The path of a line is another from now on. */
  line(node, before, after) {
    const way = this.from && shift(before, after);
    if (way) this.from.lines.push([node, way]);
  }
  /** Let everything come to where it is by now. all: the node of all lines; late: nodes that are seen at the end. */
  go(shown, lens, all, late) {
    const { from } = this;
    this.from = null;
    if (!from) return;
    this.running = [];
    const run = (node, frames) => {
      const path = node.animate?.(frames, HOW);
      if (path) this.running.push(path);
    };
    const now = look(lens);
    if (now !== from.look) run(all, [{ transform: from.look }, { transform: now }]);
    for (const [node, [x, y]] of from.lines)
      run(node, [{ translate: `${x}px ${y}px` }, { translate: "0 0" }]);
    for (const { node, entry } of shown) {
      const old = from.spots.get(node);
      if (!old) continue;
      const [x, y] = spot(entry, lens);
      const way = [old[0] - x, old[1] - y];
      if (Math.hypot(...way) > 1) run(node, [{ translate: `${way[0]}px ${way[1]}px` }, { translate: "0 0" }]);
    }
    for (const node of late) run(node, [{ opacity: 0 }, { opacity: 0, offset: 0.7 }, { opacity: 1 }]);
  }
}
