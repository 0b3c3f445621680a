// Lines of many short pieces, such as cut lines: strands between their corners. The corners of two such lines
// belong together, the points between them do not: those are compared by their share of the strand.

const SHARP = Math.cos((18 * Math.PI) / 180); // a turn of more than this is a corner
const FEW = 8; // points of a line that is moved point by point
const LINE = /^m(-?\d+) (-?\d+)((?:l-?\d+ -?\d+)+)(z?)$/;

/** The strands of a path, [{x, y, at}] with shares of the strand in `at`; null for any other path. */
export function strandsOf(d) {
  const found = LINE.exec(d);
  if (!found) return null;
  const moves = found[3].slice(1).split("l");
  if (moves.length < FEW) return null;
  let [x, y] = [Number(found[1]), Number(found[2])];
  const strands = [];
  let strand = { x: [x], y: [y], at: [0] };
  let before = null;
  for (const move of moves) {
    const [dx, dy] = move.split(" ").map(Number);
    const long = Math.hypot(dx, dy);
    if (!long) continue;
    if (before && (dx * before[0] + dy * before[1]) / (long * before[2]) < SHARP) {
      strands.push(strand);
      strand = { x: [x], y: [y], at: [0] };
    }
    before = [dx, dy, long];
    x += dx;
    y += dy;
    strand.x.push(x);
    strand.y.push(y);
    strand.at.push(strand.at.at(-1) + long);
  }
  strands.push(strand);
  for (const one of strands) {
    const whole = one.at.at(-1);
    one.at = one.at.map((s) => s / whole);
  }
  return { strands, end: found[4] };
}

/** The place at a share of a strand; `from` is where to look first: places are asked for in order. */
function placeAt(strand, share, from) {
  let k = from;
  while (k < strand.at.length - 2 && strand.at[k + 1] < share) k += 1;
  const [a, b] = [strand.at[k], strand.at[k + 1]];
  const w = b > a ? (share - a) / (b - a) : 0;
  return [
    strand.x[k] + w * (strand.x[k + 1] - strand.x[k]),
    strand.y[k] + w * (strand.y[k + 1] - strand.y[k]),
    k,
  ];
}

/** The path of `own`, every point moved as far as `to` lies there from `from`, times `by`; null if not alike. */
export function moveStrands(own, from, to, by) {
  if (own.strands.length !== from.strands.length || from.strands.length !== to.strands.length) return null;
  let out = "";
  let [px, py] = [0, 0];
  own.strands.forEach((strand, n) => {
    let [i, j] = [0, 0];
    strand.at.forEach((share, k) => {
      if (n && !k) return; // a corner ends the strand before it
      const a = placeAt(from.strands[n], share, i);
      const b = placeAt(to.strands[n], share, j);
      i = a[2];
      j = b[2];
      const x = Math.round(strand.x[k] + by * (b[0] - a[0]));
      const y = Math.round(strand.y[k] + by * (b[1] - a[1]));
      out += `${out ? "l" : "m"}${x - px} ${y - py}`;
      px = x;
      py = y;
    });
  });
  return out + own.end;
}
