// Pieces on the paper: cut free, with the line round their allowances, notches, holes, grain and label.

import { draw } from "./dom.js";
import { boxOf, flat, grown, isLine, minus, point, unit } from "./geometry.js";
import { LETTERS } from "./lettering.js";

const ARROW = 9; // px
const LINES = 3; // so many lines of one's own are what is traced

export class PieceLayer {
  constructor(paper) {
    Object.assign(this, { paper, tried: [] });
  }
  /** Pieces as the step in work would leave them; none: as they are. */
  preview(pieces) {
    const same = !pieces.length && !this.tried.length;
    this.tried = pieces;
    if (!same) this.draw();
  }
  now() {
    const now = new Map(this.paper.desk.pieces);
    for (const piece of this.tried) now.set(piece.name, piece);
    return [...now.values()];
  }
  /** What the paper shows where work is done on a piece: the piece alone, or the lines to be traced; else null. */
  box() {
    const { desk, view } = this.paper,
      { verb } = view.sentence || {},
      gives = desk.verbs?.get(verb)?.gives;
    const lines = desk.steps.map((s) => desk.values.get(s.name)).filter(isLine);
    if (gives === "finish" && desk.pieces.size) {
      const edges = this.now().flatMap((piece) => Object.values(piece.edges));
      const places = [...edges.flatMap((edge) => flat(edge, 6)), ...this.places()];
      return places.length ? grown(boxOf(places), 2.5, 5) : null;
    }
    return gives === "edge" && lines.length >= LINES
      ? grown(boxOf(lines.flatMap((l) => flat(l, 6))), 2.5, 5)
      : null;
  }
  /** Places that the paper must have room for. */
  places() {
    return this.now().flatMap((piece) => piece.cut.map(([x, y]) => point(x, y)));
  }
  draw(taken = null) {
    const { paper } = this,
      layer = paper.layers.pieces;
    layer.replaceChildren();
    for (const piece of this.now()) {
      const group = draw("g", { class: `dt-piece${this.tried.includes(piece) ? " dt-tried" : ""}` });
      if (piece.fill.length) group.append(draw("path", { class: "dt-fill", d: this.ring(piece.fill) }));
      if (piece.cut.length)
        group.append(
          draw("path", { class: `dt-cut${piece.drawn ? " dt-drawn" : ""}`, d: this.ring(piece.cut) }),
        );
      for (const edge of Object.values(piece.edges))
        if (edge.turn === "fold") group.append(draw("path", { class: "dt-onfold", d: paper.d(edge) }));
      for (const [x, y, u, v] of piece.ticks)
        group.append(paper.ruled(point(x, y), point(u, v), "dt-notchline"));
      for (const [x, y] of piece.holes) this.hole(group, point(x, y));
      if (piece.arrow.length) this.grain(group, ...piece.arrow.map(([x, y]) => point(x, y)));
      if (piece.label.length) this.label(group, piece, taken);
      layer.append(group);
    }
  }
  ring(places) {
    return `${places
      .map(([x, y], i) => {
        const [a, b] = this.paper.px({ x, y });
        return `${i ? "L" : "M"}${a.toFixed(1)} ${b.toFixed(1)}`;
      })
      .join("")}Z`;
  }
  hole(group, p) {
    const [cx, cy] = this.paper.px(p);
    group.append(
      draw("circle", { class: "dt-hole", cx, cy, r: 4 }),
      draw("circle", { class: "dt-holemiddle", cx, cy, r: 1.2 }),
    );
  }
  grain(group, a, b) {
    const { paper } = this,
      u = unit(minus(b, a));
    group.append(paper.ruled(a, b, "dt-grain"));
    for (const [end, s] of [
      [a, 1],
      [b, -1],
    ]) {
      const [x, y] = paper.px(end),
        at = (off) => `${x + s * u.x * ARROW - u.y * off} ${y - s * u.y * ARROW - u.x * off}`;
      group.append(draw("path", { class: "dt-grainend", d: `M${at(4)}L${x} ${y}L${at(-4)}` }));
    }
  }
  label(group, piece, taken) {
    const [x, y] = this.paper.px(point(...piece.at)),
      top = y - ((piece.label.length - 1) * (LETTERS + 3)) / 2;
    piece.label.forEach((text, k) => {
      const at = top + k * (LETTERS + 3),
        w = text.length * LETTERS * 0.27 + 3;
      const words = draw(
        "text",
        { class: `dt-label${k ? "" : " dt-labelname"}`, x, y: at, "text-anchor": "middle" },
        text,
      );
      group.append(words);
      taken?.push([x - w, at - LETTERS, x + w, at + 4]);
    });
  }
}
