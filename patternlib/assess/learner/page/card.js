// The name card: a name, a class key, and what is said of them.

import { control, make } from "../../../boards/page/elements.js";

let cards = 0;

export default {
  render({ model, el }) {
    const n = ++cards;
    const field = (name, words, more) => {
      const input = control("input", { type: "text", id: `name-card-${n}-${name}`, maxLength: 80, ...more });
      input.value = model.get(name);
      input.autocomplete = "off";
      input.spellcheck = false;
      const label = make("label", {}, words);
      label.htmlFor = input.id;
      return [input, make("div", { className: "nc-field" }, label, input)];
    };
    const [student, first] = field("student", "Your name, or the id your teacher gave you");
    const [key, second] = field("key", "Key of your class, if it has one");
    const said = make("p", { className: "nc-said" });
    said.setAttribute("role", "status");
    const write = () => {
      if (student.value === model.get("student") && key.value === model.get("key")) return;
      try {
        model.send({ kind: "name", student: student.value, key: key.value });
        said.textContent = "Writing …";
      } catch {
        said.textContent =
          "The notebook is not running: choose Run, Run All Cells, and write the name again.";
      }
    };
    const button = control("button", { type: "button", onclick: write }, "Write it on the card");
    for (const input of [student, key])
      input.addEventListener("keydown", (e) => {
        if (e.key === "Enter") write();
      });
    const show = () => {
      if (document.activeElement !== student) student.value = model.get("student");
      if (document.activeElement !== key) key.value = model.get("key");
      said.textContent = model.get("fault") || model.get("said");
      card.classList.toggle("nc-none", !model.get("student") || !!model.get("fault"));
    };
    const card = make("div", { className: "name-card" }, first, second, button, said);
    card.setAttribute("role", "group");
    card.setAttribute("aria-label", "Name card");
    el.append(card);
    for (const name of ["student", "key", "said", "fault"]) model.on(`change:${name}`, show);
    model.on("msg:custom", show);
    document.addEventListener("take-in", write); // the notebook is about to be left
    show();
    return () => {
      document.removeEventListener("take-in", write);
      for (const name of ["student", "key", "said", "fault"]) model.off(`change:${name}`, show);
      model.off("msg:custom", show);
      card.remove();
    };
  },
};
