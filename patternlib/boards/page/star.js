// Star: a picture drawn by Python and others of one changed value each; any picture near it is blended from them.

import { between, shifted } from "./blend.js";
import { stepwise } from "./ahead.js";

const LENT = 2; // stars before this one whose arms are used along a slider

export class Star {
  /** picture: that of the row of values after `step` steps; before: the star that it follows, or null. */
  constructor(sliders, row, step, picture, before) {
    this.sliders = sliders;
    this.row = [...row];
    this.step = step;
    this.arms = new Map(); // index of a slider -> [{v, picture}], v upward
    this.centre = picture;
    this.lenders = sliders.map((_, i) => (before?.step === step ? before.lend(i) : []));
    this.feet = new Map(); // a star before -> what it shows at this star's values, by slider
    if (before) before.lenders = before.lenders.map(() => []); // what is not used any more is let go
  }
  /** Stars whose arms may be used along slider i: this one, if it has an arm, and the last that reached far. */
  lend(i) {
    if (!this.arms.has(i)) return this.lenders[i];
    return [this, ...this.lenders[i].filter((star) => star.reaches(i))].slice(0, LENT);
  }
  /** Whether the arm along slider i goes from end to end. */
  reaches(i) {
    const arm = this.arms.get(i) ?? [];
    const { low, high } = this.sliders[i];
    return arm.length > 3 && arm[0].v <= low && arm.at(-1).v >= high;
  }
  /** The slider in which alone a row differs from this one's, -1 for none or several. */
  axis(row) {
    let found = -1;
    for (let i = 0; i < row.length; i++) {
      if (row[i] === this.row[i]) continue;
      if (found >= 0) return -1;
      found = i;
    }
    return found;
  }
  /** Take a picture that was drawn (or the refusal of its values), if it lies on an arm. */
  take(row, step, picture) {
    const i = step === this.step ? this.axis(row) : -1;
    if (i < 0) return;
    if (!this.arms.has(i)) this.arms.set(i, [{ v: this.row[i], picture: this.centre }]);
    const arm = this.arms.get(i);
    const at = arm.findIndex((one) => one.v >= row[i]);
    const entry = { v: row[i], picture };
    if (at < 0) arm.push(entry);
    else arm.splice(at, arm[at].v === row[i] ? 1 : 0, entry);
  }
  /** The picture at value v of slider i, all else as in the middle; null where it is not known. */
  along(i, v) {
    if (v === this.row[i]) return this.centre;
    const arm = this.arms.get(i) ?? [];
    const at = arm.findIndex((one) => one.v >= v);
    if (at < 0) return null;
    const high = arm[at];
    if (high.v === v) return high.picture.error ? null : high.picture;
    const low = arm[at - 1];
    if (!low || low.picture.error || high.picture.error || stepwise(this.sliders[i])) return null;
    return between(low.picture, high.picture, (v - low.v) / (high.v - low.v));
  }
  /** The picture of a row of values, blended; null where too little is known. */
  blend(row, step) {
    if (step !== this.step) return null;
    let out = null;
    for (let i = 0; i < row.length; i++) {
      if (row[i] === this.row[i]) continue;
      const own = this.along(i, row[i]);
      if (own) out = out ? shifted(out, this.centre, own) : own;
      else {
        const lent = this.lent(i, row[i]);
        if (!lent) return null;
        out = shifted(out ?? this.centre, ...lent);
      }
    }
    return out && { ...out, blended: true };
  }
  /** Blend half-way to a row, for nothing but to have its lines read. */
  warm(row, step) {
    const half = row.map((v, i) => (v + this.row[i]) / 2);
    this.blend(half, step);
  }
  /** The picture of a star before at this star's value of slider i, made once: nothing is added to that star. */
  foot(star, i) {
    if (!this.feet.has(star)) this.feet.set(star, new Map());
    const own = this.feet.get(star);
    if (!own.has(i)) own.set(i, star.along(i, this.row[i]));
    return own.get(i);
  }
  /** Two pictures of a star before: one at this star's value of slider i, the other at v. */
  lent(i, v) {
    for (const star of this.lenders[i]) {
      const [from, to] = [this.foot(star, i), star.along(i, v)];
      if (from && to) return [from, to];
    }
    return null;
  }
}
