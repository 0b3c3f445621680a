// A measure read as it is written on scrap paper. The same rules as measure.py; tests hold both to one list.

export const CM_PER_INCH = 2.54;
const FARTHEST = 1000,
  MOST_LETTERS = 200;
const GLYPHS = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
  "⅓": "1/3",
  "⅔": "2/3",
};
const PARTS = { half: 2, halves: 2, third: 3, quarter: 4, fourth: 4, eighth: 8, sixteenth: 16 };
const COUNTS = { a: 1, an: 1, one: 1, two: 2, three: 3, five: 5, seven: 7 };
const UNITS = {
  cm: ["cm", "centimetres", "centimetre", "centimeters", "centimeter"],
  mm: ["mm", "millimetres", "millimetre", "millimeters", "millimeter"],
  m: ["m", "metres", "metre", "meters", "meter"],
  in: ["inches", "inch", "in", '"', "″", "”", "''"],
  ft: ["feet", "foot", "ft", "'", "′", "’"],
  "°": ["degrees", "degree", "°"],
};
const CM = { cm: 1, mm: 0.1, m: 100, in: CM_PER_INCH, ft: 12 * CM_PER_INCH };
const SPELT = Object.fromEntries(
  Object.entries(UNITS).flatMap(([unit, words]) => words.map((w) => [w, unit])),
);
const longest = (words) => [...words].sort((a, b) => b.length - a.length).join("|");
const PART = new RegExp(
  `(?:(${longest(Object.keys(COUNTS))}) )?(${longest(Object.keys(PARTS))})s?(?: of)?(?![a-z0-9])`,
  "y",
);
const NUMBER = /(?:(\d+) +)?(\d+)\/(\d+)(?![\d.,]*\d)|(\d+(?:[.,]\d+)?|[.,]\d+)/y;
const UNIT = new RegExp(` ?(${longest(Object.keys(SPELT))})(?![a-z0-9])`, "y");
const SIGN = /([+−×÷()])|(plus|less|minus|times|divided by)(?![a-z])/y;
const SIGNS = { plus: "+", less: "−", minus: "−", times: "×", "divided by": "÷" };
const WAIT = /(?:the|my|of)(?![a-z0-9])/y;
const WORD = /[^+−×÷()]+/y;
const HELP = "Tap one under Your numbers, or write a measure such as 20.5.";

export class MeasureError extends Error {}
const refuse = (text) => {
  throw new MeasureError(text);
};
const quantity = (value, kind = "length", names = []) => ({ value, kind, names });
const goesOn = (text, at) => at < text.length && /[\p{L}\p{N}]/u.test(text[at]);
const matched = (pattern, text, at) => {
  pattern.lastIndex = at;
  return pattern.exec(text);
};

export function plain(text) {
  let out = text.replace(/[½¼¾⅛⅜⅝⅞⅓⅔]/g, (glyph) => ` ${GLYPHS[glyph]}`);
  out = out
    .replace(/[-–]/g, "−")
    .replace(/[*·]/g, "×")
    .replace(/:/g, "÷")
    .replace(/\u2044/g, "/");
  return out.toLowerCase().replace(/\s+/g, " ").trim();
}

// names: Map of name -> {value, kind}; wanted: length, angle, share or number; unit: of bare numbers.
export function readMeasure(text, names, wanted = "length", unit = "cm") {
  if (text.length > MOST_LETTERS)
    refuse(`This is longer than ${MOST_LETTERS} letters: calculate a part of it first.`);
  const twice = /(\d+)[-–](\d+\/\d+)/.exec(text);
  if (twice)
    refuse(
      `'${twice[0]}' can be read in two ways: write ${twice[1]} ${twice[2]}, or ${twice[1]} − ${twice[2]} with blanks.`,
    );
  const tokens = tokensOf(plain(text), names);
  if (!tokens.length) refuse("Write a measure, such as 20.5, or tap one of your numbers.");
  const reader = new Reader(tokens, unit);
  let found = reader.total();
  if (reader.left.length)
    refuse(`${shown(reader.left[0])} does not belong here. Write +, −, × or ÷ before it.`);
  const kind = { number: found.kind === "bare" ? "length" : found.kind, share: "bare" }[wanted] || wanted;
  found = as(found, kind, unit);
  if (!(Math.abs(found.value) <= FARTHEST))
    refuse(`This comes to ${Math.round(found.value)}; no measure of a draft is over ${FARTHEST}.`);
  const used = [...new Set(tokens.filter((t) => t.type === "name").map((t) => t.names[0]))];
  const composed = used.length > 0 || tokens.filter((t) => t.type === "number").length > 1;
  return { value: Math.round(found.value * 1e9) / 1e9 + 0, kind: found.kind, names: used, composed };
}

export function usesOf(text, names) {
  try {
    return [
      ...new Set(
        tokensOf(plain(text), names)
          .filter((t) => t.type === "name")
          .map((t) => t.names[0]),
      ),
    ];
  } catch {
    return [];
  }
}

function spelt(names) {
  const found = new Map();
  for (const name of names.keys()) found.set(plain(name), name);
  for (const name of names.keys()) {
    const short = plain(name.replace(/ girth$/, ""));
    if (name.endsWith(" girth") && !found.has(short)) found.set(short, name);
  }
  return [...found].sort((a, b) => b[0].length - a[0].length);
}

function tokensOf(text, names) {
  const known = spelt(names);
  const tokens = [];
  let at = 0;
  while (at < text.length) {
    if (text[at] === " ") {
      at += 1;
      continue;
    }
    const [token, letters] = tokenAt(text, at, known, names);
    if (token) tokens.push(token);
    at += letters;
  }
  return tokens;
}

/** [what stands at a place of a text, null for a word that says nothing, and how many letters it takes] */
function tokenAt(text, at, known, names) {
  const name = known.find(([n]) => text.startsWith(n, at) && !goesOn(text, at + n.length));
  if (name) {
    const { value, kind } = names.get(name[1]);
    return [{ type: "name", ...quantity(value, kind, [name[1]]) }, name[0].length];
  }
  const sign = matched(SIGN, text, at);
  if (sign) return [{ type: "sign", sign: sign[1] || SIGNS[sign[2]] }, sign[0].length];
  if (text[at] === "x" && !goesOn(text, at + 1)) return [{ type: "sign", sign: "×" }, 1];
  if (text[at] === "/") return [{ type: "sign", sign: "÷" }, 1];
  const part = matched(PART, text, at);
  if (part)
    return [{ type: "part", ...quantity(COUNTS[part[1] || "a"] / PARTS[part[2]], "bare") }, part[0].length];
  const wait = matched(WAIT, text, at);
  if (wait) return [null, wait[0].length];
  const number = matched(NUMBER, text, at);
  if (number) return numberAt(text, at, number);
  const word = matched(WORD, text, at);
  const said = (word ? word[0] : text.slice(at)).trim().slice(0, 40);
  return refuse(`'${said}' is none of your numbers.${meant(said, names)} ${HELP}`);
}

/** A question with the names of which a word begins as the first word said does, two at most. */
function meant(said, names) {
  const begins = said.split(" ")[0].slice(0, 3);
  const alike = (name) =>
    plain(name)
      .split(" ")
      .some((word) => word.startsWith(begins));
  const near = begins.length === 3 ? [...names.keys()].filter(alike).slice(0, 2) : [];
  return near.length ? ` Did you mean ${near.join(" or ")}?` : "";
}

function numberAt(text, at, number) {
  const value = numberOf(number);
  const unit = matched(UNIT, text, at + number[0].length);
  const letters = number[0].length + (unit ? unit[0].length : 0);
  if (!unit) return [{ type: "number", ...quantity(value, "bare") }, letters];
  const word = SPELT[unit[1]];
  if (word === "°") return [{ type: "number", ...quantity(value, "angle") }, letters];
  return [{ type: "number", ...quantity(value * CM[word], "length", [word]) }, letters];
}

function numberOf([, whole, top, bottom, decimal]) {
  if (decimal) {
    if (/^\d{1,3},\d{3}$/.test(decimal))
      refuse(`'${decimal}' can be read in two ways: write decimals with a point.`);
    return Number(decimal.replace(",", "."));
  }
  if (Number(bottom) === 0) refuse("Nothing can be divided by 0.");
  return Number(whole || 0) + top / bottom;
}

class Reader {
  constructor(tokens, unit) {
    Object.assign(this, { tokens, unit, at: 0 });
  }
  get left() {
    return this.tokens.slice(this.at);
  }
  next(...signs) {
    const token = this.tokens[this.at];
    if (token?.type !== "sign" || !signs.includes(token.sign)) return "";
    this.at += 1;
    return token.sign;
  }
  total() {
    let found = this.product();
    for (;;) {
      const sign = this.next("+", "−");
      if (!sign) return found;
      found = this.add(found, this.product(), sign === "+" ? 1 : -1);
    }
  }
  product() {
    let found = this.factor();
    for (;;) {
      const sign = this.next("×", "÷"),
        token = this.tokens[this.at];
      if (sign) found = (sign === "×" ? times : over)(found, this.factor());
      else if (
        found.kind === "bare" &&
        token &&
        (token.type === "name" || token.type === "part" || token.sign === "(")
      )
        found = times(found, this.factor());
      else return found;
    }
  }
  factor() {
    if (this.next("−")) {
      const found = this.factor();
      return quantity(-found.value, found.kind);
    }
    if (this.next("+")) return this.factor();
    if (this.next("(")) {
      const found = this.total();
      if (!this.next(")")) refuse("A bracket is open: write ) where it ends.");
      return found;
    }
    const token = this.tokens[this.at];
    if (!token) refuse("Something is missing at the end: write a measure, or tap a number.");
    if (token.type === "sign")
      refuse(`Something is missing before ${token.sign}: write a measure, or tap a number.`);
    this.at += 1;
    const then = this.tokens[this.at];
    if (token.type === "part")
      return !then || "+−×÷)".includes(then.sign || "?") ? token : times(token, this.factor());
    if (
      token.type === "number" &&
      token.names[0] === "ft" &&
      then &&
      then.type === "number" &&
      then.names[0] === "in"
    ) {
      this.at += 1;
      return quantity(token.value + then.value);
    }
    return token;
  }
  add(a, b, sign) {
    const kind = a.kind === "bare" ? b.kind : a.kind;
    if (kind === "bare") return quantity(a.value + sign * b.value, "bare");
    return quantity(as(a, kind, this.unit).value + sign * as(b, kind, this.unit).value, kind);
  }
}

function times(a, b) {
  const kinds = [a.kind, b.kind];
  if (a.kind === "length" && b.kind === "length")
    refuse("Two lengths multiplied give an area, and no measure.");
  return quantity(a.value * b.value, ["length", "angle"].find((k) => kinds.includes(k)) || "bare");
}

function over(a, b) {
  if (b.value === 0) refuse("Nothing can be divided by 0.");
  if (a.kind === b.kind) return quantity(a.value / b.value, "bare");
  if (b.kind !== "bare")
    refuse("A plain number cannot be divided by a measure: write them the other way round.");
  return quantity(a.value / b.value, a.kind);
}

function as(found, kind, unit) {
  if (found.kind === kind) return found;
  if (found.kind === "bare") return quantity(found.value * (kind === "length" ? CM[unit] : 1), kind);
  const meant = { length: "a length", angle: "an angle in degrees", bare: "a plain number" };
  return refuse(`This comes to ${meant[found.kind]}; here belongs ${meant[kind]}.`);
}

const shown = (token) =>
  `'${token.type === "sign" ? token.sign : token.names.length ? token.names[0] : +token.value.toPrecision(6)}'`;

// --- written out ---------------------------------------------------------------------------------------------

export function writeQuantity({ value, kind }, unit) {
  if (kind === "angle") return `${(Math.round(value * 10) / 10).toString().replace("-", "−")}°`;
  if (kind === "bare") return String(+value.toPrecision(4));
  return writeLength(value, unit);
}

export function writeLength(cm, unit) {
  const sign = cm < 0 ? "-" : "";
  if (unit === "cm") return `${sign}${Math.round(Math.abs(cm) * 100 + 1e-7) / 100} cm`;
  const sixteenths = Math.floor((Math.abs(cm) / CM_PER_INCH) * 16 + 0.5 + 1e-9),
    whole = Math.floor(sixteenths / 16);
  let top = sixteenths % 16,
    low = 16;
  while (top && top % 2 === 0) {
    top /= 2;
    low /= 2;
  }
  return `${sixteenths ? sign : ""}${[whole || !top ? whole : "", top ? `${top}/${low}` : ""].join(" ").trim()} in`;
}
