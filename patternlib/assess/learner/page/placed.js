// From the flat paper to the draft: its frame, lines as places, and what was read, kept among the form's fields.

const round = (v, n) => Number(v.toFixed(n)) + 0;
const gap = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Where the draft lies on the flat paper. origin: its 0, 0; up: a step up on it, both on the paper; times: cm of
 * the draft for a cm of paper. */
export class Frame {
  constructor(origin, up, times) {
    const long = Math.hypot(...up);
    Object.assign(this, { origin, up: up.map((v) => v / long), times });
  }
  /** By two taps: the crossing of centre line and waist level, and a second place on the centre line. */
  static tapped(origin, second, above, times) {
    const sign = above ? 1 : -1;
    return new Frame(origin, [sign * (second[0] - origin[0]), sign * (second[1] - origin[1])], times);
  }
  draft([x, y]) {
    const [dx, dy] = [x - this.origin[0], y - this.origin[1]],
      [ux, uy] = this.up;
    return [this.times * (dx * uy - dy * ux), this.times * (dx * ux + dy * uy)];
  }
  paper([across, high]) {
    const [ux, uy] = this.up,
      [a, h] = [across / this.times, high / this.times];
    return [this.origin[0] + a * uy + h * ux, this.origin[1] - a * ux + h * uy];
  }
  text() {
    return [...this.origin.map((v) => round(v, 4)), ...this.up.map((v) => round(v, 7)), this.times].join(" ");
  }
  static read(text) {
    const found = (text || "").split(" ").map(Number);
    if (found.length !== 5 || !found.every(Number.isFinite) || !(found[4] > 0)) return null;
    return new Frame(found.slice(0, 2), found.slice(2, 4), found[4]);
  }
}

/** So many places, evenly along a traced line, both ends among them. */
export function evenly(line, count) {
  const along = [0];
  for (let i = 1; i < line.length; i += 1) along.push(along[i - 1] + gap(line[i], line[i - 1]));
  const found = [];
  for (let k = 0, i = 1; k < count; k += 1) {
    const want = (along.at(-1) * k) / (count - 1);
    while (i < line.length - 1 && along[i] < want) i += 1;
    const t = along[i] > along[i - 1] ? (want - along[i - 1]) / (along[i] - along[i - 1]) : 0;
    found.push([0, 1].map((c) => line[i - 1][c] + Math.min(t, 1) * (line[i][c] - line[i - 1][c])));
  }
  return found;
}

/** The corners of a traced line: between two of them it strays by no more than `off`. */
export function thinned(line, off) {
  if (line.length < 3) return line;
  const [a, b] = [line[0], line.at(-1)],
    long = gap(a, b);
  let [far, at] = [0, 0];
  for (let i = 1; i < line.length - 1; i += 1) {
    const p = line[i],
      t = long ? ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / long ** 2 : 0,
      s = Math.min(Math.max(t, 0), 1),
      d = gap(p, [a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])]);
    if (d > far) [far, at] = [d, i];
  }
  if (far <= off) return [a, b];
  return [...thinned(line.slice(0, at + 1), off), ...thinned(line.slice(at), off).slice(1)];
}

/** One line out of its parts on several pages, its places apart; a stretch that two pages show is taken once. */
export function joined(parts) {
  let line = parts[0];
  for (const next of parts.slice(1)) {
    const near = (p) => Math.min(gap(p, next[0]), gap(p, next.at(-1)));
    if (parts.indexOf(next) === 1 && near(line[0]) < near(line.at(-1))) line = [...line].reverse();
    const end = line.at(-1),
      on = gap(end, next.at(-1)) < gap(end, next[0]) ? [...next].reverse() : next;
    const gaps = on.map((p) => gap(p, end)),
      from = gaps.indexOf(Math.min(...gaps));
    line = [...line, ...on.slice(from ? from + 1 : 0)];
  }
  return line;
}

/** cm of the draft for a cm of the paper. */
export const TIMES = { full: 1, half: 2, quarter: 4, fifth: 5 };
const MARK = "photograph";
export const PLACES = 13;

/** What was read in photographs: each place as it was read stands beside the fields that it filled. */
export class ReadOff {
  constructor(form) {
    this.form = form;
  }
  key(row, part, line) {
    return row.lines ? `${row.name}|${line}|${part}` : `${row.name}|${part}`;
  }
  get times() {
    return TIMES[this.form.typed.scale] || 1;
  }
  write(cm) {
    return `${round(cm / this.times, 2)
      .toFixed(2)
      .replace("-0.00", "0.00")} cm`;
  }
  /** The photograph's number and the places of a row, full-size cm; null where its fields say something else. */
  of(row) {
    const { typed } = this.form,
      places = [];
    let n = 0;
    for (let line = 1; line <= (row.lines ? this.form.setup.most : 1); line += 1) {
      const text = typed[this.key(row, MARK, line)],
        fields = ["across", "up"].map((part) => typed[this.key(row, part, line)] || "");
      if (!text) {
        if (fields.some(Boolean)) return null;
        continue;
      }
      const [shot, x, y] = text.split(" ").map(Number);
      if (fields[0] !== this.write(x) || fields[1] !== this.write(y)) return null;
      n = shot;
      places.push([x, y]);
    }
    return places.length ? { n, places } : null;
  }
  put(row, n, places) {
    this.drop(row);
    const { typed } = this.form;
    places.slice(0, row.lines ? this.form.setup.most : 1).forEach((place, i) => {
      const [x, y] = place.map((v) => round(v, 4));
      typed[this.key(row, MARK, i + 1)] = `${n} ${x} ${y}`;
      typed[this.key(row, "across", i + 1)] = this.write(x);
      typed[this.key(row, "up", i + 1)] = this.write(y);
    });
  }
  filled(row) {
    return Object.keys(this.form.typed).some((key) => key.startsWith(`${row.name}|`));
  }
  drop(row) {
    for (let line = 1; line <= (row.lines ? this.form.setup.most : 1); line += 1)
      for (const part of [MARK, "across", "up"]) delete this.form.typed[this.key(row, part, line)];
  }
  /** Change what was read, in every row that still says it. moved: (n, place) to a place; first: done before. */
  change(rows, moved, first = () => {}) {
    const read = rows.map((row) => [row, this.of(row)]).filter(([, found]) => found);
    first();
    for (const [row, { n, places }] of read)
      this.put(
        row,
        n,
        places.map((p) => moved(n, p)),
      );
  }

  // -- the photographs ---------------------------------------------------------------------------------------------
  shot(n, part) {
    return this.form.typed[`${MARK}|${n}|${part}`] || "";
  }
  note(n, facts) {
    const { typed } = this.form;
    for (const [part, text] of Object.entries(facts)) {
      const key = `${MARK}|${n}|${part}`;
      if (text) typed[key] = `${text}`;
      else delete typed[key];
    }
  }
}
