// The paper: what is given, own work, the step in work with its dimension, and the remarks of a comparison.

import { control, make } from "../../../boards/page/elements.js";
import { button, clamp, draw } from "./dom.js";
import { Pencil } from "./pencil.js";
import { PieceLayer } from "./pieces.js";
import { spotsOf, strokesOf, writeNames } from "./lettering.js";
import { drawRemarks } from "./remarks.js";
import { boxOf, flat, grown, isLine, isPoint, point } from "./geometry.js";
import { tracedOn } from "./traced.js";

const ROOM = 18,
  TENS = 10; // cm: room round what is there; the paper grows by whole squares
const EDGE = 34, // px kept free round the drawing for names
  FOOT = 56, // and below it, where the buttons lie
  NARROW = 520, // px
  NOTHING = { left: 0, right: 0, up: 0, down: 0 };

export class Paper {
  constructor(desk, view) {
    Object.assign(this, {
      desk,
      view,
      k: 8,
      tx: 0,
      ty: 0,
      width: 0,
      height: 0,
      fit: true,
      shownBox: null,
      strokes: [],
    });
    this.pencil = new Pencil(this);
    this.pieces = new PieceLayer(this);
    this.el = control("div", { className: "dt-paper", tabIndex: 0 });
    this.el.setAttribute("role", "group");
    this.svg = draw("svg", { class: "dt-svg", role: "img" });
    this.square = draw("path", { class: "dt-square" });
    this.tens = draw("path", { class: "dt-tens" });
    this.squares = draw(
      "pattern",
      { id: `dt-squares-${view.id}`, patternUnits: "userSpaceOnUse" },
      this.square,
      this.tens,
    );
    this.layers = Object.fromEntries(
      ["given", "pieces", "own", "marks", "remarks", "names", "pencil", "hits"].map((name) => [
        name,
        draw("g", { class: `dt-${name}` }),
      ]),
    );
    this.svg.append(
      draw("defs", {}, this.squares),
      draw("rect", { width: "100%", height: "100%", fill: `url(#dt-squares-${view.id})` }),
      ...Object.values(this.layers),
    );
    this.scale = make("div", { className: "dt-scale" });
    this.crowded = make("div", { className: "dt-crowded", hidden: true }, "Some names have no room: press +");
    this.tools = make(
      "div",
      { className: "dt-zoom" },
      ...[
        ["+", "Nearer", 1.25],
        ["−", "Farther", 0.8],
      ].map(([sign, words, by]) => button(sign, () => this.zoom(by), { title: words, ariaLabel: words })),
      button("All", () => this.showAll(), { title: "Show all of the paper" }),
    );
    this.card = make("div", { className: "dt-card", hidden: true });
    this.el.append(this.svg, this.scale, this.crowded, this.tools, this.card);
    this.el.addEventListener("keydown", (e) => this.key(e));
    this.el.addEventListener(
      "wheel",
      (e) => {
        if (!e.ctrlKey && !e.metaKey) return;
        e.preventDefault();
        const box = this.el.getBoundingClientRect();
        this.zoom(Math.exp(-e.deltaY / 300), e.clientX - box.left, e.clientY - box.top);
      },
      { passive: false },
    );
    new ResizeObserver(() => this.measure()).observe(this.el);
  }

  // -- where things are -----------------------------------------------------------------------------------------
  px(p) {
    return [this.tx + this.k * p.x, this.ty - this.k * p.y];
  }
  cm(x, y) {
    return point((x - this.tx) / this.k, (this.ty - y) / this.k);
  }
  measure() {
    const { clientWidth: w, clientHeight: h } = this.el;
    if (!w || (w === this.width && h === this.height)) return;
    [this.width, this.height] = [w, h];
    this.shownBox = null;
    this.paint();
  }
  box() {
    const near = this.pieces.box();
    if (near) return near;
    const places = [];
    const take = (v) => {
      if (isPoint(v)) places.push(v);
      else if (isLine(v)) places.push(...flat(v, 6));
    };
    const looked = this.desk.setup?.shown?.box; // the part of the paper that a section looks at
    if (looked) places.push(point(looked[0], looked[1]), point(looked[2], looked[3]));
    const own = [...this.view.on()].filter(([name]) => !looked || !this.desk.given.has(name));
    if (!this.view.replaying) for (const [, v] of own) take(v);
    if (this.pencil.value) take(this.pencil.value);
    places.push(...this.pieces.places());
    const given = [...this.desk.given.values()].filter((v) => typeof v !== "number");
    if (!places.length) return [-ROOM, -ROOM, ROOM, ROOM];
    let box = boxOf(places);
    if (looked && this.view.replaying) return grown(box, 2, 0.5);
    if (given.length < 3 && !looked) {
      const [cx, cy] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
      box = boxOf([...places, point(cx - ROOM, cy - ROOM), point(cx + ROOM, cy + ROOM)]);
    }
    return grown(box, 2, this.width < NARROW ? TENS / 2 : TENS);
  }
  place() {
    if (!this.fit || !this.width) return;
    const box = this.box();
    if (this.hold && this.shownBox) return; // the paper does not move under a hand that pulls
    if (String(box) === String(this.shownBox)) return;
    this.shownBox = box;
    const [x0, y0, x1, y1] = box;
    const { left, right, up, down } = this.view.replaying?.aside() ?? NOTHING; // room for dimension lines
    const wide = this.width - 2 * EDGE - left - right,
      high = this.height - EDGE - FOOT - up - down;
    this.k = Math.min(wide / (x1 - x0), high / (y1 - y0));
    this.tx = (this.width + left - right - this.k * (x0 + x1)) / 2;
    this.ty = EDGE + up + (high + this.k * (y0 + y1)) / 2;
  }
  showAll() {
    this.fit = true;
    this.shownBox = null;
    this.paint();
  }
  zoom(by, x = this.width / 2, y = this.height / 2) {
    const k = clamp(this.k * by, 0.5, 200),
      f = k / this.k;
    this.fit = false;
    this.tx = x - (x - this.tx) * f;
    this.ty = y - (y - this.ty) * f;
    this.k = k;
    this.paint();
  }
  pan(dx, dy) {
    this.fit = false;
    this.tx += dx;
    this.ty += dy;
    this.paint();
  }
  key(e) {
    if (e.target !== this.el) return;
    const way = { ArrowLeft: [40, 0], ArrowRight: [-40, 0], ArrowUp: [0, 40], ArrowDown: [0, -40] }[e.key];
    if (way) this.pan(...way);
    else if (e.key === "+" || e.key === "=") this.zoom(1.25);
    else if (e.key === "-" || e.key === "−") this.zoom(0.8);
    else if (e.key === "0") this.showAll();
    else return;
    e.preventDefault();
    e.stopPropagation();
  }

  // -- drawing ----------------------------------------------------------------------------------------------------
  d(line) {
    const f = (x, y) => {
      const [a, b] = this.px({ x, y });
      return `${a.toFixed(2)} ${b.toFixed(2)}`;
    };
    return line.c
      .map((s, i) => `${i ? "" : `M${f(s[0], s[1])}`}C${f(s[2], s[3])} ${f(s[4], s[5])} ${f(s[6], s[7])}`)
      .join("");
  }
  cross(p, name, size = 5) {
    const [x, y] = this.px(p);
    return draw("path", { class: name, d: `M${x - size} ${y}h${2 * size}M${x} ${y - size}v${2 * size}` });
  }
  paint() {
    if (!this.width) return;
    this.place();
    const { desk, layers } = this,
      ten = this.k * TENS,
      fine = this.k >= 7;
    for (const [k, v] of Object.entries({ width: ten, height: ten, x: this.tx, y: this.ty }))
      this.squares.setAttribute(k, v);
    this.square.setAttribute(
      "d",
      fine
        ? Array.from(
            { length: 9 },
            (_, i) => `M${(i + 1) * this.k} 0V${ten}M0 ${(i + 1) * this.k}H${ten}`,
          ).join("")
        : "",
    );
    this.tens.setAttribute("d", `M${ten} 0H0V${ten}`);
    this.scale.textContent = fine ? "small squares 1 cm, large 10 cm" : "1 square = 10 cm";
    for (const layer of Object.values(layers)) layer.replaceChildren();
    // where the words of the scale and the buttons of the paper lie
    const taken = [
      [0, this.height - 22, 190, this.height],
      [this.width - 136, this.height - 50, this.width, this.height],
    ];
    const names = [];
    this.taken = taken;
    this.strokes = strokesOf(this, [...this.view.on().values()].filter(isLine));
    const traced = tracedOn(desk),
      retraced = new Set(
        desk.steps.filter((s) => s.verb === "trace" && s.of.length === 1).map((s) => s.of[0]),
      );
    for (const [name, v] of this.view.on()) {
      const given = desk.given.has(name),
        layer = given ? layers.given : layers.own;
      const chosen = this.view.chosen === name || this.view.replaying?.newest === name ? " dt-chosen" : "";
      if (isLine(v)) {
        const edge = traced.get(name);
        const looks = `dt-line${edge ? " dt-edge" : ""}${chosen}`;
        layer.append(draw("path", { class: looks, d: this.d(v), "data-thing": name }));
        layers.hits.append(draw("path", { class: "dt-hit", d: this.d(v) }));
        const quiet = this.view.replaying && this.width < NARROW && !chosen; // no room for all names
        if (!given && !retraced.has(name) && !quiet)
          names.push([edge ? edge.edge : name, spotsOf(v), 1, chosen]);
      } else if (isPoint(v)) {
        const cross = this.cross(v, `dt-mark${chosen}`, given ? 4 : 5.5);
        cross.dataset.thing = name;
        (given ? layers.given : layers.marks).append(cross);
        names.push([name, [v], given ? 2 : 0, chosen]);
        const [x, y] = this.px(v);
        taken.push([x - 4, y - 4, x + 4, y + 4]);
        layers.hits.append(
          draw("circle", { class: "dt-hit dt-hitpoint", cx: x, cy: y, r: 22, "data-name": name }),
        );
      }
    }
    this.pieces.draw(taken);
    if (!this.view.replaying) drawRemarks(this, taken);
    this.view.replaying?.dimensions(this, taken);
    this.name(names, taken);
    if (!this.view.replaying) this.pencil.draw();
    this.svg.setAttribute("aria-label", this.said());
  }
  /** Make a thing stand out while the hand is on its name; '' for none. */
  pointOut(name) {
    for (const node of this.svg.querySelectorAll("[data-thing]"))
      node.classList.toggle("dt-pointed", node.dataset.thing === name);
  }
  said() {
    const own = [...this.view.on().keys()].filter((name) => !this.desk.given.has(name));
    const given = [...this.desk.given].filter(([, v]) => typeof v !== "number").map(([name]) => name);
    return `Drawing paper. Given: ${given.slice(0, 12).join(", ") || "nothing"}. ${this.view.replaying ? "Shown" : "Your own"}: ${own.join(", ") || "nothing yet"}.`;
  }
  /** The names of what is on the paper, beside their places: that of the newest step always stands. */
  name(names, taken) {
    const newest = this.view.replaying ? null : names.findLast((entry) => entry[2] < 2);
    const asked = names.map((entry) => {
      const [text, spots, rank, chosen] = entry,
        given = rank === 2,
        must = chosen !== "" || entry === newest;
      return { text, spots, rank, given, must, className: `dt-name${given ? " dt-givenname" : ""}${chosen}` };
    });
    this.crowded.hidden = writeNames(this, asked, taken) === 0;
  }
  ruled(a, b, className) {
    const [[x1, y1], [x2, y2]] = [this.px(a), this.px(b)];
    return draw("line", { class: className, x1, y1, x2, y2 });
  }
}
