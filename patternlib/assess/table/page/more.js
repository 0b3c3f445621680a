// Below the steps: printing them as a list, and the same steps as code. Above the paper: steps kept elsewhere.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "./dom.js";

/** Print a title and sentences as a plain page; returns the frame that holds the page. */
export function printSteps(title, who, sentences) {
  const frame = make("iframe", { className: "dt-sr", title: "The steps as a page to print" });
  document.body.append(frame);
  const page = frame.contentDocument;
  page.title = title;
  page.body.append(
    make("h1", {}, title),
    make("p", {}, who),
    make("ol", {}, ...sentences.map((words) => make("li", {}, words))),
  );
  page.body.style.cssText = "font: 12pt/1.5 sans-serif; color: black; background: white; margin: 2cm";
  frame.contentWindow.addEventListener("afterprint", () => frame.remove());
  frame.contentWindow.print();
  return frame;
}

export class InCode {
  constructor(desk) {
    this.text = control("textarea", { rows: 6, spellcheck: false });
    this.text.setAttribute("aria-label", "The steps as code");
    this.said = make("p", { className: "dt-codesaid" });
    this.said.setAttribute("role", "status");
    const read = () => desk.say({ kind: "read", text: this.text.value });
    this.el = control(
      "details",
      { className: "dt-code", ontoggle: () => this.el.open && desk.say({ kind: "code" }) },
      make("summary", {}, "The same steps as code"),
      this.text,
      make(
        "div",
        { className: "dt-tools" },
        button("Write my steps here", () => desk.say({ kind: "code" })),
        button("Lay these steps on the table", read),
      ),
      this.said,
    );
  }
  write(code) {
    this.text.value = code;
    this.said.textContent = code ? "" : "There are no steps yet.";
  }
  show({ fault, steps }) {
    this.said.textContent = fault || `${steps.length} steps lie on the table. You can take them back.`;
  }
}

/** Steps that were kept elsewhere and differ: which lie on the table, and a button that changes them. */
export function otherVersion(desk) {
  const { other } = desk.setup;
  if (!other) return null;
  const box = make("section", { className: "dt-ask dt-other" });
  box.setAttribute("aria-label", "Two versions of your steps");
  const count = (n) => `${n} step${n === 1 ? "" : "s"}`;
  box.append(
    make(
      "p",
      {},
      `You have two versions of this draft. The newer one lies on the table: ${count(desk.steps.length)}. ` +
        `The other one was kept ${other.where}: ${count(other.steps.length)}.`,
    ),
    button("Keep this one", () => box.remove()),
    button("Take the other one", () => {
      desk.replaceAll(other.steps);
      box.remove();
    }),
  );
  return box;
}
