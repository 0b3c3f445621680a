// Pictures as Python packs them (see picture.py): whole once, afterwards only what differs.

export const STROKE = 0;
export const TEXT = 1;
export const HANDLE = 2;

/** A whole picture, its items and facts in maps. */
export function whole(packed, n) {
  const { items, facts, ...rest } = packed;
  return { ...rest, n, items: new Map(Object.entries(items)), facts: new Map(Object.entries(facts)) };
}

/** The picture that differs from `base` by `got`; entries that stay are the same objects. */
export function changed(base, got) {
  if (got.error) return { error: got.error };
  const picture = { ...base, ...got, items: base.items, facts: base.facts };
  for (const part of ["items", "facts"]) {
    if (got[part]) picture[part] = laidOn(base[part], got[part]);
  }
  return picture;
}

function laidOn(old, changes) {
  const out = new Map(old);
  for (const [key, entry] of Object.entries(changes)) {
    if (entry === 0) out.delete(key);
    else if (typeof entry === "string") out.set(key, [...old.get(key).slice(0, 5), entry]);
    else out.set(key, entry);
  }
  return out;
}

/** A bounded store of pictures by key; what was kept longest ago goes first. */
export class Store {
  constructor(most) {
    this.most = most;
    this.kept = new Map();
  }
  get(key) {
    return this.kept.get(key);
  }
  has(key) {
    return this.kept.has(key);
  }
  keep(key, picture) {
    this.kept.delete(key);
    this.kept.set(key, picture);
    while (this.kept.size > this.most) this.kept.delete(this.kept.keys().next().value);
  }
  all() {
    return [...this.kept.values()];
  }
  clear() {
    this.kept.clear();
  }
}
