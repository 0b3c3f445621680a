// Beside a photograph: what is read from it, a row for each thing asked, and the lengths that are typed for it.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "../../table/page/dom.js";

const STRIPS = ["A", "B", "C", "D", "E", "F", "G", "H"];
const FIRST = [
  ["A", "C"],
  ["B", "D"],
];
let made = 0;

/** A row for each point and line that is asked: read it, read it again, take it away. */
export class ReadRows {
  constructor(part) {
    this.part = part;
    this.el = make("div", { className: "ph-list", role: "group" });
    this.el.setAttribute("aria-label", "What is read from the photograph");
    this.items = part.rows.map((row) => {
      const said = make("span", { className: "ph-place" });
      const key = button("", () => part.tapping.read(row), { className: "ph-row" });
      key.append(make("span", { className: "ph-name" }, row.piece ? row.name : row.title), said);
      const away = button("Take away", () => part.tapping.takeAway(row), { className: "ph-away" });
      away.setAttribute("aria-label", `Take away ${row.title}`);
      this.el.append(make("div", { className: "ph-item" }, key, away));
      return { row, key, said, away };
    });
  }
  fill() {
    const { part } = this;
    for (const { row, key, said, away } of this.items) {
      const read = part.values.of(row),
        filled = part.values.filled(row);
      said.textContent = read ? this.words(row, read) : filled ? "typed below" : "not read yet";
      away.hidden = !read;
      key.setAttribute("aria-pressed", String(part.tapping.row === row));
      key.dataset.row = row.name;
    }
  }
  words(row, { places }) {
    if (row.kind !== "point") return `${places.length} places`;
    return `${places[0].map((v) => (v + 0).toFixed(2)).join(" across, ")} up`;
  }
  focus() {
    (this.items.find(({ row }) => row === this.part.tapping.row) || this.items[0]).key.focus();
  }
}

/** What is measured with the ruler for a photograph: the printed test line, and two distances between strips. */
export class Lengths {
  constructor(part) {
    this.part = part;
    this.boxes = new Map();
    const field = (name, words) => this.field(name, words, control("input", { type: "text", maxLength: 40 }));
    const choice = (name, words, options) =>
      this.field(
        name,
        words,
        control("select", {}, ...options.map(([v, w]) => make("option", { value: v }, w))),
      );
    const marks = STRIPS.map((name) => [name, `cross ${name}`]);
    this.first = { scale: "full", side: "below" };
    const rows = FIRST.map(([from, to], i) => {
      Object.assign(this.first, { [`from${i}`]: from, [`to${i}`]: to });
      return make(
        "div",
        { className: "pf-bar" },
        choice(`from${i}`, "From", marks),
        choice(`to${i}`, "to", marks),
        field(`cm${i}`, "measures"),
      );
    });
    const scales = part.form.setup.scales.map((s) => [s, s === "full" ? "full size" : `${s} scale`]);
    const sides = [
      ["below", "below the waist level"],
      ["above", "above the waist level"],
    ];
    this.el = control(
      "details",
      { className: "ph-lengths" },
      make("summary", {}, "Strips round a large draft, or a page that was printed at another size"),
      make(
        "p",
        { className: "pf-help" },
        "With strips, measure two distances from cross to cross with the ruler that drew the draft, as far apart " +
          "as you can. A bare number is in cm.",
      ),
      ...rows,
      make(
        "div",
        { className: "pf-bar" },
        choice("scale", "The draft is drawn at", scales),
        choice("side", "The second place on the centre line lies", sides),
      ),
      make("div", { className: "pf-bar" }, field("line", "The printed test line measures")),
      button("Read the photograph again", () => this.again(), {}),
    );
    this.fill();
  }
  field(name, words, box) {
    box.id = `ph-length-${++made}`;
    box.autocomplete = "off";
    const label = make("label", {}, words);
    label.htmlFor = box.id;
    box.addEventListener("input", () => {
      this.part.form.write(`photograph|0|${name}`, box.value === this.first[name] ? "" : box.value);
    });
    this.boxes.set(name, box);
    return make("div", { className: "pf-field" }, label, box);
  }
  fill() {
    for (const [name, box] of this.boxes) {
      const want = this.part.values.shot(0, name) || this.first[name] || "";
      if (box !== document.activeElement && box.value !== want) box.value = want;
    }
  }
  get above() {
    return this.boxes.get("side").value === "above";
  }
  get scale() {
    return this.boxes.get("scale").value;
  }
  /** What is typed, for Python. */
  said() {
    const { boxes } = this,
      value = (name) => boxes.get(name).value.trim();
    const distances = FIRST.map((_, i) => [value(`from${i}`), value(`to${i}`), value(`cm${i}`)]);
    return { distances: distances.filter(([, , cm]) => cm), line: value("line") };
  }
  again() {
    this.part.say("Reading the photograph …");
    try {
      this.part.ask({ do: "again", ...this.said() });
    } catch {
      this.part.fault("The notebook is not running. Run this cell again, then choose the photograph again.");
    }
  }
}
