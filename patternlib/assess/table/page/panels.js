// Beside the paper: own numbers, what is asked, and the list of steps.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "./dom.js";
import { writeLength, writeQuantity } from "./measure.js";
import { printSteps } from "./more.js";

const SHARES = [
  [1, ""],
  [2, "half"],
  [4, "quarter"],
  [8, "eighth"],
];

export class Numbers {
  constructor(desk, view) {
    Object.assign(this, { desk, view });
    this.body = make("div", { className: "dt-numbers" });
    this.unit = control(
      "select",
      { onchange: () => desk.keepUnit(this.unit.value) },
      ...["cm", "in"].map((u) => make("option", { value: u }, u === "in" ? "inches" : "cm")),
    );
    this.unit.setAttribute("aria-label", "Unit of lengths");
    this.el = make(
      "section",
      { className: "dt-panel" },
      make("div", { className: "dt-panelhead" }, make("h4", {}, "Your numbers"), this.unit),
      this.body,
    );
    this.el.setAttribute("aria-label", "Your numbers");
  }
  refresh() {
    const { desk } = this;
    this.unit.value = desk.unit;
    const key = JSON.stringify([desk.unit, this.noted()]);
    if (key === this.shown) return;
    this.shown = key;
    const own = desk.setup.numbers.filter(([, , , needed]) => needed),
      rest = desk.setup.numbers.filter(([, , , needed]) => !needed);
    const none = make("p", { className: "dt-soft" }, "None of your measures is needed here.");
    const parts = [own.length || desk.setup.prints ? this.table(own) : none];
    const noted = this.noted();
    if (noted.length) parts.push(make("h5", {}, "On the paper"), this.table(noted));
    if (rest.length)
      parts.push(control("details", {}, make("summary", {}, "All other measures"), this.table(rest)));
    this.body.replaceChildren(...parts);
  }
  noted() {
    return [...this.desk.numbers()]
      .filter(([name]) => !this.desk.setup.numbers.some(([n]) => n === name))
      .map(([name, { value, kind }]) => [name, value, kind]);
  }
  table(rows) {
    return make(
      "div",
      { className: "dt-rows" },
      ...rows.map(([name, value, kind]) => {
        const row = make("div", { className: "dt-row" }, make("span", { className: "dt-rowname" }, name));
        for (const [by, word] of kind === "length" ? SHARES : SHARES.slice(0, 1)) {
          const said =
            kind === "length"
              ? writeLength(value / by, this.desk.unit).replace(/ (cm|in)$/, "")
              : writeQuantity({ value, kind }, this.desk.unit);
          const key = button("", () => this.view.sentence.insert(by === 1 ? name : `${name} ÷ ${by}`), {
            className: "dt-share",
            tabIndex: by === 1 ? 0 : -1,
          });
          key.append(make("b", {}, said), make("small", {}, by === 1 ? "all" : word));
          key.setAttribute(
            "aria-label",
            `${by === 1 ? "" : `${by === 2 ? "half" : by === 4 ? "a quarter" : "an eighth"} of `}${name}: ${said}. Put it into the measure.`,
          );
          key.addEventListener("pointerdown", (e) => e.preventDefault());
          row.append(key);
        }
        return row;
      }),
    );
  }
  offers() {
    const { desk } = this;
    const own = desk.setup.numbers.filter(([, , , needed]) => needed);
    return [...own, ...this.noted()].map(([name, value, kind]) => ({
      text: name,
      says: name,
      insert: name,
      note: writeQuantity({ value, kind }, desk.unit),
    }));
  }
}

const TICKS = { right: "✓", carried: "✓", off: "✗", missing: "·" };
const WORDS = {
  right: "right",
  carried: "right, given your earlier step",
  off: "off",
  missing: "not drawn yet",
};

export class AskedFor {
  constructor(desk, view) {
    Object.assign(this, { desk, view });
    this.list = make("ul", { className: "dt-asked" });
    const compare = () => desk.comparing || desk.compare();
    this.button = button("Compare with the rule", compare, { className: "dt-compare" });
    this.button.hidden = !!desk.setup.prints; // her own measures: there is no rule to compare with
    this.said = make("p", { className: "dt-mark" });
    this.next = make("p", { className: "dt-next" });
    this.pieces = make("ul", { className: "dt-piecesaid" });
    this.el = make(
      "section",
      { className: "dt-panel" },
      make("div", { className: "dt-panelhead" }, make("h4", {}, "What is asked")),
      this.list,
      this.pieces,
      this.button,
      this.said,
      this.next,
    );
    this.el.setAttribute("aria-label", "What is asked");
  }
  refresh() {
    const { desk } = this,
      { compared } = desk;
    const lines = new Map((compared ? compared.lines : []).map((line) => [line.step, line]));
    let group = "";
    this.list.replaceChildren(
      ...desk.setup.asked.flatMap(({ name }) => {
        const piece = Object.keys(desk.setup.pieces).find((p) => name.startsWith(`${p}: `)) || "",
          heading = piece && piece !== group ? [make("li", { className: "dt-askedpiece" }, piece)] : [];
        group = piece;
        const line = lines.get(name),
          there = desk.values.has(name) || name in desk.added;
        const item = make("li", { className: line ? `dt-${line.verdict}` : there ? "dt-there" : "" });
        const sign = make("span", { className: "dt-tick" }, line ? TICKS[line.verdict] : there ? "–" : "·");
        sign.setAttribute("aria-hidden", "true");
        const short = piece ? name.slice(piece.length + 2).replace(" / ", " and ") : name;
        item.append(
          sign,
          make("span", {}, piece ? make("span", { className: "dt-sr" }, `${piece}: `) : "", short),
          make(
            "span",
            { className: "dt-sr" },
            line ? `: ${WORDS[line.verdict]}` : there ? ": on the paper" : ": still to do",
          ),
        );
        if (line && (line.verdict === "off" || line.verdict === "carried"))
          item.append(make("small", {}, line.text.replace(`${name}: `, "")));
        return [...heading, item];
      }),
    );
    this.pieces.hidden = !desk.pieces.size;
    this.pieces.replaceChildren(...[...desk.pieces.values()].map((p) => make("li", {}, p.said)));
    this.button.setAttribute("aria-disabled", String(desk.comparing)); // it keeps the focus
    this.button.textContent = desk.comparing ? "Comparing …" : "Compare with the rule";
    this.said.textContent = compared ? compared.said : "";
    this.next.textContent = compared ? compared.next : "";
  }
}

export class Steps {
  constructor(desk, view) {
    Object.assign(this, { desk, view });
    this.list = make("ol", { className: "dt-steps" });
    this.ask = make("div", { className: "dt-ask", hidden: true });
    this.ask.setAttribute("role", "alertdialog");
    this.back = button("Take back", () => desk.back(), { title: "Take the last change back" });
    this.again = button("Bring again", () => desk.again(), { title: "Bring again what was taken back" });
    this.print = button("Print", () => this.printed(), { title: "Print the steps as a list" });
    this.restart = button("Start again", () => this.startAfresh(), {
      title: "Clear the table; it can be taken back",
    });
    this.el = make(
      "section",
      { className: "dt-panel dt-stepspanel" },
      make(
        "div",
        { className: "dt-panelhead" },
        make("h4", {}, "Steps"),
        make("div", { className: "dt-tools" }, this.back, this.again, this.restart, this.print),
      ),
      this.ask,
      this.list,
    );
    this.el.setAttribute("aria-label", "Steps");
  }
  refresh() {
    const { desk, view } = this;
    this.back.disabled = !desk.past.length;
    this.again.disabled = !desk.ahead.length;
    this.restart.disabled = this.print.disabled = !desk.steps.length;
    if (!desk.steps.length) {
      this.list.replaceChildren(
        make(
          "li",
          { className: "dt-none" },
          "Nothing is drawn yet. Fill the sentence and set it, or press on a point of the paper and pull.",
        ),
      );
      return;
    }
    const off = (desk.compared ? desk.compared.lines : []).filter((l) => l.verdict === "off");
    this.list.replaceChildren(
      ...desk.steps.map((step, i) => {
        const choose = button(desk.sentence(step), () => view.sentence.changeStep(i), {
          className: "dt-stepbutton",
        });
        choose.title = "Change this step";
        const item = make("li", { className: view.chosen === step.name ? "dt-chosenstep" : "" }, choose);
        const fault = desk.faults[step.name],
          remarks = off.filter((l) => (l.at || l.step) === step.name); // a seam's notch lies on two edges
        if (fault) item.append(make("p", { className: "dt-fault" }, `Not drawn: ${fault}`));
        for (const { text } of remarks) item.append(make("p", { className: "dt-fault" }, `✗ ${text}`));
        return item;
      }),
    );
  }
  printed() {
    const { desk } = this,
      { exercise, student } = desk.setup;
    const sentences = desk.steps.map((step) => desk.sentence(step));
    printSteps(`${exercise.id} · ${exercise.title}`, student ? `Numbers of ${student}` : "", sentences);
  }
  question(words, yes, act) {
    const close = () => {
      this.ask.hidden = true;
      this.ask.replaceChildren();
    };
    const go = button(
      yes,
      () => {
        close();
        act();
      },
      { className: "dt-set" },
    );
    this.ask.replaceChildren(make("p", {}, words), go, button("Leave it", close));
    this.ask.setAttribute("aria-label", words);
    this.ask.hidden = false;
    go.focus({ preventScroll: true });
    this.ask.scrollIntoView({ block: "nearest" });
  }
  startAfresh() {
    const { desk } = this;
    this.question(
      `Clear the table of its ${desk.steps.length} steps? You can take this back.`,
      "Clear it",
      () => {
        desk.rubOut(desk.steps.map((s) => s.name));
        this.view.sentence.escape();
      },
    );
  }
  rubOut(i) {
    const { desk, view } = this,
      { name } = desk.steps[i],
      hang = desk.hanging(name);
    const act = () => {
      desk.rubOut([name, ...hang]);
      view.sentence.escape();
      view.announce(`${[name, ...hang].join(", ")} rubbed out.`);
    };
    if (!hang.length) act();
    else
      this.question(
        `${hang.join(", ")} ${hang.length > 1 ? "hang" : "hangs"} from ${name} and would be rubbed out too.`,
        `Rub out all ${hang.length + 1}`,
        act,
      );
  }
}
