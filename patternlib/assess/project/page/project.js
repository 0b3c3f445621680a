// The form of the project. Python keeps, reads and checks what is typed; the page never waits and loses nothing.

import { control, make } from "../../../boards/page/elements.js";
import { button } from "../../table/page/dom.js";
import { KeptForm } from "../../table/page/form.js";

const LONGEST_SIDE = 1600;
const SIGNS = { right: "✓", near: "?", off: "✗", missing: "–" };
const SAID = { right: "right", near: "look at it again", off: "not right", missing: "still missing" };
let made = 0;

class ProjectForm extends KeptForm {
  // -- what is seen -----------------------------------------------------------------------------------------------------
  build() {
    this.fields = new Map();
    this.places = new Map();
    this.notes = new Map();
    this.said = make("p", { className: "pf-mark" });
    this.said.setAttribute("aria-live", "polite");
    const check = button("", () => this.request("check"), { className: "pf-main" });
    this.mainKey(check, "Check my project", "Checking …");
    const parts = this.setup.sections.map((section) => this.section(section));
    this.root = control(
      "div",
      { className: "paper-form project-form" },
      make(
        "header",
        {},
        make("h3", {}, this.setup.title),
        make("span", { className: "pf-who" }, `Project of ${this.setup.student}`),
        make(
          "p",
          {},
          "Fill in what you have; everything is kept as you go, and saving the notebook hands it in. " +
            "Lengths may be written 22, 22 cm, 220 mm or 8 1/2 in.",
        ),
      ),
      this.note,
      ...parts,
      make("div", { className: "pf-actions" }, check),
      this.said,
    );
  }
  section(section) {
    const box = make("section", { className: `pf-group pj-${section.key}` }, make("h4", {}, section.title));
    box.append(make("p", { className: "pf-help" }, section.said));
    if (section.key === "measures") box.append(this.ownMeasures());
    const once = make("div", { className: "pj-once" });
    for (const part of section.once) once.append(this.field(section, "", part, part.label));
    box.append(once);
    const lines = make("div", { className: "pj-lines" });
    box.append(lines);
    for (const [key, words] of section.named) lines.append(this.line(section, key, words));
    const place = { section, lines, count: 0 };
    this.places.set(section.key, place);
    if (section.more) {
      place.add = button(section.more, () => this.grow(place, true), { className: "pf-add" });
      box.append(place.add);
    }
    if (section.key === "photographs") box.append(this.photographs());
    this.lay(place);
    box.append(this.levels(section));
    return box;
  }
  lay(place) {
    const { section } = place;
    let wanted = section.lines;
    for (let n = 1; n <= section.most; n += 1)
      if (section.parts.some((part) => this.typed[`${section.key}|${n}|${part.key}`]))
        wanted = Math.max(wanted, n);
    while (place.count < wanted) this.grow(place, false);
  }
  grow(place, go) {
    const { section } = place;
    place.count += 1;
    const n = place.count;
    place.lines.append(this.line(section, n, `${n}.`));
    if (place.add) place.add.hidden = place.count >= section.most;
    if (go) this.fields.get(`${section.key}|${n}|${section.parts[0].key}`).input.focus();
  }
  line(section, key, words) {
    const line = make("div", { className: "pj-line" }, make("span", { className: "pj-name" }, words));
    line.setAttribute("role", "group");
    line.setAttribute("aria-label", words);
    for (const part of section.parts) line.append(this.field(section, key, part, words));
    if (section.key === "photographs") {
      line.append(button("Take it away", () => this.takeAway(`photographs|${key}|name`), {}));
    }
    return line;
  }
  field(section, line, part, words) {
    const key = `${section.key}|${line}|${part.key}`;
    const id = `pj-${++made}`;
    const chosen = part.kind === "choice";
    const input = chosen
      ? control("select", { id })
      : control("input", { id, type: "text", maxLength: part.kind === "text" ? 200 : 40 });
    input.autocomplete = "off";
    input.dataset.key = key;
    if (section.key === "photographs") input.readOnly = true;
    const name = part.label || words.split(":")[0];
    const label = make("label", {}, part.label);
    label.htmlFor = id;
    input.setAttribute("aria-label", line ? `${words.split(":")[0]}, ${name}` : name);
    const fault = make("p", { className: "pf-fault", id: `${id}-fault`, hidden: true });
    input.setAttribute("aria-describedby", fault.id);
    input.addEventListener("input", () => this.write(key, input.value));
    input.addEventListener("change", () => this.send());
    this.fields.set(key, { input, fault, part });
    this.fillOne(key);
    return make("div", { className: `pf-field pj-${part.kind}` }, label, input, fault);
  }
  fillOne(key) {
    const { input, part } = this.fields.get(key);
    const want = this.typed[key] || "";
    if (part.kind === "choice") {
      const offers = [
        "",
        ...(part.by_garment ? this.model.get("sheet").choices[part.by_garment] : part.choices),
      ];
      if (want && !offers.includes(want)) offers.push(want);
      if (offers.join("|") !== input.dataset.offers) {
        input.replaceChildren(...offers.map((o) => make("option", { value: o }, o || "–")));
        input.dataset.offers = offers.join("|");
      }
    }
    if (input.value !== want) input.value = want;
  }
  ownMeasures() {
    this.filled = make("span", { className: "pf-help" });
    this.filled.setAttribute("aria-live", "polite");
    const key = button("Take my measures from me.toml", () =>
      this.tell({ kind: "measures", ...this.mine() }),
    );
    return make("div", { className: "pf-bar" }, key, this.filled);
  }
  photographs() {
    const input = control("input", { type: "file", accept: "image/*", multiple: true, id: `pj-${++made}` });
    const label = make("label", {}, "Choose photographs");
    label.htmlFor = input.id;
    this.pictured = make("p", { className: "pf-help" });
    this.pictured.setAttribute("aria-live", "polite");
    input.addEventListener("change", async () => {
      for (const file of input.files) await this.bring(file);
      input.value = "";
    });
    return make("div", { className: "pf-field" }, label, input, this.pictured);
  }
  async bring(file) {
    // drawn again and smaller, so that nothing that the camera noted is sent
    try {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      const k = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(k * picture.width);
      canvas.height = Math.round(k * picture.height);
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      const data = canvas.toDataURL("image/jpeg", 0.85).split(",")[1];
      this.send();
      this.tell({ kind: "photograph", name: file.name, data });
    } catch {
      this.pictured.textContent = `“${file.name}” is no picture that this browser can open.`;
    }
  }
  levels(section) {
    const criterion = this.setup.criteria[section.criterion];
    const list = make("ol", { start: 0 });
    for (const [n, words] of criterion.levels.entries())
      list.append(make("li", {}, make("strong", {}, `${this.setup.called[n]}: `), words));
    const notes = make("ul", { className: "pj-notes" });
    this.notes.set(section.key, { notes, criterion: section.criterion });
    return make(
      "div",
      {},
      notes,
      make("details", { className: "pj-levels" }, make("summary", {}, "What is looked at here"), list),
    );
  }

  // -- what is typed ----------------------------------------------------------------------------------------------------
  changed() {
    this.show([]);
    super.changed();
  }
  takeAway(key) {
    this.write(key, "");
    this.send();
    this.fillOne(key);
  }
  get shelf() {
    return `project|${this.setup.student}`;
  }
  refresh() {
    for (const place of this.places.values()) this.lay(place);
    for (const key of this.fields.keys()) this.fillOne(key);
  }

  // -- talk with Python -------------------------------------------------------------------------------------------------
  say(sheet) {
    for (const [key, { input, fault }] of this.fields) {
      const words = sheet.faults[key] || "";
      fault.textContent = words;
      fault.hidden = !words;
      input.setAttribute("aria-invalid", String(!!words));
    }
    this.root.dataset.answered = sheet.by;
  }
  hear(said) {
    if (said.filled) this.filled.textContent = said.filled;
    if (said.photograph) this.pictured.textContent = said.photograph;
    if (said.checked) {
      this.ready();
      this.show(said.checked);
      const open = said.checked.filter((c) => c.verdict !== "right").length;
      this.said.textContent = open
        ? `${open} of ${said.checked.length} things to look at again or still to do.`
        : "All that can be calculated is right. Your instructor looks at the rest.";
    }
  }
  show(checked) {
    for (const { notes, criterion } of this.notes.values()) {
      const mine = checked.filter((c) => c.criterion === criterion);
      notes.replaceChildren(
        ...mine.map(({ verdict, text }) => {
          const sign = make("span", { className: "pf-sign" }, SIGNS[verdict]);
          sign.setAttribute("aria-hidden", "true");
          const item = make(
            "li",
            {},
            sign,
            make("span", { className: "pj-verdict" }, `${SAID[verdict]}: `),
            text,
          );
          item.dataset.verdict = verdict;
          return item;
        }),
      );
    }
    if (!checked.length) this.said.textContent = "";
  }
}

export default {
  render({ model, el }) {
    const form = new ProjectForm(model, el);
    return () => form.remove();
  },
};
