// Pictures blended in the page from their neighbours, while the picture of Python is on its way.
// Lines, labels and points of the same structure move in proportion; anything else is that of the nearer picture.

import { STROKE, TEXT } from "./pictures.js";
import { moveStrands, strandsOf } from "./strands.js";

const NUMBER = /-?\d+(?:\.\d+)?/g;
const TURN = 30; // degrees: a label that turns further is written the other way round
const parsed = new WeakMap(); // entry of a line -> {shape, words, numbers, strands}

function parse(entry) {
  let path = parsed.get(entry);
  if (!path) {
    const numbers = (entry[5].match(NUMBER) ?? []).map(Number);
    const words = entry[5].split(NUMBER);
    path = { shape: words.join("#"), words, numbers, strands: strandsOf(entry[5]) };
    parsed.set(entry, path);
  }
  return path;
}

/** The numbers of an entry that say where it lies, and what must be the same in two entries to move between them. */
function places(entry) {
  if (entry[0] === STROKE) return parse(entry);
  if (entry[0] === TEXT) return { shape: entry[7], numbers: [entry[4], entry[5], entry[6], entry[8] || 0] };
  return { shape: "", numbers: [entry[1], entry[2]] };
}

/** An entry like `entry` at other places. */
function placed(entry, own, numbers) {
  const out = entry.slice();
  if (entry[0] === STROKE) {
    let path = own.words[0];
    for (let k = 0; k < numbers.length; k++) {
      numbers[k] = Math.round(numbers[k]);
      path += numbers[k] + own.words[k + 1];
    }
    out[5] = path;
    parsed.set(out, { shape: own.shape, words: own.words, numbers, strands: null }); // to be blended again
    return out;
  }
  if (entry[0] === TEXT) [out[4], out[5], out[6], out[8]] = numbers;
  else [out[1], out[2]] = numbers;
  return out;
}

/** `entry` moved as far as `to` lies from `from`, times `by`; `entry` itself where they are not alike. */
function moved(entry, from, to, by) {
  if (from === to || !from || !to || from[0] !== entry[0] || to[0] !== entry[0]) return entry;
  if (entry[0] === STROKE && from[5] === to[5]) return entry;
  const [own, a, b] = [places(entry), places(from), places(to)];
  if (own.strands && a.strands && b.strands) {
    const path = moveStrands(own.strands, a.strands, b.strands, by);
    return path ? [...entry.slice(0, 5), path] : entry;
  }
  if (own.shape !== a.shape || a.shape !== b.shape || a.numbers.length !== b.numbers.length) return entry;
  if (entry[0] === TEXT && Math.abs(a.numbers[3] - b.numbers[3]) > TURN) return entry;
  return placed(
    entry,
    own,
    own.numbers.map((v, k) => v + by * (b.numbers[k] - a.numbers[k])),
  );
}

/** What is known of an edge, its length and allowance moved in the same way. */
function movedFact(fact, from, to, by) {
  if (from === to || !from || !to) return fact;
  const out = fact.slice();
  for (const k of [1, 2]) if (out[k] !== null) out[k] += by * ((to[k] ?? 0) - (from[k] ?? 0));
  return out;
}

function movedMap(own, from, to, by, move) {
  const out = new Map();
  for (const [key, entry] of own) out.set(key, move(entry, from.get(key), to.get(key), by));
  return out;
}

/** `picture` changed as `to` differs from `from`, times `by`. */
export function shifted(picture, from, to, by = 1) {
  return {
    ...picture,
    blended: true,
    items: movedMap(picture.items, from.items, to.items, by, moved),
    facts: movedMap(picture.facts, from.facts, to.facts, by, movedFact),
    box: picture.box.map((v, k) => v + by * (to.box[k] - from.box[k])),
  };
}

/** The picture at a share of the way from one to the other. */
export function between(one, other, share) {
  if (share <= 0.5) return shifted(one, one, other, share);
  return shifted(other, other, one, 1 - share);
}
