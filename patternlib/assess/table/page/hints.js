// Hints, one after the other, and the drafting steps in words: open from the start in a guided exercise, the
// last of the hints in a free one.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "./dom.js";

export class Hints {
  constructor(told, opened, count, unit) {
    // told: {guided, hints, steps by unit}; opened: so many are unfolded; count(n): one more was; unit(): now
    Object.assign(this, { told, opened: opened || 0, count, unit });
    this.list = make("ol", { className: "dt-hints" });
    this.list.setAttribute("aria-live", "polite");
    this.more = button("", () => this.unfold(), { className: "dt-hint" });
    this.steps = make("ol", { className: "dt-told" });
    this.all = control("details", { className: "dt-steplist" }, make("summary", {}, "The steps in words"));
    this.all.append(this.steps);
    this.all.open = told.guided;
    this.el = make(
      "section",
      { className: "dt-panel" },
      make("div", { className: "dt-panelhead" }, make("h4", {}, told.guided ? "Steps and hints" : "Hints")),
      this.all,
      this.list,
      this.more,
    );
    this.el.setAttribute("aria-label", "Hints");
    this.refresh();
  }
  get last() {
    return this.told.hints.length + (this.told.guided ? 0 : 1);
  }
  unfold() {
    this.opened += 1;
    this.count(this.opened);
    this.refresh();
    if (this.more.hidden) this.el.querySelector("summary").focus({ preventScroll: true });
  }
  refresh() {
    const { hints, guided, steps } = this.told,
      key = `${this.unit()} ${this.opened}`;
    if (key === this.shown) return;
    this.shown = key;
    this.list.replaceChildren(...hints.slice(0, this.opened).map((text) => make("li", {}, text)));
    this.list.hidden = !this.opened;
    this.all.hidden = !guided && this.opened <= hints.length;
    this.steps.replaceChildren(...steps[this.unit()].map((text) => make("li", {}, text)));
    this.more.hidden = this.opened >= this.last;
    this.more.textContent =
      this.opened < hints.length ? `Hint ${this.opened + 1} of ${hints.length}` : "Show every step in words";
  }
}
