// Link: the way to the kernel that drew the board, and whether it still answers.

const SLOW = 2500; // ms without an answer
const QUIET = 2000; // ms after which a kernel is asked whether it is there
const GONE = ["dead", "restarting", "autorestarting", "terminating"];

const SAYS = {
  slow: "No answer yet. The notebook is busy. If it was started again, run this cell again.",
  ended: "The notebook that drew this board has ended. Run this cell again to go on drawing.",
};

export class Link {
  /** changed: called when the state has changed. */
  constructor(model, changed) {
    this.model = model;
    this.changed = changed;
    this.who = Math.random().toString(36).slice(2, 8);
    this.gone = false; // the kernel was ended or started again
    this.live = true; // the notebook has a way to it
    this.slow = false; // it does not answer
    this.heardAt = performance.now();
    const status = (_, now) => {
      if (GONE.includes(now)) this.set({ gone: true });
    };
    const signal = model.widget_manager?.kernel?.statusChanged;
    signal?.connect(status);
    this.close = () => {
      clearTimeout(this.timer);
      signal?.disconnect(status);
    };
  }
  get state() {
    if (this.gone || !this.live) return "ended";
    return this.slow ? "slow" : "";
  }
  /** What there is to say about the kernel, "" while it answers. */
  words() {
    return SAYS[this.state] ?? "";
  }
  /** Send a message that will be answered; false when the kernel has ended. urgent: somebody waits for it. */
  say(what, urgent = true) {
    if (this.state === "ended") return false;
    try {
      this.model.send({ who: this.who, ...what });
    } catch {
      this.set({ gone: true });
      return false;
    }
    if (urgent) this.timer ??= setTimeout(() => this.set({ slow: true }), SLOW);
    return true;
  }
  /** An answer has come. */
  heard() {
    this.heardAt = performance.now();
    this.rest();
    this.set({ slow: false });
  }
  /** The hand touches the board: ask whether the kernel is there, if it has not been heard of late. */
  touch() {
    if (!this.timer && performance.now() - this.heardAt > QUIET) this.say({ kind: "here" });
  }
  rest() {
    clearTimeout(this.timer);
    this.timer = undefined;
  }
  set(what) {
    const before = this.state;
    Object.assign(this, what);
    if (this.state === before) return;
    this.rest();
    this.changed();
  }
}
