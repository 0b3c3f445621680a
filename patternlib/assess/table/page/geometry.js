// Plain constructions, computed here so that the pencil mark never waits. cm and degrees, y up.
// A point is {x, y}; a line {c: [[x0, y0, x1, y1, x2, y2, x3, y3], ...]}, cubics end to start; a number a number.

export const isPoint = (v) => v !== null && typeof v === "object" && "x" in v;
export const isLine = (v) => v !== null && typeof v === "object" && "c" in v;
export const kindOf = (v) => (isPoint(v) ? "point" : isLine(v) ? "line" : "number");
export const point = (x, y) => ({ x, y });
export const add = (a, b, k = 1) => point(a.x + b.x * k, a.y + b.y * k);
export const minus = (a, b) => point(a.x - b.x, a.y - b.y);
export const dot = (a, b) => a.x * b.x + a.y * b.y;
export const cross = (a, b) => a.x * b.y - a.y * b.x;
export const size = (a) => Math.hypot(a.x, a.y);
export const distance = (a, b) => size(minus(a, b));
export const left = (a) => point(-a.y, a.x);
export const angleOf = (a) => (Math.atan2(a.y, a.x) * 180) / Math.PI;
export const middle = (a, b) => point((a.x + b.x) / 2, (a.y + b.y) / 2);
/** A value as Python sends it: [x, y] is a point. */
export const unpacked = (v) => (Array.isArray(v) ? point(v[0], v[1]) : v);
export const WAYS = { right: 0, up: 90, left: 180, down: 270 };

export function direction(degrees) {
  const quarter = ((degrees % 360) + 360) % 360;
  if (quarter % 90 === 0) return [point(1, 0), point(0, 1), point(-1, 0), point(0, -1)][quarter / 90];
  const a = (degrees * Math.PI) / 180;
  return point(Math.cos(a), Math.sin(a));
}

export function unit(a) {
  const s = size(a);
  if (s < 1e-9) throw new Error("The two points lie on one spot: there is no direction between them.");
  return point(a.x / s, a.y / s);
}

function meetLines(p, along, q, along2) {
  const u = unit(along),
    v = unit(along2),
    turn = cross(u, v);
  if (Math.abs(turn) < 1e-4) throw new Error("These lines run side by side and never meet: choose others.");
  return add(p, u, cross(minus(q, p), v) / turn);
}

export function straight(a, b) {
  if (distance(a, b) < 1e-9) throw new Error("A line needs two points that lie apart.");
  const at = (t) => [a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t];
  return { c: [[...at(0), ...at(1 / 3), ...at(2 / 3), ...at(1)]] };
}

export const startOf = ({ c }) => point(c[0][0], c[0][1]);
export const endOf = ({ c }) => {
  const s = c[c.length - 1];
  return point(s[6], s[7]);
};

function at(s, t) {
  const u = 1 - t,
    a = u * u * u,
    b = 3 * u * u * t,
    d = 3 * u * t * t,
    e = t * t * t;
  return point(a * s[0] + b * s[2] + d * s[4] + e * s[6], a * s[1] + b * s[3] + d * s[5] + e * s[7]);
}

function speed(s, t) {
  const u = 1 - t;
  const part = (k) =>
    3 * (u * u * (s[2 + k] - s[k]) + 2 * u * t * (s[4 + k] - s[2 + k]) + t * t * (s[6 + k] - s[4 + k]));
  return point(part(0), part(1));
}

// Gauss and Legendre's eight places and weights on -1 to 1 [Abramowitz and Stegun, table 25.4]
const GAUSS = [
  [0.1834346424956498, 0.362683783378362],
  [0.525532409916329, 0.3137066458778873],
  [0.7966664774136267, 0.2223810344533745],
  [0.9602898564975363, 0.1012285362903763],
];

function walked(s, t, cuts = 8) {
  let sum = 0;
  for (let k = 0; k < cuts; k++) {
    const half = t / cuts / 2,
      mid = (2 * k + 1) * half;
    for (const [x, w] of GAUSS)
      sum += w * half * (size(speed(s, mid - x * half)) + size(speed(s, mid + x * half)));
  }
  return sum;
}

const lengths = new WeakMap();
function lengthsOf(line) {
  if (!lengths.has(line))
    lengths.set(
      line,
      line.c.map((s) => walked(s, 1)),
    );
  return lengths.get(line);
}
export const lengthOf = (line) => lengthsOf(line).reduce((a, b) => a + b, 0);

function place(line, walk) {
  const each = lengthsOf(line),
    whole = lengthOf(line);
  if (!(walk >= -1e-6 && walk <= whole + 1e-6)) {
    throw new Error(
      `A point ${walk.toFixed(2)} cm along this line was asked for, but it is only ${whole.toFixed(2)} cm long: take a smaller measure.`,
    );
  }
  let i = 0;
  let rest = walk;
  while (i < each.length - 1 && rest > each[i]) rest -= each[i++];
  let low = 0,
    high = 1;
  for (let n = 0; n < 50 && high - low > 1e-13; n++) {
    const t = (low + high) / 2;
    if (walked(line.c[i], t) < rest) low = t;
    else high = t;
  }
  return [line.c[i], (low + high) / 2];
}
export function walkTo(line, walk) {
  const [s, t] = place(line, walk);
  return at(s, t);
}

/** The direction of a line so far from its start. */
export function wayAlong(line, walk) {
  const [s, t] = place(line, walk);
  return unit(size(speed(s, t)) > 1e-9 ? speed(s, t) : minus(at(s, 1), at(s, 0)));
}

export function closest(line, p) {
  // {walk, gap, point}: the place of a line nearest to a point
  let best = { gap: Infinity };
  line.c.forEach((s, i) => {
    for (let k = 0; k <= 24; k++) {
      const gap = distance(at(s, k / 24), p);
      if (gap < best.gap) best = { gap, i, t: k / 24 };
    }
  });
  const s = line.c[best.i];
  let low = Math.max(0, best.t - 1 / 24),
    high = Math.min(1, best.t + 1 / 24);
  for (let n = 0; n < 40; n++) {
    const a = low + (high - low) / 3,
      b = high - (high - low) / 3;
    if (distance(at(s, a), p) < distance(at(s, b), p)) high = b;
    else low = a;
  }
  const t = (low + high) / 2,
    before = lengthsOf(line)
      .slice(0, best.i)
      .reduce((a, b) => a + b, 0);
  return {
    i: best.i,
    t,
    walk: before + walked(s, t),
    gap: distance(at(s, t), p),
    point: at(s, t),
    way: unit(size(speed(s, t)) > 1e-9 ? speed(s, t) : minus(at(s, 1), at(s, 0))),
  };
}

/** [left, low, right, high] of points. */
export function boxOf(places) {
  const xs = places.map((p) => p.x),
    ys = places.map((p) => p.y);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}
/** A box with room round it, out to whole squares. */
export const grown = (box, room, square) =>
  box.map((v, i) => (i < 2 ? Math.floor((v - room) / square) : Math.ceil((v + room) / square)) * square);

export function flat(line, n = 16) {
  return line.c.flatMap((s, i) =>
    Array.from({ length: n + (i === line.c.length - 1) }, (_, k) => at(s, k / n)),
  );
}

// --- paper that is moved: a point's or a line's every place ------------------------------------------------------

const moved = (thing, move) =>
  isPoint(thing)
    ? move(thing)
    : {
        c: thing.c.map((s) =>
          [0, 2, 4, 6].flatMap((k) => {
            const q = move(point(s[k], s[k + 1]));
            return [q.x, q.y];
          }),
        ),
      };
const turned = (a, way) => point(a.x * way.x - a.y * way.y, a.x * way.y + a.y * way.x);
const turnAbout = (pin, degrees) => (p) => add(pin, turned(minus(p, pin), direction(degrees)));
function foldAlong(a, b) {
  const u = unit(minus(b, a));
  return (p) => {
    const d = minus(p, a);
    return add(add(a, u, 2 * dot(d, u)), d, -1);
  };
}
function layOn(corner, toward, on, along) {
  const way = turned(
    unit(minus(along, on)),
    point(unit(minus(toward, corner)).x, -unit(minus(toward, corner)).y),
  );
  return (p) => add(on, turned(minus(p, corner), way));
}

function swung(centre, far, level, side) {
  const down = level.y - centre.y;
  if (far < Math.abs(down)) throw new Error("This arc does not reach the level: take a longer measure.");
  const across = Math.sqrt(far ** 2 - down ** 2);
  return point(centre.x + (side === "right" ? across : -across), level.y);
}
function swungDown(centre, far, upright) {
  const across = Math.abs(upright.x - centre.x);
  if (far < across) throw new Error("This arc does not reach the upright: take a longer measure.");
  return point(upright.x, centre.y - Math.sqrt(far ** 2 - across ** 2));
}

function wayAt(line, end) {
  const way = closest(line, end === "start" ? startOf(line) : endOf(line)).way;
  return way;
}
function dartAngle(mouth, leg) {
  const half = mouth / 2 / leg;
  if (!(Math.abs(half) < 0.7)) throw new Error("A dart's mouth is too wide for its length: take less.");
  return (2 * Math.asin(half) * 180) / Math.PI;
}

// --- what a step gives, where it is a plain construction; undefined where the kernel must say -------------------

export function construct(step, get, measures, way) {
  // get: name -> value; measures: field -> quantity; way: degrees or undefined
  const p = step.of.map(get),
    m = measures.measure?.value;
  switch (step.verb) {
    case "go":
    case "hole":
      return add(p[0], direction(way), m);
    case "toward":
      return add(p[0], unit(minus(p[1], p[0])), m);
    case "share":
      return add(p[0], minus(p[1], p[0]), m);
    case "level":
      return point(p[1].x, p[0].y);
    case "rule":
      return straight(p[0], p[1]);
    case "square":
      return add(p[0], left(unit(minus(p[1], p[0]))), step.side === "right" ? -m : m);
    case "square from":
      return add(p[0], left(closest(p[1], p[0]).way), step.side === "right" ? -m : m);
    case "foot": {
      const u = unit(minus(p[1], p[0]));
      return add(p[0], u, dot(minus(p[2], p[0]), u));
    }
    case "meeting":
      return meetLines(p[0], minus(p[1], p[0]), p[2], minus(p[3], p[2]));
    case "dart point":
      return meetLines(
        middle(p[0], p[1]),
        left(unit(minus(p[1], p[0]))),
        add(p[2], point(0, -m)),
        point(1, 0),
      );
    case "end":
      return step.end === "start" ? startOf(p[0]) : endOf(p[0]);
    case "walk":
      return walkTo(p[0], step.end === "end" ? lengthOf(p[0]) - m : m);
    case "swing":
      return swung(p[0], m, p[1], step.side);
    case "swing down":
      return swungDown(p[0], m, p[1]);
    case "smallest":
      return Math.min(...p);
    case "direction":
      return angleOf(wayAt(p[0], step.end)) + m;
    case "direction to":
      return angleOf(minus(p[1], p[0])) + m;
    case "dart angle":
      return dartAngle(m, distance(p[0], p[1]));
    case "turn":
      return moved(p[0], turnAbout(p[1], m));
    case "fold":
      return moved(p[0], foldAlong(p[1], p[2]));
    case "lay":
      return moved(p[0], layOn(p[1], p[2], p[3], p[4]));
    case "measure":
      return distance(p[0], p[1]);
    case "measure line":
      return lengthOf(p[0]);
    case "trace":
      return p.length === 1 ? p[0] : undefined;
    case "note":
      return m;
    default:
      return undefined;
  }
}
