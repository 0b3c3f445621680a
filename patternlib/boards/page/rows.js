// One row of controls for each value: a slider with its exact value, or a list of choices.

import { axisOf, EIGHTH } from "./ahead.js";
import { control, make } from "./elements.js";
import { holding } from "./hand.js";
import { inCm, inEighths, readLength, readPlain } from "./lengths.js";
import { choices, reason, sayAmount, sayLimits } from "./words.js";

/** {el, show}: the row of slider i and what brings it up to date. */
export function valueRow(desk, i, aims) {
  return desk.sliders[i].choices.length ? choiceRow(desk, i) : sliderRow(desk, i, aims);
}

let reasons = 0;

/** {el, why, show}: the label of a value, which shows the reason of its limits when it is pressed. */
function labelled(desk, s, input) {
  const name = make("span", { className: "db-label" }, s.label);
  if (!s.why) return { el: name, why: "", show: () => {} };
  reasons += 1;
  const why = make("p", { className: "db-reason", id: `db-reason-${reasons}`, hidden: true });
  input.setAttribute("aria-describedby", why.id);
  const el = control("button", { className: "db-why", type: "button", ariaExpanded: "false" }, name);
  el.setAttribute("aria-controls", why.id);
  el.onclick = () => {
    why.hidden = !why.hidden;
    el.setAttribute("aria-expanded", String(!why.hidden));
  };
  const show = () => {
    why.textContent = reason(s, desk.unit);
    el.title = why.textContent;
  };
  return { el, why, show };
}

function sliderRow(desk, i, aims) {
  const s = desk.sliders[i];
  const inches = () => s.unit === "cm" && desk.unit === "in";
  const range = control("input", { type: "range", ariaLabel: s.label });
  range.dataset.value = s.name;
  const unit = make("span", { className: "db-unit" });
  const axes = () => [axisOf(desk, i)];
  range.addEventListener("input", () => {
    desk.move({ [i]: inches() ? range.value * EIGHTH : Number(range.value) });
  });
  holding(desk, range, axes);
  let said = "";
  const show = () => {
    const v = desk.row[i];
    const inch = inches();
    const now = `${v} ${desk.unit}`;
    const [low, high, step, at] = inch
      ? [Math.floor(s.low / EIGHTH), Math.ceil(s.high / EIGHTH), 1, Math.round(v / EIGHTH)]
      : [s.low, s.high, s.step, v];
    if (range.min !== String(low) || range.max !== String(high) || range.step !== String(step)) {
      Object.assign(range, { min: low, max: high, step });
    }
    if (Number(range.value) !== at) range.value = at;
    entry.show(inch ? inEighths(v) : inCm(v));
    if (said === now) return; // of the rows only the one that moves is written
    said = now;
    range.setAttribute("aria-valuetext", sayAmount(s, v, desk.unit)); // its name is said with it
    unit.textContent = s.unit === "cm" ? desk.unit : s.unit === "degrees" ? "°" : s.unit;
    unit.title = inch ? `${inCm(v)} cm` : "";
    label.show();
  };
  const entry = exactValue(desk, i, show);
  const label = labelled(desk, s, range);
  const el = make("div", { className: "db-row" }, label.el, entry.el, unit, range, label.why);
  aims(el, axes);
  return { el, show };
}

/** The field where a value is typed. restore: puts the value back into the field. */
function exactValue(desk, i, restore) {
  const s = desk.sliders[i];
  const el = control("input", { type: "text", className: "db-entry", autocomplete: "off" });
  el.setAttribute("aria-label", `${s.label}, exact value`);
  el.inputMode = "decimal";
  const done = () => {
    delete el.dataset.typing;
    if (el.getAttribute("aria-invalid")) {
      el.removeAttribute("aria-invalid");
      desk.note = "";
      desk.tell("say");
    }
    restore();
  };
  const take = () => {
    if (!el.dataset.typing) return;
    const read = s.unit === "cm" ? readLength(el.value, desk.unit) : readPlain(el.value);
    const v = read.cm ?? read.number;
    const hair = s.unit === "cm" && desk.unit === "in" ? 2.54 / 32 : 1e-6; // limits are said to 1/16 in
    if (v >= s.low - hair && v <= s.high + hair) {
      done();
      desk.move({ [i]: Math.min(Math.max(v, s.low), s.high) });
      return;
    }
    el.setAttribute("aria-invalid", "true");
    const why = read.fault ? `${read.fault}. ${read.advice}` : "lies outside.";
    desk.note = `${s.label} runs from ${sayLimits(s, desk.unit)}; '${el.value}' ${why}`;
    desk.tell("say");
  };
  el.addEventListener("input", () => {
    el.dataset.typing = "yes";
  });
  el.addEventListener("focus", () => el.select());
  el.addEventListener("keydown", (e) => {
    if (e.key === "Enter") {
      take();
      el.select();
    } else if (e.key === "Escape") done();
    else return;
    e.stopPropagation();
  });
  el.addEventListener("blur", () => {
    take();
    if (el.getAttribute("aria-invalid")) done();
  });
  const show = (text) => {
    if (el.value !== text && (document.activeElement !== el || !el.dataset.typing)) el.value = text;
  };
  return { el, show };
}

function choiceRow(desk, i) {
  const s = desk.sliders[i];
  const options = s.choices.map((words, k) => make("option", { value: k }, words));
  const list = control("select", { ariaLabel: s.label }, ...options);
  list.onchange = () => desk.move({ [i]: Number(list.value) });
  list.dataset.value = s.name;
  const label = labelled(desk, s, list);
  const el = make("div", { className: "db-row" }, label.el, list, label.why);
  const show = () => {
    label.show();
    choices(s, desk.unit).forEach((words, k) => {
      options[k].textContent = words;
    });
    list.value = String(desk.row[i]);
  };
  return { el, show };
}
