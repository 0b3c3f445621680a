// A small pattern printed at true size: the choice of paper, the button, and the file beside the notebook.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "./dom.js";

export class Printing {
  constructor(desk) {
    this.paper = control(
      "select",
      {},
      make("option", { value: "a4" }, "A4 paper"),
      make("option", { value: "letter" }, "Letter paper"),
    );
    this.paper.setAttribute("aria-label", "Paper");
    this.press = button("Make the pattern to print", () => this.ask(desk), { className: "dt-set" });
    this.said = make("p", { className: "dt-printed" });
    this.said.setAttribute("role", "status");
    this.el = make(
      "section",
      { className: "dt-panel dt-printing" },
      make("div", { className: "dt-panelhead" }, make("h4", {}, "Your pattern at true size")),
      make("div", { className: "dt-tools" }, this.paper, this.press),
      this.said,
    );
    this.el.setAttribute("aria-label", "Your pattern at true size");
  }
  ask(desk) {
    this.said.textContent = "Drawing the pages …";
    if (!desk.say({ kind: "print", paper: this.paper.value })) this.said.textContent = "";
  }
  show({ file, data, said, fault }) {
    if (fault) {
      this.said.textContent = fault;
      return;
    }
    const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
    const href = URL.createObjectURL(new Blob([bytes], { type: "application/pdf" }));
    this.said.replaceChildren(
      `${said} `,
      control("a", { href, target: "_blank", download: file }, `Open “${file}”`),
      ". It lies beside this notebook too. Print it at 100 %, and measure the test square: 10 cm by 10 cm.",
    );
  }
}
