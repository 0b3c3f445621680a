// Work that can wait: done one small part at a time, while the page has nothing else to do.

const ENOUGH = 5; // ms that a part may take: with less left, the next part waits for another pause

export class Idle {
  constructor() {
    this.parts = [];
    this.asked = false;
  }
  /** Call `part` when there is time for it. */
  add(part) {
    this.parts.push(part);
    this.ask();
  }
  ask() {
    if (this.asked || !this.parts.length) return;
    this.asked = true;
    const later = globalThis.requestIdleCallback ?? ((work) => setTimeout(work, 20));
    later((left) => this.work(left));
  }
  work(left) {
    this.asked = false;
    do this.parts.shift()?.();
    while (this.parts.length && left?.timeRemaining() > ENOUGH);
    this.ask();
  }
  /** Call `part` in a pause after `ms`, unless hold() comes before; the last call counts. */
  after(ms, part) {
    this.hold();
    this.timer = setTimeout(() => this.add(part), ms);
  }
  hold() {
    clearTimeout(this.timer);
  }
  clear() {
    this.hold();
    this.parts.length = 0;
  }
}
