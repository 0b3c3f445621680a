// Lens: where the drawing lies on the sheet, how large, and which part is seen.

import { clamp, FINE } from "./numbers.js";

const EDGE = 22; // px kept free round the drawing
const HEAD = 62; // px kept free above it, where a refusal finds room; less on a low sheet
const head = (height) => Math.min(HEAD, 0.17 * height);
const SHORTEST = 300; // px: height of a sheet
const NARROW = [220, 0.85]; // px; on a telephone a wide drawing leaves its room to the controls below it
const TALLEST = 560;

export class Lens {
  constructor() {
    this.k = 0.005; // px a page unit
    this.tx = 0;
    this.ty = 0;
    this.width = 0;
    this.height = 0;
    this.fit = true; // the whole drawing is seen
    this.fitted = null; // the box that was fitted
  }
  x(x) {
    return x * this.k + this.tx;
  }
  y(y) {
    return y * this.k + this.ty;
  }
  /** Height in px that a drawing needs at a width; most: what there is room for. */
  heightFor(width, [x0, y0, x1, y1], most = TALLEST) {
    const wanted = ((width - 2 * EDGE) * (y1 - y0)) / (x1 - x0) + EDGE + HEAD;
    const least = Math.min(SHORTEST, Math.max(NARROW[0], NARROW[1] * width));
    return Math.round(Math.min(clamp(wanted, least, TALLEST), most));
  }
  /** Take a new size; what was in the middle stays there. */
  resize(width, height, box) {
    const cx = ((this.width || width) / 2 - this.tx) / this.k;
    const cy = ((this.height || height) / 2 - this.ty) / this.k;
    this.width = width;
    this.height = height;
    if (this.fit) this.whole(box);
    else {
      this.tx = width / 2 - cx * this.k;
      this.ty = height / 2 - cy * this.k;
    }
  }
  whole(box) {
    if (!box || !this.width) return;
    const [x0, y0, x1, y1] = box;
    this.fitted = box;
    const wide = this.width - 2 * EDGE;
    const top = head(this.height);
    const high = this.height - EDGE - top;
    this.k = Math.min(wide / Math.max(x1 - x0, 1), high / Math.max(y1 - y0, 1));
    this.tx = (this.width - (x1 + x0) * this.k) / 2;
    this.ty = top + (high - (y1 + y0) * this.k) / 2;
    this.fit = true;
  }
  /** Whether a drawing of this box is no longer seen as it was fitted (2 cm and more). */
  outgrown(box) {
    return this.fit && box && this.fitted && box.some((v, i) => Math.abs(v - this.fitted[i]) > 2 * FINE);
  }
  zoom(by, x = this.width / 2, y = this.height / 2) {
    const k = clamp(this.k * by, 0.0004, 0.2);
    const f = k / this.k;
    this.tx = x - (x - this.tx) * f;
    this.ty = y - (y - this.ty) * f;
    this.k = k;
    this.fit = false;
  }
  pan(dx, dy) {
    this.tx += dx;
    this.ty += dy;
    this.fit = false;
  }
  transform() {
    return `translate(${this.tx.toFixed(2)} ${this.ty.toFixed(2)}) scale(${this.k.toPrecision(7)})`;
  }
}
