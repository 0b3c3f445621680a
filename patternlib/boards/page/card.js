// Card: length, allowance and partners of the edge under the hand; the edge and its partners stand out.

import { changeOf } from "./changes.js";
import { make } from "./elements.js";
import { sayLength } from "./lengths.js";
import { clamp } from "./numbers.js";
import { STROKE } from "./pictures.js";

export class Card {
  constructor(desk) {
    this.desk = desk;
    this.lit = null; // id of the edge
    this.el = make("div", { className: "db-card", hidden: true });
    this.el.onclick = () => {
      if (this.lit) desk.pin(this.lit);
    };
  }
  /** Show the edge `id` (null: none), the card near (x, y) px of the sheet, or in its corner. */
  light(id, shown, lens, [x, y] = []) {
    if (this.lit !== id) {
      this.lit = id;
      const fact = id && this.desk.current.facts.get(id);
      const partners = new Set(fact ? fact[4] : []);
      for (const { node, entry } of shown) {
        if (entry[0] !== STROKE || !entry[3]) continue;
        node.classList.toggle("db-lit", entry[3] === id);
        node.classList.toggle("db-partner", partners.has(entry[3]));
      }
      this.el.hidden = !fact;
      if (fact) this.fill(fact);
    }
    if (id && !this.el.hidden) this.place(lens, x, y);
  }
  /** The facts have changed: say the new ones. */
  renew(shown, lens) {
    const id = this.lit;
    if (!id) return;
    this.lit = undefined;
    this.light(this.desk.current.facts.has(id) ? id : null, shown, lens);
  }
  /** What is known of the edge, as one sentence. */
  said() {
    const rows = [...this.el.children].filter((row) => row.className !== "db-card-pin");
    return `${rows.map((row) => row.textContent).join(", ")}.`;
  }
  place(lens, x, y) {
    const { offsetWidth, offsetHeight } = this.el;
    const left = clamp(x === undefined ? 12 : x + 16, 4, Math.max(4, lens.width - offsetWidth - 4));
    let top = y === undefined ? 12 : y + 16;
    if (top + offsetHeight > lens.height - 4) top = Math.max(4, y - offsetHeight - 12);
    this.el.style.transform = `translate(${left}px, ${top}px)`;
  }
  fill([name, length, allowance, turn, partners]) {
    const { unit, current } = this.desk;
    const change = changeOf(this.desk, this.lit, 100);
    const sewn = partners.map((id) => (current.facts.get(id) || [id])[0]);
    const turned = turn ? `, ${turn}` : "";
    const rows = [
      make("strong", {}, name),
      make("div", {}, `length ${sayLength(length, unit)}${change && ` (${change})`}`),
      make(
        "div",
        {},
        allowance ? `allowance ${sayLength(allowance, unit)}${turned}` : turn || "no allowance",
      ),
    ];
    if (sewn.length) rows.push(make("div", {}, `sewn to ${sewn.join(", ")}`));
    const pinned = this.desk.pins.includes(this.lit);
    const says = pinned ? "Its length is pinned below." : "Click the edge or tap here to pin its length.";
    rows.push(make("div", { className: "db-card-pin" }, says));
    this.el.replaceChildren(...rows);
  }
}
