// The list of all measures: what each reads, and the way to it.

import { control, make } from "../../page/elements.js";

export class MeasureList {
  constructor(rows, go) {
    this.el = make("div", { className: "me-list" });
    this.keys = rows.map((row, n) => {
      const value = make("b", {});
      const sign = make("span", { className: "me-sign" });
      sign.setAttribute("aria-hidden", "true");
      const key = control("button", { type: "button", onclick: () => go(n) });
      key.append(make("span", {}, `${n + 1} ${row.term}`), sign, value);
      key.dataset.name = row.name;
      return { row, key, value, sign };
    });
    for (const group of new Set(rows.map((row) => row.group))) {
      const items = this.keys.filter(({ row }) => row.group === group).map(({ key }) => make("li", {}, key));
      this.el.append(make("section", {}, make("h5", {}, group), make("ul", {}, ...items)));
    }
  }
  mark(at) {
    this.keys.forEach(({ key }, n) => {
      if (n === at) key.setAttribute("aria-current", "step");
      else key.removeAttribute("aria-current");
    });
  }
  say(said, typed) {
    for (const { row, key, value, sign } of this.keys) {
      const one = said[row.name];
      const look = !!one && (!!one.fault || one.doubts.length > 0);
      value.textContent = one?.value || (typed[`${row.name}|1`] ? "not yet" : "–");
      sign.textContent = look ? "?" : "";
      key.dataset.state = look ? "look" : one ? "taken" : "open";
      const words = one?.value || (typed[`${row.name}|1`] ? "not yet taken" : "not measured");
      key.setAttribute("aria-label", `${row.term}, ${words}${look ? ", look again" : ""}`);
    }
  }
}
