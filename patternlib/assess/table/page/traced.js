// Pieces in the sentence: which edges are traced, what they and their steps are called, what comes next.

import { closest, distance, endOf, isLine, isPoint, startOf } from "./geometry.js";

export const TOUCH = 0.05; // cm: half a millimetre, the width of a sharp pencil's line

/** The edges that are traced before a step: step name -> {piece, edge}. */
export function tracedOn(desk, upTo = desk.steps.length) {
  return new Map(
    desk.steps
      .slice(0, upTo)
      .filter((s) => s.verb === "trace")
      .map((s) => [s.name, { piece: s.piece, edge: s.edge }]),
  );
}

/** The name of a step that asks for none; another notch of the same edge gets a number. */
export function nameOf(desk, step, changing = null) {
  const traced = tracedOn(desk),
    words = { piece: step.piece || "", edge: step.edge || "" };
  step.of.forEach((name, k) => {
    const { piece, edge } = traced.get(name) || { piece: "", edge: name };
    Object.assign(words, { [`of${k}`]: name, [`of${k}.piece`]: piece, [`of${k}.edge`]: edge });
  });
  const name = desk.verbs
    .get(step.verb)
    .named.replace(/\{([\w.]+)\}/g, (_, word) => words[word] || "")
    .slice(0, 76);
  if (!step.verb.startsWith("notch")) return name;
  const taken = (text) => desk.steps.some((s, i) => s.name === text && i !== changing);
  let number = 1;
  while (taken(number > 1 ? `${name} ${number}` : name)) number += 1;
  return number > 1 ? `${name} ${number}` : name;
}

/** The pieces that are asked and those in work, the one that is traced now first. */
export function pieceNames(desk) {
  const traced = desk.steps.filter((s) => s.verb === "trace").map((s) => s.piece);
  const used = desk.steps.map((s) => s.piece).filter(Boolean);
  const open = traced.reverse().filter((name) => !desk.pieces.get(name)?.fill.length);
  return [...new Set([...open, ...Object.keys(desk.setup.pieces), ...used])];
}

/** The names of edges that a piece still lacks. */
export function edgesLeft(desk, piece, upTo) {
  const there = [...tracedOn(desk, upTo).values()].filter((t) => t.piece === piece).map((t) => t.edge);
  return (desk.setup.pieces[piece] || []).filter((edge) => !there.includes(edge));
}

/** What lies at either end of a line: [{name, note}], points before lines. */
export function atEnds(desk, line, upTo, itself) {
  const ends = [startOf(line), endOf(line)],
    traced = tracedOn(desk, upTo),
    found = [];
  for (const [name, v] of desk.on(upTo)) {
    if (name === itself) continue;
    const near = ends.filter((end) =>
      isPoint(v) ? distance(v, end) <= TOUCH : isLine(v) && closest(v, end).gap <= TOUCH,
    );
    if (near.length === 1) found.push([isPoint(v) ? 0 : traced.has(name) ? 1 : 2, name]);
  }
  return found.sort((a, b) => a[0] - b[0]).map(([, name]) => name);
}

/** What is marked at the "start" or the "end" of a line, else where that end lies; on: what is on the paper. */
export function endSaid(on, line, which) {
  const [here, there] = which === "start" ? [startOf(line), endOf(line)] : [endOf(line), startOf(line)];
  const marked = [...on].find(([, v]) => isPoint(v) && distance(v, here) <= TOUCH);
  if (marked) return `at ${marked[0]}`;
  const [dx, dy] = [here.x - there.x, here.y - there.y];
  if (Math.abs(dy) >= Math.abs(dx)) return dy > 0 ? "the upper end" : "the lower end";
  return dx > 0 ? "the right end" : "the left end";
}

/** The two edges of one piece that meet at a point, where there are two. */
export function cornerAt(desk, p, upTo) {
  const on = desk.on(upTo),
    ending = [...tracedOn(desk, upTo)].filter(([name]) => {
      const line = on.get(name);
      return line && Math.min(distance(startOf(line), p), distance(endOf(line), p)) <= TOUCH;
    });
  for (const [name, { piece }] of ending) {
    const both = ending.filter(([, t]) => t.piece === piece).map(([n]) => n);
    if (both.length === 2) return [name, both.find((n) => n !== name)];
  }
  return null;
}

/** What the next sentence of a verb begins with; last: the step that was just set, if one was. */
export function carriedOn(desk, verb, last) {
  const lacking = (what) =>
    Object.keys(desk.setup.pieces).find(
      (name) =>
        desk.setup.asked.some((a) => a.name === `${name}: ${what}`) &&
        !desk.steps.some((s) => s.name === `${name}: ${what}`),
    );
  const keep = {},
    traced = [...tracedOn(desk)];
  if (verb === "trace" || verb === "hole") keep.piece = pieceNames(desk)[0];
  if (verb === "grain" || verb === "grain points") keep.piece = lacking("grain");
  if (verb === "label") keep.piece = lacking("label");
  if (verb === "cut line") keep.piece = lacking("cut line");
  if (verb === "allowance") {
    const next = traced.find(
      ([, t]) => !desk.steps.some((s) => s.name === `${t.piece}: allowance of ${t.edge}`),
    );
    keep.of0 = next?.[0];
    if (last?.verb === verb) Object.assign(keep, { measure: last.measure, turn: last.turn });
  }
  if (verb.startsWith("notch") && last?.verb === verb) keep.count = last.count;
  return Object.fromEntries(Object.entries(keep).filter(([, text]) => text));
}
