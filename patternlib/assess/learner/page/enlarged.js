// An enlargement of the paper round a tap: the crossing that was found, confirmed or moved by a tenth of a millimetre.

import { control, make } from "../../../boards/page/elements.js";
import { button, draw } from "../../table/page/dom.js";

const SIDE = 480, // units of the drawing
  TENTH = 0.01, // cm
  NEAR = 0.05, // cm: a tap so near to a crossing means it
  ASKED = 4; // crossings asked about at most
const MOVES = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const KEYS = [
  ["←", "Left by 0.1 mm", [-1, 0]],
  ["→", "Right by 0.1 mm", [1, 0]],
  ["↑", "Up by 0.1 mm", [0, 1]],
  ["↓", "Down by 0.1 mm", [0, -1]],
];

export class Enlarged {
  /** where(place): the place in words, '' as long as it is not known. */
  constructor(where) {
    this.where = where;
    this.title = make("h5", {});
    this.said = make("p", { className: "ph-said" });
    this.said.setAttribute("role", "status");
    this.image = draw("image", { width: SIDE, height: SIDE });
    this.over = draw("g", {});
    this.svg = draw(
      "svg",
      { class: "ph-enlarged-view", viewBox: `0 0 ${SIDE} ${SIDE}`, tabindex: 0, role: "group" },
      this.image,
      this.over,
    );
    this.svg.setAttribute("data-lm-suppress-shortcuts", "true");
    this.choices = make("div", { className: "pf-bar" });
    this.keep = button("This is it", () => this.confirm(), { className: "pf-main" });
    this.el = control(
      "section",
      { className: "ph-enlarged", hidden: true },
      this.title,
      this.svg,
      this.choices,
      make(
        "div",
        { className: "pf-bar ph-moves" },
        ...KEYS.map(([sign, words, way]) =>
          button(sign, () => this.move(way, 1), { title: words, ariaLabel: words }),
        ),
      ),
      this.said,
      make(
        "div",
        { className: "pf-bar" },
        this.keep,
        button("Back", () => this.leave(), {}),
      ),
    );
    this.el.setAttribute("aria-label", "Enlargement");
    this.svg.addEventListener("click", (e) => this.tap(e));
    this.el.addEventListener("keydown", (e) => this.keys(e));
  }
  /** look: at, cm, url, crossings [place, strength], place: where the mark stands already; done(place), back(). */
  open(look, title, done, back) {
    Object.assign(this, { look, done, back });
    const { crossings } = look;
    this.asked = look.place || crossings.length < 2 ? [] : crossings.slice(0, ASKED).map(([place]) => place);
    this.mark = look.place || (this.asked.length ? null : crossings.length ? crossings[0][0] : look.at);
    this.found = crossings.length > 0;
    this.title.textContent = title;
    this.image.setAttribute("href", look.url);
    this.choices.replaceChildren(
      ...this.asked.map((place, i) =>
        button(`Crossing ${i + 1}`, () => this.choose(place), { className: "ph-choice" }),
      ),
    );
    this.el.hidden = false;
    this.paint();
    this.svg.focus({ preventScroll: true });
    this.el.scrollIntoView({ block: "nearest" });
  }
  close() {
    this.el.hidden = true;
    if (this.look) URL.revokeObjectURL(this.look.url);
    this.look = null;
  }
  confirm() {
    if (!this.mark) return;
    const { mark, done } = this;
    this.close();
    done(mark);
  }
  leave() {
    const { back } = this;
    this.close();
    back();
  }
  choose(place) {
    this.mark = place;
    this.paint();
    this.keep.focus({ preventScroll: true });
  }
  move([dx, dy], by) {
    const from = this.mark || this.look.at;
    this.mark = [from[0] + dx * by * TENTH, from[1] + dy * by * TENTH].map((v) => Number(v.toFixed(4)));
    this.paint();
  }
  tap(e) {
    const box = this.svg.getBoundingClientRect(),
      { at, cm, crossings } = this.look;
    const place = [
      at[0] + ((e.clientX - box.left) / box.width - 0.5) * cm,
      at[1] - ((e.clientY - box.top) / box.height - 0.5) * cm,
    ];
    const near = crossings.find(([p]) => Math.hypot(p[0] - place[0], p[1] - place[1]) <= NEAR);
    this.mark = near ? near[0] : place;
    this.paint();
  }
  keys(e) {
    const move = MOVES[e.key],
      choice = this.asked[Number(e.key) - 1];
    if (move) this.move(move, e.shiftKey ? 10 : 1);
    else if (e.key === "Enter" && e.target === this.svg) this.confirm();
    else if (e.key === "Escape") this.leave();
    else if (choice) this.choose(choice);
    else return;
    e.preventDefault();
    e.stopPropagation();
  }

  // -- drawing --------------------------------------------------------------------------------------------------------
  px([x, y]) {
    const { at, cm } = this.look;
    return [SIDE / 2 + ((x - at[0]) / cm) * SIDE, SIDE / 2 - ((y - at[1]) / cm) * SIDE];
  }
  paint() {
    const made = [];
    const middle = this.asked.reduce((sum, place) => sum + this.px(place)[0] / this.asked.length, 0);
    this.asked.forEach((place, i) => {
      const [x, y] = this.px(place),
        left = x < middle;
      const beside = { x: x + (left ? -16 : 16), y: y - 12, "text-anchor": left ? "end" : "start" };
      made.push(
        draw("circle", { class: "ph-asked", cx: x, cy: y, r: 12 }),
        draw("text", { class: "ph-number", ...beside }, `${i + 1}`),
      );
    });
    if (this.mark) {
      const [x, y] = this.px(this.mark);
      made.push(
        draw("path", { class: "ph-hair ph-under", d: hairs(x, y) }),
        draw("path", { class: "ph-hair", d: hairs(x, y) }),
      );
    }
    this.over.replaceChildren(...made);
    this.keep.disabled = !this.mark;
    this.svg.setAttribute(
      "aria-label",
      `${this.title.textContent} Arrow keys move the mark by 0.1 mm, Enter confirms.`,
    );
    this.said.textContent = this.words();
  }
  words() {
    if (!this.mark)
      return `${this.asked.length} crossings lie here. Which one do you mean? Choose its number, or tap the place.`;
    const where = this.where(this.mark),
      words = where ? `The mark is ${where}.` : "Move the mark if it does not lie where you mean.";
    return this.found
      ? words
      : `No crossing of two lines was found here. Put the mark where you mean. ${words}`;
  }
}

function hairs(x, y) {
  return `M${x - 60} ${y}h48M${x + 12} ${y}h48M${x} ${y - 60}v48M${x} ${y + 12}v48M${x - 3} ${y}h6M${x} ${y - 3}v6`;
}
