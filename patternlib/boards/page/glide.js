// Pieces that are laid out again when the hand rests go to their new places on a short path the eye can follow.

const LONG = 260; // ms
const start = (d) =>
  d
    .match(/^m(-?\d+) (-?\d+)/)
    ?.slice(1)
    .map(Number);

/** Whether the reader wants no motion. */
const still = () => globalThis.matchMedia?.("(prefers-reduced-motion: reduce)").matches;

/** How far a line was moved whole: [x, y] from the new place back to the old one; null where its shape changed. */
export function shift(before, after) {
  const [a, b] = [start(before), start(after)];
  if (!a || !b) return null;
  const way = [a[0] - b[0], a[1] - b[1]];
  const same = before.slice(before.indexOf("l")) === after.slice(after.indexOf("l"));
  return same && (way[0] || way[1]) ? way : null;
}

/** Let nodes, of which each was moved by its [x, y], come from their old places. */
export function glide(moved) {
  if (!moved.length || still()) return;
  for (const [node, [x, y]] of moved) {
    const frames = [{ transform: `translate(${x}px, ${y}px)` }, { transform: "none" }];
    node.animate?.(frames, { duration: LONG, easing: "ease-in-out" });
  }
}
