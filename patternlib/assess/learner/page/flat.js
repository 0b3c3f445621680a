// The flat picture of a photograph: tapped, or walked over with keys; what was read from it is drawn on it.

import { control, make } from "../../../boards/page/elements.js";
import { button, clamp, draw } from "../../table/page/dom.js";

const ZOOMS = [1, 1.5, 2.25, 3.4, 5, 7.5],
  STEP = 0.5, // cm on the paper that an arrow key moves the cross hairs
  FINE = 0.1,
  TEN = 10; // cm of the draft from one line of the frame to the next
const SAID =
  "The flat picture of the paper. Tab goes through the crossings that are found. Arrow keys move the cross hairs, " +
  "with Shift by 1 mm. Enter enlarges the place.";
const MOVES = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export class FlatPicture {
  /** part: its `tapping` hears what is tapped and says what is drawn. */
  constructor(part) {
    this.part = part;
    this.shot = null;
    this.level = 0;
    this.image = draw("image", { preserveAspectRatio: "none" });
    this.layers = Object.fromEntries(
      ["frame", "lines", "marks", "crossings", "hairs"].map((name) => [
        name,
        draw("g", { class: `ph-${name}` }),
      ]),
    );
    this.svg = draw(
      "svg",
      { class: "ph-flat", tabindex: 0, role: "group" },
      this.image,
      ...Object.values(this.layers),
    );
    this.svg.setAttribute("data-lm-suppress-shortcuts", "true");
    this.scroll = make("div", { className: "ph-scroll" }, this.svg);
    this.nearer = button("Nearer", () => this.zoom(1), {});
    this.farther = button("Farther", () => this.zoom(-1), {});
    this.el = control(
      "div",
      { className: "ph-picture", hidden: true },
      make("div", { className: "pf-bar" }, this.nearer, this.farther),
      this.scroll,
    );
    this.svg.addEventListener("click", (e) => this.click(e));
    this.svg.addEventListener("keydown", (e) => this.keys(e));
    this.svg.addEventListener("focus", () => this.focused());
    this.svg.addEventListener("blur", () => this.paint());
    this.svg.addEventListener("focusin", () => {
      this.held = false;
    });
    this.svg.setAttribute("aria-label", SAID);
    this.pulling();
    this.watch = new ResizeObserver(() => this.paint());
    this.watch.observe(this.scroll);
  }
  remove() {
    this.watch.disconnect();
  }
  show(shot) {
    const other = this.shot !== shot;
    this.shot = shot;
    this.el.hidden = !shot;
    if (!shot) return;
    const [x0, y0, x1, y1] = shot.box;
    if (other) {
      this.crossings([]);
      this.hairs = [(x0 + x1) / 2, (y0 + y1) / 2];
      this.svg.setAttribute("viewBox", `0 0 ${x1 - x0} ${y1 - y0}`);
      for (const [k, v] of Object.entries({ width: x1 - x0, height: y1 - y0, href: shot.url }))
        this.image.setAttribute(k, v);
    }
    this.paint();
  }

  shows([x, y]) {
    const [x0, y0, x1, y1] = this.shot.box;
    return x >= x0 && x <= x1 && y >= y0 && y <= y1;
  }
  focus() {
    this.part.told.scrollIntoView({ block: "nearest" });
    (this.last?.isConnected ? this.last : this.svg).focus({ preventScroll: true });
  }

  // -- where things are ----------------------------------------------------------------------------------------------
  at([x, y]) {
    return [x - this.shot.box[0], this.shot.box[3] - y];
  }
  cm(e) {
    const box = this.svg.getBoundingClientRect(),
      [x0, y0, x1, y1] = this.shot.box;
    return [
      x0 + ((e.clientX - box.left) / box.width) * (x1 - x0),
      y1 - ((e.clientY - box.top) / box.height) * (y1 - y0),
    ];
  }
  /** cm on the paper for a pixel of the screen. */
  get px() {
    return (this.shot.box[2] - this.shot.box[0]) / (this.svg.clientWidth || 600);
  }
  zoom(by) {
    const level = clamp(this.level + by, 0, ZOOMS.length - 1),
      { scroll } = this;
    const middle = [
      (scroll.scrollLeft + scroll.clientWidth / 2) / scroll.scrollWidth,
      (scroll.scrollTop + scroll.clientHeight / 2) / scroll.scrollHeight,
    ];
    this.level = level;
    this.svg.style.width = `${100 * ZOOMS[level]}%`;
    scroll.scrollLeft = middle[0] * scroll.scrollWidth - scroll.clientWidth / 2;
    scroll.scrollTop = middle[1] * scroll.scrollHeight - scroll.clientHeight / 2;
    this.farther.disabled = level === 0;
    this.nearer.disabled = level === ZOOMS.length - 1;
    this.paint();
  }

  // -- hand and keys -------------------------------------------------------------------------------------------------
  pulling() {
    // a mouse pulls the picture; a finger does so by itself
    let from = null;
    this.scroll.addEventListener("pointerdown", (e) => {
      this.pulled = false;
      if (e.pointerType === "mouse")
        from = [e.clientX, e.clientY, this.scroll.scrollLeft, this.scroll.scrollTop];
    });
    this.scroll.addEventListener("pointermove", (e) => {
      if (!from || !e.buttons) return;
      const [dx, dy] = [e.clientX - from[0], e.clientY - from[1]];
      if (Math.hypot(dx, dy) > 6) this.pulled = true;
      if (this.pulled) Object.assign(this.scroll, { scrollLeft: from[2] - dx, scrollTop: from[3] - dy });
    });
    for (const name of ["pointerup", "pointerleave"])
      this.scroll.addEventListener(name, () => {
        from = null;
      });
  }
  click(e) {
    this.last = null;
    if (this.shot && !this.pulled) this.part.tapping.tapped(this.cm(e));
  }
  focused() {
    if (!this.shot) return;
    this.byKeys = this.svg.matches(":focus-visible");
    this.paint();
  }
  keys(e) {
    if (!this.shot) return;
    const here = e.target === this.svg,
      move = MOVES[e.key];
    if (move && here) {
      const by = e.shiftKey ? FINE : STEP,
        [x0, y0, x1, y1] = this.shot.box;
      this.hairs = [clamp(this.hairs[0] + by * move[0], x0, x1), clamp(this.hairs[1] + by * move[1], y0, y1)];
      this.byKeys = true;
      this.paint();
      this.layers.hairs.firstChild?.scrollIntoView({ block: "nearest", inline: "nearest" });
    } else if (e.key === "Enter" || e.key === " ")
      this.part.tapping.tapped(here ? this.hairs : e.target.place);
    else if (e.key === "+" || e.key === "=") this.zoom(1);
    else if (e.key === "-" || e.key === "−") this.zoom(-1);
    else if (e.key === "Escape") this.part.list.focus();
    else if (e.key === "Tab" && !e.shiftKey && this.awaits(e.target)) this.held = true;
    else return;
    e.preventDefault();
    e.stopPropagation();
  }
  /** Whether Tab waits for the next crossing, which is still being looked for; pressed again, it leaves. */
  awaits(from) {
    const last = this.layers.crossings.lastChild ?? this.svg;
    return !this.held && from === last && this.part.searching;
  }
  /** Crossings that were found, each a stop of the Tab key, in the order in which they come; later ones may follow. */
  crossings(places) {
    const { crossings } = this.layers;
    if (crossings.children.length > places.length || crossings.firstChild?.place !== places[0])
      crossings.replaceChildren();
    const before = crossings.children.length;
    for (const place of places.slice(before)) {
      const spot = draw("g", { class: "ph-crossing", tabindex: 0, role: "button" });
      spot.setAttribute("data-lm-suppress-shortcuts", "true");
      const where = this.part.where(place);
      spot.setAttribute(
        "aria-label",
        `Crossing ${crossings.children.length + 1}${where ? `, ${where}` : ""}`,
      );
      spot.place = place;
      crossings.append(spot);
    }
    this.rings();
    if (this.held && crossings.children[before]) crossings.children[before].focus();
  }
  rings() {
    for (const spot of this.layers.crossings.children) {
      const [cx, cy] = this.at(spot.place);
      spot.replaceChildren(draw("circle", { cx, cy, r: 11 * this.px }));
    }
  }

  // -- drawing --------------------------------------------------------------------------------------------------------
  d(line) {
    return line
      .map(
        (p, i) =>
          `${i ? "L" : "M"}${this.at(p)
            .map((v) => v.toFixed(4))
            .join(" ")}`,
      )
      .join("");
  }
  paint() {
    if (!this.shot || !this.svg.clientWidth) return;
    const { layers, px } = this;
    layers.frame.replaceChildren(...this.frame(px));
    layers.lines.replaceChildren(
      ...this.part.tapping.lines().map((line) => draw("path", { d: this.d(line) })),
    );
    const taken = [];
    layers.marks.replaceChildren(
      ...this.part.tapping.marks().flatMap(([place, name]) => {
        if (!this.shows(place)) return [];
        const [x, y] = this.at(place),
          r = 7 * px;
        const cross = draw("path", { d: `M${x - r} ${y}h${2 * r}M${x} ${y - r}v${2 * r}` });
        return name ? [cross, this.named([x, y], name, px, taken)] : [cross];
      }),
    );
    this.rings();
    layers.hairs.replaceChildren();
    if (this.byKeys && document.activeElement === this.svg) {
      const [x, y] = this.at(this.hairs),
        r = 16 * px;
      layers.hairs.append(draw("path", { d: `M${x - r} ${y}h${2 * r}M${x} ${y - r}v${2 * r}` }));
    }
  }
  /** A name beside its mark, on a side where it lies inside the picture and on no other name. */
  named([x, y], name, px, taken) {
    const [x0, , x1] = this.shot.box,
      wide = 8 * name.length * px,
      high = 14 * px,
      sides = [
        [1, -5],
        [1, 15],
        [-1, -5],
        [-1, 15],
      ]; // prettier-ignore
    const places = sides.map(([way, down]) => {
      const [left, low] = [way > 0 ? x + 6 * px : x - 6 * px - wide, y + down * px];
      return { way, low, box: [left, low - high, left + wide, low] };
    });
    const over = (a, b) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
    const free = ({ box }) => box[0] > 0 && box[2] < x1 - x0 && !taken.some((other) => over(box, other));
    const { way, low, box } = places.find(free) ?? places[0];
    taken.push(box);
    return label(x + 6 * way * px, low, name, 13, px, way > 0 ? "start" : "end");
  }
  /** The frame of the draft: a line every ten cm, across and up, so that it can be seen to fit. */
  frame(px) {
    const { frame, box } = this.shot;
    if (!frame) return [];
    const [x0, y0, x1, y1] = box;
    const corners = [
      [x0, y0],
      [x1, y0],
      [x1, y1],
      [x0, y1],
    ].map((p) => frame.draft(p)); // prettier-ignore
    const made = [];
    for (const c of [0, 1]) {
      const [low, high] = [0, 1].map((k) => [Math.min, Math.max].map((f) => f(...corners.map((p) => p[k]))));
      const [from, to] = c ? high : low,
        across = c ? low : high;
      for (let v = Math.ceil(from / TEN) * TEN; v <= to; v += TEN) {
        const ends = across.map((w) => this.at(frame.paper(c ? [w, v] : [v, w])));
        const [[ax, ay], [bx, by]] = ends;
        made.push(draw("path", { d: `M${ax} ${ay}L${bx} ${by}`, class: v ? "" : "ph-axis" }));
        const [tx, ty] = this.at(frame.paper(c ? [Math.max(across[0], 0), v] : [v, Math.min(across[1], 0)]));
        if (v && this.shot.kind === "strips") made.push(label(tx + 4 * px, ty - 4 * px, `${v}`, 11, px));
      }
    }
    return made;
  }
}

/** Words with a white border; size: of the letters, pixels. */
function label(x, y, words, size, px, anchor = "start") {
  const attrs = { x, y, "font-size": size * px, "stroke-width": 3 * px, "text-anchor": anchor };
  return draw("text", attrs, words);
}
