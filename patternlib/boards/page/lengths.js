// Lengths in words, as a tape shows them, and read as people write them. The grammar is that of units.py;
// both are held to one table of spellings.

export const INCH = 2.54;

const PER_UNIT = { cm: 1, mm: 0.1, m: 100, in: INCH, ft: 12 * INCH };
const SPELLINGS = {
  cm: ["cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"],
  mm: ["mm", "millimetre", "millimetres", "millimeter", "millimeters"],
  m: ["m", "metre", "metres", "meter", "meters"],
  in: ["in", "in.", "ins", "inch", "inches", '"', "″", "”", "''"],
  ft: ["ft", "ft.", "foot", "feet", "'", "′", "’"],
};
const UNIT = new Map(Object.entries(SPELLINGS).flatMap(([unit, all]) => all.map((s) => [s, unit])));
const GLYPHS = new Map([
  ["½", "1/2"],
  ["¼", "1/4"],
  ["¾", "3/4"],
  ["⅛", "1/8"],
  ["⅜", "3/8"],
  ["⅝", "5/8"],
  ["⅞", "7/8"],
  ["⅓", "1/3"],
  ["⅔", "2/3"],
]);
const NAMES = [...UNIT.keys()]
  .sort((a, b) => b.length - a.length)
  .map((name) => name.replaceAll(".", "\\."))
  .join("|");
const NUMBER = "(?:(?:([0-9]+)[ -]+)?([0-9]+) ?/ ?([0-9]+)|([0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))";
const ONE = new RegExp(`^([+-]?) ?${NUMBER} ?(${NAMES})?$`);
const TWO = new RegExp(`^([+-]?) ?${NUMBER} ?(${NAMES}) ?${NUMBER} ?(${NAMES})$`);
const HELP = "Write it as 62, 62 cm, 620 mm or 24 1/2 in.";
const LONGEST = 40; // letters; more is not searched

// -- written -----------------------------------------------------------------------------------------------

/** Inches to the nearest eighth, without the unit; "≈" where that is not exact. */
export function inEighths(cm) {
  const eighths = Math.round((cm / INCH) * 8);
  const sign = eighths < 0 ? "−" : "";
  const inches = Math.floor(Math.abs(eighths) / 8);
  let top = Math.abs(eighths) % 8;
  let low = 8;
  while (top && top % 2 === 0) {
    top /= 2;
    low /= 2;
  }
  const about = Math.abs((eighths * INCH) / 8 - cm) > 0.005 ? "≈ " : "";
  if (!top) return `${about}${sign}${inches}`;
  return `${about}${sign}${inches ? `${inches} ` : ""}${top}/${low}`;
}

/** A number with two decimals at most. */
export const inCm = (cm) => String(Math.round(cm * 100) / 100).replace("-", "−");

/** A length with its unit, "cm" or "in". */
export const sayLength = (cm, unit) => (unit === "in" ? `${inEighths(cm)} in` : `${inCm(cm)} cm`);

// -- read --------------------------------------------------------------------------------------------------

/** {cm} that a text means, or {fault}: why it means none. unit: what a bare number is in. */
export function readLength(text, unit) {
  if (text.length > LONGEST) return no("is not a length", HELP);
  const plain = plainText(text);
  const one = ONE.exec(plain);
  const two = one ? null : TWO.exec(plain);
  if (!one && !two) return no("is not a length", HELP);
  const [, sign, ...parts] = one || two;
  const first = readNumber(parts.slice(0, 4));
  if (first.fault) return first;
  const unit1 = parts[4] ? UNIT.get(parts[4]) : unit;
  let cm = first.number * PER_UNIT[unit1];
  if (two) {
    const second = readNumber(parts.slice(5, 9));
    if (second.fault) return second;
    if (unit1 !== "ft" || UNIT.get(parts[9]) !== "in" || second.number >= 12) {
      return no("mixes two units", "Only feet and inches go together, as in 2' 3\".");
    }
    cm += second.number * INCH;
  }
  return { cm: round9(sign === "-" ? -cm : cm) };
}

/** {number} of a value that has no length, such as degrees or a share, or {fault}. */
export function readPlain(text) {
  const found = text.length <= LONGEST && ONE.exec(plainText(text));
  if (!found || found[6]) return no("is not a number", "Write it as 20 or 20.5.");
  const read = readNumber(found.slice(2, 6));
  return read.fault ? read : { number: found[1] === "-" ? -read.number : read.number };
}

const no = (fault, advice) => ({ fault, advice });
const round9 = (cm) => Math.round(cm * 1e9) / 1e9;

/** The text in lower case, vulgar fractions written out, one kind of blank, minus and slash. */
function plainText(text) {
  let out = text.replace(/[½¼¾⅛⅜⅝⅞⅓⅔]/g, (glyph) => ` ${GLYPHS.get(glyph)}`);
  out = out.replace(/^\s*≈/, "").replace(/[−–]/g, "-").replaceAll("\u2044", "/");
  return out
    .toLowerCase()
    .replace(/\s+/g, " ")
    .trim()
    .replace(/^([+-]) /, "$1");
}

function readNumber([inches, top, bottom, decimal]) {
  if (decimal !== undefined) {
    if (/^[1-9][0-9]{0,2},[0-9]{3}$/.test(decimal)) {
      return no("can be read in two ways", "Leave out a comma for thousands; write decimals with a point.");
    }
    return { number: Number(decimal.replace(",", ".")) };
  }
  if (Number(bottom) === 0) return no("divides by zero", "Write a fraction such as 7/8 in.");
  return { number: Number(inches || 0) + top / bottom };
}
