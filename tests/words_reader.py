"""A reader with pencil and ruler: draws from printed steps alone, with arithmetic of its own.

Nothing of the library is used. Places are complex numbers in cm. A curve is drawn as a person with a French
curve does: through the marks, along both directions, half-way where the words say.
"""

from __future__ import annotations

import cmath
import math
import re
from itertools import pairwise

WAYS = {"right": 1 + 0j, "up": 1j, "left": -1 + 0j, "down": -1j}
NUMBER = r"(-?[\d.]+) ?(?:cm|°)"
Spot = complex


def arrow(degrees: float) -> complex:
    return cmath.rect(1, math.radians(degrees))


class Reader:
    """What lies on the sheet: places, directions, numbers, and lines as rows of close points."""

    def __init__(self, places: dict[str, Spot]):
        self.at = dict(places)
        self.sides: dict[str, str] = {}  # on which side a line beside another one lies, as the picture shows
        self.squares: dict[str, str] = {}  # directions that a lesson's text says are square to a line
        self.ways: dict[str, tuple[complex, bool]] = {}  # direction, and whether either end of it is meant
        self.lines: dict[str, list[Spot]] = {}
        self.unread: list[str] = []

    def read(self, text: str, hints: str = "") -> None:
        """Draw what the sentences say; hints: of curves, 'NAME: 10 cm from end to end; half-way 1 cm off'."""
        known = r"(?m)^(?:· )?(.+?): .*?(?: half-way ([\d.]+) cm off .*)?; ([\d.]+) cm walked"
        halves = {
            name: (float(off) if off else None, float(long)) for name, off, long in re.findall(known, hints)
        }
        for sentence in text.splitlines():
            said = re.sub(r", because .*", "", sentence.strip("· .\n"))
            bare = re.sub(r" \([^()]*\)", "", said)
            if bare and not any(self._try(rule, bare, halves) for rule in RULES):
                self.unread.append(said)

    def _try(self, rule: tuple[str, str], bare: str, halves: dict[str, tuple[float | None, float]]) -> bool:
        found = re.fullmatch(rule[0], bare)
        if not found:
            return False
        getattr(self, rule[1])(*found.groups(), **({"halves": halves} if rule[1] == "curve" else {}))
        return True

    def way(self, words: str, toward: complex) -> complex:
        """A direction in words; of a right angle the side that leads on is meant."""
        words = words.removeprefix("at ").removeprefix("the angle of ")
        if words in WAYS:
            return WAYS[words]
        if re.fullmatch(NUMBER, words):
            return arrow(float(words.rstrip("°")))
        if words in self.squares and words not in self.ways:
            self.square_way(self.squares[words], words)
        way, either = self.ways.get(words) or self.ways[f"{words}, angle"]
        return -way if either and (way * toward.conjugate()).real < 0 else way

    # -- what a sentence can be

    def start(self, name):
        self.at.setdefault(name, 0j)

    def go(self, start, way, far, name):
        self.at[name] = self.at[start] + self.way(way, 1j) * float(far)

    def number(self, name, value, unit):
        if unit == "°":
            self.ways[name] = arrow(float(value)), False

    def swing(self, start, far, side, level, name):
        p, up = self.at[start], self.at[level].imag - self.at[start].imag
        across = math.sqrt(float(far) ** 2 - up**2)
        self.at[name] = p + complex(across if side == "right" else -across, up)

    def rule(self, name, start, end):
        self.lines[name] = [self.at[start] + (self.at[end] - self.at[start]) * k / 200 for k in range(201)]

    def midway(self, name, one, other):
        self.at[name] = (self.at[one] + self.at[other]) / 2

    def carry(self, level, upright, name):
        self.at[name] = complex(self.at[upright].real, self.at[level].imag)

    def square_way(self, line, name):
        run = self.lines[line]
        self.ways[name] = (run[-1] - run[-2]) * 1j / abs(run[-1] - run[-2]), True

    def same_way(self, line, name):
        run = self.lines[line]
        self.ways[name] = (run[-1] - run[-2]) / abs(run[-1] - run[-2]), False

    def share(self, name, share, start, end):
        self.at[name] = self.at[start] + float(share) * (self.at[end] - self.at[start])

    def beside(self, foot, far, side, start, end, name):
        along = self.at[end] - self.at[start]
        turn = 1j if side == "left" else -1j
        self.at[name] = self.at[foot] + turn * along / abs(along) * float(far)

    def toward(self, start, far, end, name):
        along = self.at[end] - self.at[start]
        self.at[name] = self.at[start] + along / abs(along) * float(far)

    def pin(self, pin, name, degrees, round_, new):
        turn = arrow(-float(degrees) if round_ == "with" else float(degrees))
        p = self.at[pin]
        if name in self.lines:
            self.lines[new] = [p + (q - p) * turn for q in self.lines[name]]
        if name in self.at:
            self.at[new] = p + (self.at[name] - p) * turn

    def lay(self, a, b, c, d, name, new):
        turn = (self.at[d] - self.at[b]) / (self.at[c] - self.at[a])
        turn /= abs(turn)
        if name in self.lines:
            self.lines[new] = [self.at[b] + (q - self.at[a]) * turn for q in self.lines[name]]
        if name in self.at:
            self.at[new] = self.at[b] + (self.at[name] - self.at[a]) * turn

    def fold(self, a, b, name, new):
        along = self.at[b] - self.at[a]
        unit = along / abs(along)
        self.at[new] = self.at[a] + unit * ((self.at[name] - self.at[a]) / unit).conjugate()

    def walk(self, far, line, which, name):
        run = self.lines[line] if which == "start" else self.lines[line][::-1]
        left = float(far)
        for p, q in pairwise(run):
            if abs(q - p) >= left:
                self.at[name] = p + (q - p) / abs(q - p) * left
                return
            left -= abs(q - p)

    def crosses(self, line, what, place, name):
        goal = self.at[place]
        off = [(p - goal).imag if what == "level of" else (p - goal).real for p in self.lines[line]]
        k = min(range(len(off)), key=lambda i: abs(off[i]))
        self.at[name] = self.lines[line][k]

    def end_of(self, which, line, name):
        self.at[name] = self.lines[line][0 if which == "start" else -1]

    def dart_point(self, a, b, far, side, level, name):
        p, q = self.at[a], self.at[b]
        middle, square = (p + q) / 2, (q - p) * 1j
        goal = self.at[level].imag + (float(far) if side == "above" else -float(far))
        self.at[name] = middle + square * (goal - middle.imag) / square.imag

    def curve(self, name, start, end, through, leaving, arriving, half, *, halves):
        spots = [self.at[start], *(self.at[p] for p in (through or "").split(", ") if p), self.at[end]]
        first = self.way(leaving, spots[1] - spots[0]) if leaving else None
        last = self.way(arriving, spots[-1] - spots[-2]) if arriving else None
        off, long = (float(half), None) if half else halves.get(name, (None, None))
        if len(spots) > 2 or off is None:
            goal, measured = long, length
        else:
            goal, measured = off, middle_off
        if goal is None:
            self.lines[name] = smooth(spots, first, last, 1.0)
            return
        low, high = 0.05, 3.0  # fuller or flatter, until it measures what the words say
        for _ in range(40):
            full = (low + high) / 2
            run = smooth(spots, first, last, full)
            low, high = (full, high) if measured(run) < goal else (low, full)
        self.lines[name] = run

    def along(self, name, moved):
        for far, way in re.findall(rf"{NUMBER} (right|up|left|down)", moved):
            self.at[name] += WAYS[way] * float(far)

    def parallel(self, name, line, far):
        """The picture shows which side is meant."""
        run = self.lines[line]
        turn = 1j if self.sides.get(name) == "left" else -1j
        ways = [(q - p) / abs(q - p) * turn for p, q in pairwise(run)]
        self.lines[name] = [p + w * float(far) for p, w in zip(run, [*ways, ways[-1]], strict=True)]

    def nothing(self, *words):
        pass


def smooth(spots: list[Spot], first: complex | None, last: complex | None, full: float) -> list[Spot]:
    """A curve through places, its directions at the ends as given, between them as the chords run."""
    n = len(spots) - 1
    chord = [b - a for a, b in pairwise(spots)]
    ways = [first] + [None] * (n - 1) + [last]
    for k in range(1, n):
        a, b = chord[k - 1], chord[k]
        way = a / abs(a) * abs(b) + b / abs(b) * abs(a)
        ways[k] = way / abs(way)
    if ways[0] is None:
        ways[0] = (chord[0] / abs(chord[0])) ** 2 / (ways[1] or chord[0] / abs(chord[0]))
    if ways[n] is None:
        ways[n] = (chord[-1] / abs(chord[-1])) ** 2 / ways[n - 1]
    out = [spots[0]]
    for k in range(n):
        p, q = spots[k], spots[k + 1]
        reach = abs(chord[k]) * full * 0.36
        a, b = p + ways[k] * reach, q - ways[k + 1] * reach
        for j in range(1, 301):
            t = j / 300
            out.append((1 - t) ** 3 * p + 3 * t * (1 - t) ** 2 * a + 3 * t * t * (1 - t) * b + t**3 * q)
    return out


def length(run: list[Spot]) -> float:
    return sum(abs(q - p) for p, q in pairwise(run))


def middle_off(run: list[Spot]) -> float:
    """How far the middle of a curve lies off the straight line between its ends."""
    along = run[-1] - run[0]
    return abs(((run[len(run) // 2] - run[0]) / along).imag) * abs(along)


_WAY = r"(right|up|left|down|at the angle of .+?|at -?[\d.]+°)"
RULES = (
    (r"Mark (.+) to start from", "start"),
    (rf"From (.+?) go {_WAY} {NUMBER}: mark (.+)", "go"),
    (r"Note that (.+) moves along, by its rule: it lies (.+) of before", "along"),
    (r"(?:Calculate|Note) (.+?): .*?(-?[\d.]+) ?(cm|°)", "number"),
    (r"(?:Calculate|Note) (.+?): (-?[\d.]+) ?(cm|°).*", "number"),
    (r"Measure .* = [\d.]+ cm", "nothing"),
    (rf"From (.+?) swing {NUMBER} to the (left|right) until it meets the level of (.+?): mark (.+)", "swing"),
    (r"Rule (.+?) from (.+) to (.+)", "rule"),
    (r"Mark (.+?) midway between (.+) and (.+)", "midway"),
    (r"Carry the level of (.+) across to (.+)'s upright: mark (.+)", "carry"),
    (r"Take the direction square to (.+?): (.+)", "square_way"),
    (r"Take the direction of (.+?): (.+)", "same_way"),
    (r"Mark (.+?) at ([\d.]+) of the way from (.+) to (.+)", "share"),
    (rf"At (.+?) square {NUMBER} to the (left|right) of the line (.+) to (.+): mark (.+)", "beside"),
    (rf"From (.+?) measure {NUMBER} on the straight line toward (.+): mark (.+)", "toward"),
    (r"Pin the paper at (.+?) and turn (.+) by ([\d.]+)° (with|against) the clock: (.+)", "pin"),
    (r"Lay the paper with (.+) on (.+) and (.+) in the direction of (.+); trace (.+): (.+)", "lay"),
    (r"Fold the paper along (.+) to (.+) and trace (.+) through: (.+)", "fold"),
    (rf"Walk {NUMBER} along (.+) from its (start|end): mark (.+)", "walk"),
    (r"Where (.+) crosses the (level of|upright through) (.+), mark (.+)", "crosses"),
    (r"Name the (start|end) of (.+): (.+)", "end_of"),
    (
        rf"From the middle between (.+) and (.+) go square to them until {NUMBER} (above|below) the level of "
        r"(.+): mark (.+)",
        "dart_point",
    ),
    (
        rf"Draw (.+?) as a fair curve from (.+?) to (.+?)(?: through (.+?))?(?:, leaving {_WAY})?"
        rf"(?:,? (?:and )?arriving {_WAY})?(?:, half-way ([\d.]+) cm off the straight line to its \w+)?",
        "curve",
    ),
    (rf"Draw (.+) along (.+) at a distance of {NUMBER}", "parallel"),
    (r"Trace .+ from the bodice block, (?:front|back)", "nothing"),
    (r"Join .+ into one line: .+", "nothing"),
)
"""Sentences of the lessons, and what a person does when reading one."""
