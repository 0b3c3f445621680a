// One place of the sentence: a box to write in, and what can be tapped to fill it.

import { control } from "../../../boards/page/elements.js";
import { kindOf } from "./geometry.js";
import { cornerPicture, cornerShapes } from "./corners.js";
import { EMPTY, FREE, KINDS, LABELS, SEVERAL, WORDS } from "./kinds.js";
import { MEASURES, RUNNING_ON, SQUARE_TO, TAKEN, TOWARD } from "./sentences.js";
import { atEnds, edgesLeft, endSaid, pieceNames, tracedOn } from "./traced.js";

export class Field {
  constructor(sentence, place, before) {
    Object.assign(this, { sentence, place, kind: place.kind, optional: !!place.optional });
    this.many = Object.hasOwn(SEVERAL, this.kind);
    this.chosen = []; // names, where there may be many
    const looks = { type: "text", className: "dt-field", autocomplete: "off", spellcheck: false };
    const input = control("input", looks);
    this.input = input;
    input.placeholder = EMPTY[this.kind];
    const label = LABELS[this.kind],
      words = (before || "").replace(/[^\p{L} -]/gu, " ").trim();
    input.setAttribute("aria-label", words && this.kind !== "verb" ? `${label}: ${words} …` : label);
    input.setAttribute("role", "combobox");
    input.setAttribute("aria-autocomplete", "list");
    input.dataset.place = place.field;
    if (this.measure) input.inputMode = this.kind === "share" ? "text" : "decimal";
    input.setAttribute("enterkeyhint", "next");
    this.listen();
    this.show("");
  }
  get measure() {
    return MEASURES.includes(this.kind);
  }
  get takes() {
    return KINDS[this.kind] || [];
  }
  get text() {
    return this.input.value.trim();
  }
  get empty() {
    return this.many ? !this.chosen.length && !this.text : !this.text;
  }
  get passed() {
    // may be left out, and a hand that taps goes on without it
    return this.optional && ["thing", "words", "length"].includes(this.kind);
  }
  get needed() {
    return !this.optional && this.empty;
  }

  show(text) {
    this.input.value = text;
    this.fit();
  }
  put(names) {
    this.chosen = [...names];
    this.show(this.many ? names.join(" · ") : names[0] || "");
  }
  fit() {
    const letters = this.input.value.length || this.input.placeholder.length;
    const wide = this.kind === "verb" ? 0.96 : 0.88; // its letters are bold
    this.input.style.width = `${Math.min(Math.max(letters * wide + 1.4, 4), 40)}ch`;
  }
  wrong(on) {
    if (on) this.input.setAttribute("aria-invalid", "true");
    else this.input.removeAttribute("aria-invalid");
  }

  listen() {
    const { input, sentence } = this;
    input.addEventListener("focus", () => {
      input.select();
      sentence.turnTo(this);
    });
    input.addEventListener("input", () => {
      if (this.many) this.chosen = [];
      this.fit();
      this.wrong(false);
      sentence.typed(this);
    });
    input.addEventListener("keydown", (e) => {
      const { offers } = sentence;
      if (e.key === "ArrowDown" || e.key === "ArrowUp") offers.step(e.key === "ArrowDown" ? 1 : -1);
      else if (e.key === "Enter") {
        if (!offers.enter() && this.settle()) {
          if (this.kind === "verb") sentence.focusFirst();
          else sentence.next(this, true);
        }
      } else if (e.key === "Escape") sentence.escape();
      else return;
      e.preventDefault();
      e.stopPropagation();
    });
    input.addEventListener("blur", () => {
      if (!this.empty) this.settle();
    });
  }

  // what can be tapped: [{text, says, insert}]; those that fit what is typed
  offered() {
    const typed = this.fresh ? "" : this.text.toLowerCase();
    const all = this.all();
    if (!typed || this.measure) return all;
    const starts = all.filter((o) => o.text.toLowerCase().startsWith(typed));
    return [...starts, ...all.filter((o) => !starts.includes(o) && o.text.toLowerCase().includes(typed))];
  }
  all() {
    const { desk } = this.sentence,
      at = this.sentence.place;
    const on = desk.on(at),
      traced = tracedOn(desk, at);
    const named = (kinds) =>
      [...on]
        .filter(([name, v]) => kinds.includes(traced.has(name) ? "edge" : kindOf(v)))
        .map(([text]) => ({ text }))
        .reverse();
    const list = (...words) => words.map((text) => ({ text }));
    if (this.kind === "at") return this.there(on, at);
    if (this.kind === "edge") return this.edges([...traced.keys()].filter((name) => on.has(name)));
    if (this.kind === "line")
      return named(["line", "edge"]).sort((a, b) => traced.has(a.text) - traced.has(b.text));
    if (TAKEN.includes(this.kind)) return named(this.takes);
    if (this.kind === "piece") return list(...pieceNames(desk));
    if (this.kind === "edge name") return list(...edgesLeft(desk, this.sentence.field("piece").text, at));
    if (this.kind === "first") return this.firsts(traced);
    if (this.kind === "end") return this.ends(on);
    if (this.kind in WORDS) return WORDS[this.kind];
    if (this.kind === "bearing") {
      const lines = named(["line"]);
      return [
        ...list("up", "down", "left", "right"),
        ...lines.map(({ text }) => ({ text: SQUARE_TO + text })),
        ...lines.map(({ text }) => ({ text: RUNNING_ON + text })),
        ...named(["point"]).map(({ text }) => ({ text: TOWARD + text })),
      ];
    }
    if (this.kind === "name") return this.sentence.names().map((text) => ({ text }));
    if (this.kind === "verb")
      return [...desk.verbs.values()].map((v) => ({ text: v.word, note: v.about, verb: v.key }));
    return [];
  }
  there(on, at) {
    // what touches an end of the edge before this place
    const before = this.sentence.field({ of1: "of0", of3: "of2" }[this.place.field]),
      line = before && on.get(before.text);
    if (line === undefined || kindOf(line) !== "line") return [];
    return atEnds(this.sentence.desk, line, at, before.text).map((text) => ({ text }));
  }
  ends(on) {
    // which end is which: what is marked there
    const of = this.sentence.field("of0"),
      line = on.get(of?.text),
      known = line !== undefined && kindOf(line) === "line";
    return WORDS.end.map(({ text }) => ({ text, note: known ? endSaid(on, line, text) : "" }));
  }
  edges(names) {
    // those without an allowance first, where one is added
    const { desk } = this.sentence,
      done = new Set(desk.steps.filter((s) => s.verb === "allowance").flatMap((s) => s.of));
    const rank = (name) => (this.sentence.verb === "allowance" && done.has(name) ? 1 : 0);
    return names.sort((a, b) => rank(a) - rank(b)).map((text) => ({ text }));
  }
  firsts(traced) {
    const both = ["of0", "of1"].map((of) => traced.get(this.sentence.field(of).text)?.edge);
    const of = ["of0", "of1"].map((place) => this.sentence.field(place).text);
    const again = () => this.sentence.active === this && this.sentence.offers.show(this);
    const shapes = both.every(Boolean) ? cornerShapes(this.sentence.desk, of, again) : [];
    return [...both.filter(Boolean), "neither"].map((text) => {
      const shape = shapes.find((s) => s.first === text);
      return { text, note: shape?.said, picture: shape && cornerPicture(shape) };
    });
  }
  choose(offer, byKey) {
    if (this.kind === "verb") return this.sentence.start(offer.verb, { focus: true });
    if (this.many) {
      this.put([...new Set([...this.chosen, offer.text])]);
      this.sentence.typed(this);
      this.sentence.turnTo(this);
      return undefined;
    }
    this.show(offer.text);
    this.wrong(false);
    this.sentence.typed(this);
    return this.sentence.next(this, byKey);
  }

  // take over what is typed; false and a sentence where it cannot be
  settle() {
    const { sentence } = this,
      typed = this.text;
    if (this.measure || this.kind === "name" || !typed) return sentence.look(this);
    if (this.kind === "way" || this.kind === "bearing") {
      const found = this.offered().find((o) => o.text.toLowerCase().startsWith(typed.toLowerCase()));
      if (found && !/\d/.test(typed)) this.show(found.text);
      return sentence.look(this);
    }
    if (this.many) {
      if (!this.chosen.length) {
        const names = typed
          .split(/\s*[·;]\s*/)
          .filter(Boolean)
          .map((n) => this.named(n));
        if (names.includes(undefined)) return sentence.complain(this, this.unknown(typed));
        this.put(names);
      }
      return true;
    }
    const found = this.kind === "verb" ? this.offered()[0] : this.named(typed) && { text: this.named(typed) };
    if (!found && FREE.includes(this.kind)) return sentence.look(this);
    if (!found) return sentence.complain(this, this.unknown(typed));
    if (this.kind === "verb") {
      if (found.verb !== sentence.verb) sentence.start(found.verb, { focus: true });
      else this.show(found.text);
      return true;
    }
    this.show(found.text);
    this.wrong(false);
    return true;
  }
  named(typed) {
    const names = this.all().map((o) => o.text),
      small = typed.toLowerCase();
    const same = names.find((n) => n.toLowerCase() === small);
    if (same) return same;
    const starts = names.filter((n) => n.toLowerCase().startsWith(small));
    if (starts.length) return starts.sort((a, b) => a.length - b.length)[0];
    const inside = names.filter((n) => n.toLowerCase().includes(small));
    return inside.length === 1 ? inside[0] : undefined;
  }
  unknown(typed) {
    const what =
      this.kind === "verb"
        ? "is nothing the table knows"
        : this.takes.length
          ? "is not on the paper at this step"
          : "does not fit here";
    return `'${typed}' ${what}. Tap one of those below, or write its first letters.`;
  }
}
