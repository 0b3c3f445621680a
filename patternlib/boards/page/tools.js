// The tools above the sheet: the list of edges, layers, unit, zoom, reset; and the key to the lines below.

import { control, draw, make } from "./elements.js";
import { STROKE } from "./pictures.js";

function button(text, title, act) {
  const label = /\w/.test(text) ? `${text}: ${title}` : title;
  return control("button", { type: "button", title, onclick: act, ariaLabel: label }, text);
}

/** Check boxes that show and hide the layers of the drawing; only those that are there are offered. */
class Layers {
  constructor(desk) {
    this.desk = desk;
    this.list = make("div", {});
    for (const [name, label] of Object.entries(desk.setup.layers)) {
      const box = control("input", { type: "checkbox", checked: !desk.hidden.has(name) });
      box.onchange = () => {
        desk.setHidden(name, !box.checked);
      };
      const choice = make("label", { className: "db-layer-choice" }, box, ` ${label}`);
      choice.dataset.layer = name;
      this.list.append(choice);
    }
    const title = "Show or hide parts of the drawing";
    this.el = make("details", { className: "db-layers" }, control("summary", { title }, "Layers"), this.list);
  }
  offer(picture) {
    const present = new Set([...picture.items.values()].map((entry) => entry[2]));
    for (const choice of this.list.children) {
      choice.hidden = !present.has(choice.dataset.layer) && !this.desk.step;
    }
  }
  show() {
    for (const choice of this.list.children) {
      choice.firstChild.checked = !this.desk.hidden.has(choice.dataset.layer);
    }
  }
}

/** The list of edges, whose length, allowance and partners are shown. */
class Edges {
  /** say: reads a text aloud. */
  constructor(sheet, say) {
    this.el = control("select", { title: "Show length, allowance and partner of an edge" });
    this.el.setAttribute("aria-label", "Edge to look at");
    this.pin = button("Pin", "Keep the length of this edge in sight", () => sheet.desk.pin(this.chosen()));
    this.el.onchange = () => {
      sheet.light(this.chosen());
      if (this.chosen()) say(sheet.card.said());
      this.show(sheet.desk.pins);
    };
    this.pins = [];
    this.show(this.pins);
  }
  chosen() {
    return this.el.value || null;
  }
  /** Offer to pin the edge that is chosen. */
  show(pins) {
    const id = this.chosen();
    this.pin.hidden = !id;
    this.pin.setAttribute("aria-pressed", String(pins.includes(id)));
  }
  offer({ facts }) {
    const ids = [...facts.keys()].join("\n");
    if (ids === this.ids) return;
    this.ids = ids;
    const chosen = this.el.value;
    const options = [...facts].map(([id, fact]) => make("option", { value: id }, fact[0]));
    this.el.replaceChildren(make("option", { value: "" }, "Edge …"), ...options);
    this.el.value = facts.has(chosen) ? chosen : "";
    this.show(this.pins);
    this.el.style.visibility = facts.size ? "" : "hidden";
  }
}

function unitList(desk) {
  const unit = control("select", { title: "Lengths in centimetres or inches", ariaLabel: "Unit of length" });
  unit.append(make("option", { value: "cm" }, "cm"), make("option", { value: "in" }, "inches"));
  unit.onchange = () => desk.setUnit(unit.value);
  return unit;
}

export class Tools {
  /** say: reads a text aloud. */
  constructor(desk, sheet, say) {
    this.desk = desk;
    this.layers = new Layers(desk);
    this.edges = new Edges(sheet, say);
    this.unit = unitList(desk);
    this.undo = button("↶", "Undo the last move", () => desk.undo());
    this.redo = button("↷", "Redo what was undone", () => desk.redo());
    this.el = make(
      "div",
      { className: "db-tools" },
      this.edges.el,
      this.edges.pin,
      this.layers.el,
      this.unit,
      button("−", "Zoom out", () => sheet.zoom(0.8)),
      button("+", "Zoom in", () => sheet.zoom(1.25)),
      button("Whole sheet", "Show the whole drawing", () => sheet.whole()),
      this.undo,
      this.redo,
      button("Reset", "Put all values back to their start", () => desk.reset()),
    );
    this.show();
  }
  /** Offer the edges and layers of the picture. */
  offer() {
    const { current } = this.desk;
    if (!current || current.facts === this.offered) return;
    this.offered = current.facts;
    this.layers.offer(current);
    this.edges.offer(current);
  }
  /** Show what can be undone; a button keeps the focus when there is nothing more. */
  trails() {
    const { past, next } = this.desk.trail;
    this.undo.setAttribute("aria-disabled", String(!past.length));
    this.redo.setAttribute("aria-disabled", String(!next.length));
  }
  /** An edge was pinned or let go. */
  pinned() {
    this.edges.pins = this.desk.pins;
    this.edges.show(this.desk.pins);
  }
  /** Bring unit and layers up to date. */
  show() {
    this.unit.value = this.desk.unit;
    this.layers.show();
  }
}

const SAMPLE = "M1 5H45",
  CROSS = "M18 0L28 10M28 0L18 10";
const sample = (style) => {
  const el = draw("svg", { width: 46, height: 10, "aria-hidden": "true" });
  const d = style === "notch" ? CROSS : SAMPLE;
  el.append(draw("path", { d, class: "db-line", "data-style": style }));
  return el;
};

/** What a few lines of a picture mean, always in sight below it. */
export class Legend {
  constructor() {
    this.el = make("div", { className: "db-keylist db-legend", role: "group", hidden: true });
    this.el.setAttribute("aria-label", "What the lines mean");
  }
  offer(picture) {
    const legend = picture?.legend ?? [];
    if (legend === this.offered) return;
    this.offered = legend;
    this.el.hidden = !legend.length;
    this.el.replaceChildren(...legend.map(([style, words]) => make("div", {}, sample(style), ` ${words}`)));
  }
}

/** A key to the lines of the picture. lines: {style: words}; groups: [[title, styles]]. */
export class LineKey {
  constructor({ lines, groups }) {
    this.rows = new Map();
    this.groups = groups.map(([title, styles]) => {
      const list = make("div", { className: "db-keylist" });
      for (const style of styles) list.append(this.row(style, lines[style]));
      const el = make("div", { role: "group", ariaLabel: title }, make("b", {}, title), list);
      return { el, styles };
    });
    const summary = control("summary", {}, "Key to the lines");
    this.el = make("details", { className: "db-key" }, summary, ...this.groups.map(({ el }) => el));
  }
  row(style, words) {
    const row = make("div", {}, sample(style), ` ${words}`);
    this.rows.set(style, row);
    return row;
  }
  offer(picture) {
    if (!picture || picture.items === this.offered) return;
    this.offered = picture.items;
    const styles = new Set([...picture.items.values()].filter((e) => e[0] === STROKE).map((e) => e[1]));
    for (const [style, row] of this.rows) row.hidden = !styles.has(style);
    for (const group of this.groups) group.el.hidden = !group.styles.some((style) => styles.has(style));
  }
}
