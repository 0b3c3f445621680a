// The strip under the sentence: what fits the place that waits, to be tapped or reached with the arrow keys.

import { control, make } from "../../../boards/page/elements.js";

const PAD = [
  "1",
  "2",
  "3",
  "4",
  "5",
  "6",
  "7",
  "8",
  "9",
  "0",
  ",",
  "1/2",
  "+",
  "−",
  "×",
  "÷",
  "(",
  ")",
  "°",
  "⌫",
];
const MOST = 60;

export class Offers {
  constructor(sentence) {
    this.sentence = sentence;
    this.at = -1;
    this.offers = [];
    this.list = make("div", { className: "dt-offers", id: `dt-offers-${sentence.id}` });
    this.list.setAttribute("role", "listbox");
    this.list.setAttribute("aria-label", "What fits here");
    this.pad = make("div", { className: "dt-pad" });
    this.pad.setAttribute("role", "group");
    this.pad.setAttribute("aria-label", "Digits and signs");
    for (const sign of PAD) {
      const key = control("button", { type: "button", tabIndex: -1 }, sign);
      if (sign === "⌫") key.setAttribute("aria-label", "rub out the last letter");
      key.addEventListener("pointerdown", (e) => e.preventDefault()); // the place keeps the focus
      key.addEventListener("click", () => this.sentence.press(sign));
      this.pad.append(key);
    }
    this.el = make("div", { className: "dt-below" }, this.list, this.pad);
  }
  show(field) {
    this.field = field;
    this.at = -1;
    this.offers = field ? this.fitting(field) : [];
    this.pad.hidden = !field || !(field.measure || field.kind === "way" || field.kind === "bearing");
    this.list.replaceChildren(
      ...this.offers.map((offer, i) => {
        const node = make(
          "div",
          { className: "dt-offer", id: `${this.list.id}-${i}` },
          offer.says || offer.text,
        );
        if (offer.picture) node.prepend(offer.picture);
        if (offer.note) node.append(make("small", {}, offer.note));
        node.setAttribute("role", "option");
        node.addEventListener("pointerdown", (e) => e.preventDefault());
        node.addEventListener("click", () => this.take(offer));
        node.addEventListener("pointerenter", () => this.pointOut(offer));
        node.addEventListener("pointerleave", () => this.pointOut());
        return node;
      }),
    );
    this.list.hidden = !this.offers.length;
    this.list.classList.toggle(
      "dt-pictured",
      this.offers.some((offer) => offer.picture),
    );
    if (field) {
      field.input.setAttribute("aria-controls", this.list.id);
      field.input.setAttribute("aria-expanded", String(this.offers.length > 0));
    }
    this.mark();
  }
  fitting(field) {
    return field.measure ? this.sentence.numberOffers() : field.offered().slice(0, MOST);
  }
  pointOut(offer) {
    const named = offer && this.field?.takes.length;
    this.sentence.view.paper.pointOut(named ? offer.text : "");
  }
  take(offer) {
    if (offer.insert) this.sentence.insert(offer.insert, this.field);
    else this.field.choose(offer, false);
  }
  step(by) {
    if (!this.offers.length) return;
    this.at = (this.at + by + this.offers.length + (this.at < 0 && by < 0 ? 1 : 0)) % this.offers.length;
    this.mark();
  }
  enter() {
    // take the one the arrow keys have reached; false where none is
    const offer = this.offers[this.at];
    if (!offer) return false;
    if (offer.insert) {
      this.sentence.insert(offer.insert, this.field);
      this.show(this.field);
    } else this.field.choose(offer, true);
    return true;
  }
  mark() {
    [...this.list.children].forEach((node, i) => {
      node.setAttribute("aria-selected", String(i === this.at));
      if (i === this.at) node.scrollIntoView({ block: "nearest", inline: "nearest" });
    });
    if (!this.field) return;
    this.pointOut(this.offers[this.at]);
    if (this.at >= 0) this.field.input.setAttribute("aria-activedescendant", `${this.list.id}-${this.at}`);
    else this.field.input.removeAttribute("aria-activedescendant");
  }
}
