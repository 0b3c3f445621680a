// Small sums that every page needs. Lengths from Python are whole 0.001 cm, y down.

export const FINE = 1000; // page units in one cm

export const clamp = (v, low, high) => Math.min(Math.max(v, low), high);

/** A value without the rounding errors of binary numbers, so that equal values have equal keys. */
export const tidy = (v) => Math.round(v * 1e4) / 1e4;
