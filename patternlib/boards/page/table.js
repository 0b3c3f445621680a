// A table of the drawing, written below the sheet where it has no room on it: all rows, one below the other.

import { make } from "./elements.js";
import { TEXT } from "./pictures.js";

export class Table {
  constructor() {
    this.el = make("table", { className: "db-table", hidden: true });
  }
  /** shown: the nodes of the drawing; written only while a row is missing on the sheet. */
  settle(shown, hidden) {
    const rows = rowsOf(shown, hidden);
    const missing = rows.some((cells) => cells.some(({ node }) => node.style.visibility === "hidden"));
    this.el.hidden = !missing;
    const text = missing ? rows.map((cells) => cells.map(({ entry }) => entry[3])) : [];
    const said = JSON.stringify(text);
    if (said === this.said) return;
    this.said = said;
    const most = Math.max(0, ...text.map((cells) => cells.length));
    this.el.replaceChildren(
      ...text.map((cells) => {
        const filled = [...cells, ...Array(most - cells.length).fill("")];
        return make("tr", {}, ...filled.map((words) => make("td", {}, words)));
      }),
    );
  }
}

/** The labels of each row, from left to right; rows from the top. */
function rowsOf(shown, hidden) {
  const rows = new Map();
  for (const one of shown) {
    const { entry } = one;
    if (entry[0] !== TEXT || !entry[9] || hidden.has(entry[2])) continue;
    if (!rows.has(entry[9])) rows.set(entry[9], []);
    rows.get(entry[9]).push(one);
  }
  const all = [...rows.values()].sort((a, b) => a[0].entry[5] - b[0].entry[5]);
  return all.map((cells) => cells.sort((a, b) => a.entry[4] - b.entry[4]));
}
