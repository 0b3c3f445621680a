// Where words on the paper find room.

import { draw } from "./dom.js";
import { flat } from "./geometry.js";

export const LETTERS = 12; // px

/** The ruled and drawn lines on the paper as short straight ways [x1, y1, x2, y2], px. */
export function strokesOf(paper, lines) {
  return lines.flatMap((line) => {
    const places = flat(line, line.c.length > 1 ? 6 : 10).map((p) => paper.px(p));
    return places.slice(1).map(([x, y], i) => [...places[i], x, y]);
  });
}

/** Whether a way runs through a box [left, top, right, bottom]. */
export function runsThrough([x1, y1, x2, y2], [left, top, right, bottom]) {
  let from = 0,
    to = 1;
  for (const [start, by, low, high] of [
    [x1, x2 - x1, left, right],
    [y1, y2 - y1, top, bottom],
  ]) {
    if (!by) {
      if (start <= low || start >= high) return false;
      continue;
    }
    const [a, b] = [(low - start) / by, (high - start) / by];
    from = Math.max(from, Math.min(a, b));
    to = Math.min(to, Math.max(a, b));
  }
  return from < to;
}

/**
 * The first of the places ([x, y, anchor, whose spot], px) at which a text is free of what is written already: one that no
 * line runs through where there is any. needed: it stands in any case; clear: nowhere else than clear of lines.
 */
export function room(paper, text, places, taken, needed, clear = false) {
  const w = text.length * LETTERS * 0.55 + 4;
  const h = LETTERS + 2;
  const boxed = places.map(([x, y, anchor, spot]) => {
    const left = anchor === "start" ? x : anchor === "end" ? x - w : x - w / 2;
    return { x, y, anchor, spot, box: [left, y - h + 3, left + w, y + 3] };
  });
  const free = ({ box: b }) =>
    b[0] > 2 &&
    b[2] < paper.width - 2 &&
    b[1] > 2 &&
    b[3] < paper.height - 2 &&
    !taken.some((t) => b[0] < t[2] && t[0] < b[2] && b[1] < t[3] && t[1] < b[3]);
  const open = boxed.filter(free);
  const off = open.find(({ box }) => !paper.strokes.some((way) => runsThrough(way, box)));
  return off || (!(clear && !needed) && open[0]) || (needed && boxed[0]);
}

/** Places for a text round a spot, the best first; ways: how far from it, px. */
export function round(x, y, ways) {
  return ways.flatMap((far) => [
    [x + far, y - far + 2, "start"],
    [x + far, y + far + 6, "start"],
    [x - far, y - far + 2, "end"],
    [x - far, y + far + 6, "end"],
    [x, y - far - 4, "middle"],
    [x, y + far + LETTERS + 2, "middle"],
  ]);
}

/** How far a name may stand from its spot, px; from LED on a thin line leads to it. */
const NEAR = [7, 14, 26, 40],
  FAR = [7, 14, 26, 40, 56],
  LED = 24;

/**
 * Write names beside their spots. names: [{text, spots (cm), rank, given, must, className}], rank: 0 is wanted most;
 * the first spot is the best. A name that finds no room is left out unless it must stand, and so is the name of a line
 * or a given point that a line would run through. Returns how many of one's own were left out.
 */
export function writeNames(paper, names, taken) {
  const { names: layer } = paper.layers;
  const nodes = new Map();
  let left = 0;
  for (const name of [...names].sort((a, b) => b.must - a.must || a.rank - b.rank)) {
    const spots = name.spots
      .map((spot) => paper.px(spot))
      .filter(([x, y]) => x >= -20 && y >= -20 && x <= paper.width + 20 && y <= paper.height + 20);
    if (!spots.length) continue;
    // nearest to any spot first
    const ways = name.given ? NEAR : FAR;
    const places = ways.flatMap((far) =>
      spots.flatMap((spot) => round(...spot, [far]).map((place) => [...place, spot])),
    );
    const found = room(paper, name.text, places, taken, name.must, name.rank > 0);
    if (!found) {
      left += name.given ? 0 : 1;
      continue;
    }
    taken.push(found.box);
    const words = draw("text", {
      x: found.x,
      y: found.y,
      "text-anchor": found.anchor,
      class: name.className,
    });
    words.textContent = name.text;
    const [x, y] = found.spot,
      [x0, y0, x1, y1] = found.box;
    const [u, v] = [Math.min(Math.max(x, x0), x1), Math.min(Math.max(y, y0), y1)];
    const far = Math.hypot(u - x, v - y) >= LED;
    nodes.set(name, far ? [draw("line", { class: "dt-lead", x1: x, y1: y, x2: u, y2: v }), words] : [words]);
  }
  layer.append(...names.flatMap((name) => nodes.get(name) ?? []));
  return left;
}

/** About the middle of a line. */
export function middleOf(line) {
  return spotsOf(line)[0];
}

/** Where a line's name may stand: at its middle, else nearer to an end. */
export function spotsOf(line) {
  const places = flat(line, 8);
  return [0.5, 0.35, 0.65, 0.2, 0.8].map((share) => places[Math.floor(places.length * share)]);
}

/** Write a text at the first place that is free, or at the first; the room it takes is noted in `taken`. */
export function write(paper, text, className, places, layer, taken) {
  const { x, y, anchor, box } = room(paper, text, places, taken, true);
  taken.push(box);
  layer.append(draw("text", { class: className, x, y, "text-anchor": anchor }, text));
}
