// Pins: edges whose length stays in sight below the sheet while sliders move.

import { changeOf } from "./changes.js";
import { control, make } from "./elements.js";
import { sayLength } from "./lengths.js";

export class Pins {
  constructor(desk) {
    this.desk = desk;
    this.el = make("div", { className: "db-pins", role: "group", ariaLabel: "Pinned lengths", hidden: true });
    this.rows = new Map(); // id of an edge -> {el, words}
  }
  /** An edge was pinned or let go. */
  show() {
    const { pins } = this.desk;
    this.el.hidden = !pins.length;
    for (const [id, row] of this.rows) {
      if (pins.includes(id)) continue;
      row.el.remove();
      this.rows.delete(id);
    }
    for (const id of pins) if (!this.rows.has(id)) this.add(id);
    this.read();
  }
  add(id) {
    const words = make("span", {});
    const off = control("button", { type: "button", onclick: () => this.desk.pin(id) }, "×");
    const row = { el: make("div", { className: "db-pin" }, words, off), words, off };
    this.rows.set(id, row);
    this.el.append(row.el);
  }
  /** The pinned lengths as sentences. */
  said() {
    return [...this.rows.values()].map(({ words }) => `${words.textContent}.`);
  }
  /** Write the lengths of the picture that is shown. */
  read() {
    const { desk } = this;
    for (const [id, row] of this.rows) {
      const fact = desk.current?.facts.get(id);
      const change = fact && changeOf(desk, id, 100);
      const length = fact ? `${sayLength(fact[1], desk.unit)}${change && ` (${change})`}` : "not drawn now";
      const name = fact ? fact[0] : id.replace("/", ", ");
      const text = `${name}: ${length}`;
      if (row.words.textContent === text) continue;
      row.words.textContent = text;
      row.off.title = `Take away ${name}`;
      row.off.setAttribute("aria-label", row.off.title);
    }
  }
}
