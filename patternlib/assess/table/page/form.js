// A form whose fields are kept as they are typed: by Python, and in the browser until Python has them.

import { make } from "../../../boards/page/elements.js";

const PAUSE = 600;

/** What each form adds: build(), which makes `root`; say(sheet); hear(said); refresh(); and its `shelf`. */
export class KeptForm {
  constructor(model, el) {
    this.model = model;
    this.who = Math.random().toString(36).slice(2, 8);
    this.setup = model.get("setup");
    this.seq = 0;
    this.answered = 0;
    const sheet = model.get("sheet");
    this.take(sheet);
    const recalled = this.recall();
    this.note = make("p", { className: "pf-note", hidden: true });
    this.note.setAttribute("role", "status");
    this.build();
    this.root.dataset.edits = this.edits;
    el.append(this.root);
    this.hearSheet = () => this.takeSheet(model.get("sheet"));
    this.hearSaid = (said) => {
      if (said.who === this.who) this.hear(said);
    };
    model.on("change:sheet", this.hearSheet);
    model.on("msg:custom", this.hearSaid);
    this.say(sheet);
    if (recalled) this.send();
  }
  remove() {
    clearTimeout(this.pause);
    this.model.off("change:sheet", this.hearSheet);
    this.model.off("msg:custom", this.hearSaid);
    this.root.remove();
  }

  // -- what is typed ----------------------------------------------------------------------------------------------------
  take(sheet) {
    Object.assign(this, { typed: { ...sheet.typed }, edits: sheet.edits });
  }
  write(key, text) {
    if (text) this.typed[key] = text;
    else delete this.typed[key];
    this.changed();
  }
  changed() {
    this.edits += 1;
    this.root.dataset.edits = this.edits;
    try {
      localStorage.setItem(this.shelf, JSON.stringify({ typed: this.typed, edits: this.edits }));
    } catch {
      /* a browser that keeps nothing */
    }
    clearTimeout(this.pause);
    this.pause = setTimeout(() => this.send(), PAUSE);
  }
  recall() {
    try {
      const copy = JSON.parse(localStorage.getItem(this.shelf));
      if (!copy || !(copy.edits > this.edits)) return false;
      this.take(copy);
      return true;
    } catch {
      return false;
    }
  }

  // -- talk with Python -------------------------------------------------------------------------------------------------
  /** The form's main key: what it says, and what it says while Python works. */
  mainKey(key, words, meanwhile) {
    this.main = { key, words, meanwhile };
    this.ready();
    return key;
  }
  ready() {
    this.main.key.setAttribute("aria-disabled", "false");
    this.main.key.textContent = this.main.words;
  }
  /** Send what the main key asks for; it rests until the answer is there. */
  request(kind) {
    if (this.main.key.getAttribute("aria-disabled") === "true") return;
    this.main.key.setAttribute("aria-disabled", "true"); // it keeps the focus
    this.main.key.textContent = this.main.meanwhile;
    this.askedAt = this.edits;
    if (!this.send(kind)) this.ready();
  }
  mine() {
    this.seq += 1;
    return { n: this.seq, typed: this.typed, edits: this.edits };
  }
  send(kind = "set") {
    clearTimeout(this.pause);
    return this.tell({ kind, ...this.mine() });
  }
  tell(what) {
    try {
      this.model.send({ who: this.who, ...what });
      return true;
    } catch {
      this.warn("The notebook is not running. What you type is kept; run this cell again to check it.");
      return false;
    }
  }
  warn(text) {
    this.note.textContent = text;
    this.note.hidden = !text;
  }
  takeSheet(sheet) {
    const [who, n] = (sheet.by || "").split(":");
    if (who === this.who) {
      this.answered = Math.max(this.answered, Number(n));
      if (Number(n) < this.seq) return; // an answer to an older text
    } else if (sheet.edits >= this.edits) this.take(sheet);
    this.root.dataset.edits = this.edits;
    this.refresh();
    this.warn(sheet.fault || "");
    this.say(sheet);
  }
}
