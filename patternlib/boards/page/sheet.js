// Sheet: the drawing with its lines, labels and movable points. Nodes stay, only what differs is touched.

import { Card } from "./card.js";
import { Changes } from "./changes.js";
import { draw, make } from "./elements.js";
import { Glide } from "./glide.js";
import { arrangeLabels, boxesOf, placeLabel } from "./labels.js";
import { Lens } from "./lens.js";
import { INCH } from "./lengths.js";
import { FINE } from "./numbers.js";
import { STROKE, TEXT } from "./pictures.js";
import { makePoint } from "./points.js";
import { sayValue } from "./words.js";

const SQUARES = [0.5, 1, 2, 5, 10, 20, 50]; // in the unit of the board
const BESIDE = 780; // px: a board this wide has its sliders beside the sheet, see board.css
const LOWEST = 180; // px: height of a sheet in a low window
let sheets = 0;

export class Sheet {
  /** aims: makes the pictures near a movable point ready, see hand.js; arranged: called when labels were. */
  constructor(desk, aims, arranged) {
    this.desk = desk;
    this.arranged = arranged;
    this.aims = aims;
    this.lens = new Lens();
    this.glide = new Glide();
    this.card = new Card(desk);
    this.nodes = new Map(); // key -> {entry, node, fat}
    this.layers = new Map(); // layer -> group of lines
    sheets += 1;
    const id = `db-squares-${sheets}`;
    this.el = make("div", { className: "db-sheet", tabIndex: 0 });
    this.el.setAttribute("role", "group");
    this.el.setAttribute("aria-label", "Sheet. Arrow keys move it, plus and minus zoom, 0 shows all of it.");
    this.el.setAttribute("data-lm-suppress-shortcuts", "true");
    this.svg = draw("svg", { role: "img", class: "db-svg" });
    this.squares = draw("pattern", { id, patternUnits: "userSpaceOnUse" });
    this.squareLine = draw("path", { class: "db-square" });
    this.squares.append(this.squareLine);
    const defs = draw("defs");
    defs.append(this.squares);
    this.changes = new Changes(desk, this.lens, () => boxesOf(this.shown(), this.lens, desk.setup));
    this.lines = draw("g");
    this.lines.append(this.changes.lines);
    this.texts = draw("g", { class: "db-texts" });
    const ground = draw("rect", { width: "100%", height: "100%", fill: `url(#${id})` });
    this.svg.append(defs, ground, this.lines, this.texts, this.changes.words);
    for (const part of [this.lines, this.texts, this.changes.words]) part.setAttribute("aria-hidden", "true");
    this.points = make("div", { className: "db-points" });
    this.scale = make("div", { className: "db-scale" });
    this.el.append(this.svg, this.points, this.scale, this.card.el);
    new ResizeObserver(() => this.resize()).observe(this.el);
  }

  // -- painting ------------------------------------------------------------------------------------------
  /** Show the desk's picture; false where it is shown already. */
  paint() {
    const picture = this.desk.current;
    if (!picture || picture === this.painted) return false;
    if (this.painted && picture.layout !== this.painted.layout) this.leave(); // the pieces were laid out again
    for (const [key, shown] of this.nodes) {
      if (picture.items.has(key)) continue;
      shown.node.remove();
      shown.fat?.remove();
      this.nodes.delete(key);
    }
    for (const [key, entry] of picture.items) {
      const shown = this.nodes.get(key);
      if (!shown) this.nodes.set(key, this.add(entry));
      else if (shown.entry !== entry) this.change(shown, entry);
    }
    if (this.painted && picture.facts !== this.painted.facts) this.card.renew(this.shown(), this.lens);
    this.markFresh(new Set(picture.step?.[2] || []));
    this.painted = picture;
    this.changes.paint();
    if (!this.measured) this.resize();
    return true;
  }
  shown() {
    return [...this.nodes.values()];
  }
  /** The lines of the step that is being read stand out. */
  markFresh(fresh) {
    if (!fresh.size && !this.marked) return;
    this.marked = fresh.size > 0;
    for (const [key, { node }] of this.nodes) node.classList.toggle("db-fresh", fresh.has(key));
  }
  add(entry) {
    if (entry[0] === STROKE) return this.addLine(entry);
    if (entry[0] === TEXT) return this.addLabel(entry);
    const shown = { entry };
    makePoint(shown, this.desk, this.lens, this.aims);
    this.points.append(shown.node);
    this.placePoint(shown);
    return shown;
  }
  addLine(entry) {
    const [, style, layer, edge, title, d] = entry;
    const shown = { entry };
    shown.node = draw("path", { d, class: "db-line", "data-style": style, "data-edge": edge });
    if (title) {
      const words = draw("title");
      words.textContent = title;
      shown.node.append(words);
    }
    this.layer(layer).append(shown.node);
    if (edge) {
      shown.fat = draw("path", { d, class: "db-fat", "data-edge": edge });
      this.layer(layer).append(shown.fat);
    }
    return shown;
  }
  addLabel(entry) {
    const node = draw("text", { "data-style": entry[1], "text-anchor": entry[7] });
    node.textContent = entry[3];
    node.style.visibility = "hidden";
    this.texts.append(node);
    const shown = { entry, node };
    placeLabel(shown, this.lens, this.desk.setup);
    return shown;
  }
  change(shown, entry) {
    const old = shown.entry;
    const { node } = shown;
    shown.entry = entry;
    if (entry[0] === STROKE) {
      if (entry[5] !== old[5]) {
        this.glide.line(node, old[5], entry[5]);
        node.setAttribute("d", entry[5]);
        shown.stale = true;
      }
      if (entry[1] !== old[1]) node.setAttribute("data-style", entry[1]);
    } else if (entry[0] === TEXT) {
      if (entry[3] !== old[3]) node.textContent = entry[3];
      if (entry[7] !== old[7]) node.setAttribute("text-anchor", entry[7]);
      placeLabel(shown, this.lens, this.desk.setup);
    } else this.placePoint(shown);
  }
  layer(name) {
    if (!this.layers.has(name)) {
      this.layers.set(name, draw("g", { class: "db-layer", "data-layer": name }));
      const order = [...Object.keys(this.desk.setup.layers), ...this.layers.keys()];
      const sorted = [...this.layers].sort((a, b) => order.indexOf(a[0]) - order.indexOf(b[0]));
      for (const [, group] of sorted) this.lines.append(group);
      this.showLayers();
    }
    return this.layers.get(name);
  }
  showLayers() {
    for (const [name, g] of this.layers) g.style.display = this.desk.hidden.has(name) ? "none" : "";
    if (this.painted) this.changes.paint();
    this.arrange();
  }
  arrange() {
    arrangeLabels(this.shown(), this.lens, this.desk.setup, this.desk.hidden);
    this.arranged();
  }
  placePoint({ node, entry }) {
    const [, px, py, , moves, title] = entry;
    node.style.transform = `translate(${this.lens.x(px).toFixed(1)}px, ${this.lens.y(py).toFixed(1)}px)`;
    const values = Object.keys(moves).map((name) => sayValue(this.desk, this.desk.at[name]));
    node.dataset.said = `${title}: ${values.join(", ")}.`;
    node.setAttribute("aria-label", `${node.dataset.said} Arrow keys move the point by 1 millimetre.`);
  }
  /** The values of the point that has the focus, as a sentence. */
  held() {
    const { said } = this.points.querySelector(".db-point:focus")?.dataset ?? {};
    return said ? [said] : [];
  }
  /** The hand rests: what need not follow it does now. */
  settle() {
    for (const shown of this.nodes.values()) {
      if (shown.stale && shown.fat) shown.fat.setAttribute("d", shown.entry[5]);
      shown.stale = false;
    }
    if (this.lens.outgrown(this.desk.current?.box)) {
      this.leave();
      this.whole();
    }
    this.arrange();
  }
  /** Everything goes from where it is seen now to where it lies in the next frame. */
  leave() {
    this.glide.leave(this.shown(), this.lens);
    this.look();
  }

  // -- zoom and pan --------------------------------------------------------------------------------------
  resize() {
    const w = this.el.clientWidth;
    const { current } = this.desk;
    if (!w) return;
    // as high as the drawing needs at this width; never while the hand moves
    if (w !== this.lens.width && current)
      this.el.style.height = `${this.lens.heightFor(w, current.box, this.most())}px`;
    const h = this.el.clientHeight;
    this.el.closest(".draft-board")?.style.setProperty("--sheet", `${h}px`);
    this.measured = Boolean(current);
    if (w === this.lens.width && h === this.lens.height) return;
    this.lens.resize(w, h, current?.box);
    this.look();
  }
  /** px: where the sheet stands above its sliders, it leaves them half of the window. */
  most() {
    const board = this.el.closest(".draft-board");
    if (!board || board.clientWidth >= BESIDE) return undefined;
    return Math.max(LOWEST, window.innerHeight * 0.45);
  }
  whole() {
    this.lens.whole(this.desk.current?.box);
    this.look();
  }
  zoom(by, x, y) {
    this.lens.zoom(by, x, y);
    this.look();
  }
  pan(dx, dy) {
    this.lens.pan(dx, dy);
    this.look();
  }
  /** Show what the lens shows, once a frame. */
  look() {
    if (this.looking) return;
    this.looking = requestAnimationFrame(() => {
      this.looking = 0;
      this.lines.setAttribute("transform", this.lens.transform());
      this.el.classList.toggle("db-zoomed", !this.lens.fit);
      for (const shown of this.nodes.values()) {
        if (shown.entry[0] === TEXT) placeLabel(shown, this.lens, this.desk.setup);
        else if (shown.entry[0] !== STROKE) this.placePoint(shown);
      }
      this.changes.place();
      this.arrange();
      this.ruleSquares();
      this.glide.go(this.shown(), this.lens, this.lines, [this.changes.lines, this.changes.words]);
    });
  }
  ruleSquares() {
    const inches = this.desk.unit === "in";
    const one = FINE * (inches ? INCH : 1);
    const { k, tx, ty } = this.lens;
    const size = SQUARES.find((n) => n * one * k >= 22) || 100;
    const px = size * one * k;
    const place = { x: tx % px, y: ty % px, width: px, height: px };
    for (const [name, v] of Object.entries(place)) this.squares.setAttribute(name, v.toFixed(3));
    this.squareLine.setAttribute("d", `M0 0H${px}M0 0V${px}`);
    this.scale.textContent = `squares of ${size} ${inches ? "in" : "cm"}`;
  }

  // -- the edge under the hand ---------------------------------------------------------------------------
  /** Show the edge `id` (null: none) with its card at [x, y] px, or in the corner. */
  light(id, at) {
    const known = id && this.desk.current?.facts.has(id) ? id : null;
    this.card.light(known, this.shown(), this.lens, at);
  }
}
