// Trail: the values at which the hand has rested, to go back and forward on.

const MOST = 200,
  KEPT = 50; // back and forward each, kept in the notebook
const same = (a, b) => a.every((v, i) => v === b[i]);

export class Trail {
  /** kept: rows of values from before, {back, forward}, the nearest last. */
  constructor(row, kept = {}) {
    this.now = [...row];
    this.past = [...(kept.back ?? [])];
    this.next = [...(kept.forward ?? [])];
  }
  /** What the notebook keeps. */
  kept() {
    return { back: this.past.slice(-KEPT), forward: this.next.slice(-KEPT) };
  }
  /** The first row, before any hand has moved. */
  begin(row) {
    this.now = [...row];
  }
  /** The hand rests at a row of values. */
  note(row) {
    if (same(row, this.now)) return;
    this.past.push(this.now);
    if (this.past.length > MOST) this.past.shift();
    this.now = [...row];
    this.next = [];
  }
  /** The row before this one, or null. */
  back() {
    return this.go(this.past, this.next);
  }
  /** The row that `back` has left, or null. */
  forward() {
    return this.go(this.next, this.past);
  }
  go(from, to) {
    if (!from.length) return null;
    to.push(this.now);
    this.now = from.pop();
    return [...this.now];
  }
}
