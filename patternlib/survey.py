"""What a large survey of adults says about the measures of a body, in cm.

Source of every figure: US Army anthropometric survey 1987-88, NATICK/TR-89/044 (2,208 women and 1,774
men, about 17 to 51 years old, no children, few very large bodies): means, spreads, correlations, and
least-squares lines on bust girth and stature, carried in `data`.

>>> mid, sd = usual("hip_girth", "women", 88, 165)
>>> round(mid, 1), round(sd, 1)
(95.4, 4.1)
"""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import hypot, sqrt
from numbers import Real
from pathlib import Path
from types import MappingProxyType
from typing import Any

SEXES = ("women", "men")
"""The two groups of the survey."""

DOUBT = 4.0
"""Standard deviations; of 16,000 measured adults about one lies farther out (normal distribution)."""

_DATA = Path(__file__).parent / "data"
_FOLLOWS = 0.8  # of a length over the bust beyond the usual, the front waist length has so much (no source)
_CHEST_LESS = 2.0  # cm; the chest is narrower than the back (common practice, no source)
_COMPANION = {  # measures that go together at any bust and stature
    "front_waist_length": "back_waist_length",
    "back_waist_length": "front_waist_length",
    "armhole_depth": "back_waist_length",
    "back_width": "underbust_girth",
    "chest_width": "underbust_girth",
    "neck_to_bust": "underbust_girth",
    "neck_girth": "underbust_girth",
    "waist_to_knee": "back_waist_length",
}
OVER_NECK, OVER_BUST = 0.2, (-0.8, 0.1)
"""Length over the bust less front waist length: 0.2 of the neck girth, which is the height of the side neck
point over the pit of the neck as blocks draw it, less 0.8 cm, and 0.1 of bust less underbust girth, because
a full bust makes the way longer. Common practice, no source."""

NECK_MORE = {"women": 1.7, "men": 0.0}
"""cm; the estimate of the neck's base lies so much over the survey's line. The right neck was measured: the
survey's mid-neck lies under that of the US chart by as much as its base does, about 2 cm [ASTM D5585-11e1];
soldiers have thin necks for their bust. At the same bust the US chart has 0.5 to 3.2 cm more at the base,
a survey of women of 2012 has 1.9 more (from memory); 1.7 lies in the middle. For men there is no second
figure."""


@dataclass(frozen=True, kw_only=True)
class Measure:
    """What a measure of the body is: its term, where it is taken, and its plausible range in cm.

    survey: its row in the survey, empty if the survey lacks it. kind: "girth", "width" or "length".
    synonyms: other names that are read for it; its term is always one.
    """

    name: str
    synonyms: tuple[str, ...]
    term: str
    place: str
    low: float
    high: float
    kind: str
    survey: str


@cache
def measures() -> Mapping[str, Measure]:
    """Give every measure of a body by its name. Source: data/body_measures.csv.

    >>> measures()["waist_girth"].low, measures()["armhole_depth"].term
    (45.0, 'scye depth')
    """
    found = {}
    for row in table("body_measures"):
        given: dict[str, Any] = {key: row[key] for key in ("name", "term", "place", "kind", "survey")}
        given |= {end: float(row[end]) for end in ("low", "high")}
        found[row["name"]] = Measure(**given, synonyms=(row["term"], *row["synonyms"].split(";")))
    return MappingProxyType(found)


@cache
def spellings() -> Mapping[str, str]:
    """Give the name of a measure by every spelling that is read for it: small letters, `_` for spaces.

    >>> spellings()["stature"], spellings()["height"]
    ('height', 'height')
    """
    return MappingProxyType(
        {
            word.lower().replace(" ", "_"): m.name
            for m in measures().values()
            for word in (m.name, *m.synonyms)
        }
    )


def table(name: str) -> list[dict[str, str]]:
    """Give the rows of data/NAME.csv; its first line names the source."""
    with open(_DATA / f"{name}.csv", encoding="utf-8", newline="") as file:
        file.readline()
        return list(csv.DictReader(file))


@cache
def spread(row: str, sex: str) -> tuple[float, float, float, float]:
    """Give mean, standard deviation, smallest and largest (cm) of a row of the survey.

    >>> spread("stature", "men")
    (175.58, 6.68, 149.7, 204.2)
    """
    group = _summary()[sex]
    at = group["measures"].index(row)
    return tuple(group[figure][at] for figure in ("mean", "sd", "min", "max"))


def held(bust: float, sex: str) -> float:
    """Give the bust girth (cm), held within the smallest and largest of the survey."""
    low, high = spread("bust_girth", sex)[2:]
    return min(max(bust, low), high)


def usual(
    name: str, sex: str, bust: float, height: float, *, height_known: bool = True
) -> tuple[float, float]:
    """Give what a measure commonly is for a bust girth and a stature, and its standard deviation (cm).

    Above the bust girths of the survey girths and widths go on along the line, below them girths do and
    widths shrink in proportion; lengths stay as they are at the end of the survey.

    >>> [round(v, 1) for v in usual("waist_girth", "women", 88, 165)]
    [70.2, 3.2]
    """
    if name in ("height", "bust_girth"):
        return spread(measures()[name].survey, sex)[:2]
    a, b, k, sd = _line(name, sex)
    within, kind = held(bust, sex), measures()[name].kind
    mid = a + b * within + k * height
    if kind == "width" and bust < within:
        mid *= bust / within
    elif kind != "length":
        mid += b * (bust - within)
    if not height_known:
        sd = hypot(sd, k * spread("stature", sex)[1])
    return mid, sd


def estimate(name: str, sex: str, bust: float, height: float, given: Mapping[str, float]) -> float:
    """Give the estimate of a measure to the nearest mm, kept inside its plausible range.

    given: measures that were taken. When one of a pair was taken and the other was not, front and back waist
    length follow each other; armhole depth and waist to knee follow the back waist length; neck, back, chest
    and neck to bust follow the underbust girth. The length over the bust is put together from front waist
    length and neck girth, measured or estimated.

    >>> [estimate("back_width", "women", 100, 165, ribs) for ribs in ({}, {"underbust_girth": 76})]
    [37.6, 37.0]
    """
    value = usual(name, sex, bust, height)[0]
    if name == "length_over_bust":
        front, neck, ribs = (
            given.get(n) or estimate(n, sex, bust, height, given)
            for n in ("front_waist_length", "neck_girth", "underbust_girth")
        )
        value = front + OVER_NECK * neck + OVER_BUST[0] + OVER_BUST[1] * (bust - ribs)
    elif name == "front_waist_length" and "length_over_bust" in given:
        usually = estimate("length_over_bust", sex, bust, height, {**given, name: value})
        value += _FOLLOWS * (given["length_over_bust"] - usually)
    elif (other := _COMPANION.get(name, "")) in given:
        value += _share(name, other, sex) * (given[other] - usual(other, sex, bust, height)[0])
    if name == "neck_girth":
        value += NECK_MORE[sex]
    return round(min(max(value, measures()[name].low), measures()[name].high), 1)


def guess_slip(name: str, value: float, sex: str, given: Mapping) -> str:
    """Advice on a value out of range: the slip that would make it the most usual value."""
    for other, there in given.items():
        exchangeable = other != name and _fits(other, value) and _fits(name, there)
        if exchangeable:
            now = _off(other, there, sex, given)
            if max(_off(other, value, sex, given), _off(name, there, sex, given)) < DOUBT < now:
                return f"Were {name} and {other} swapped?"
    found = slips(name, value, sex, given)
    if not found:
        return f"Measure it again: {measures()[name].place}."
    return " Or: ".join(f"{text} Then write {round(cm, 1):g}." for text, cm in found)


def slips(name: str, value: float, sex: str, given: Mapping) -> list[tuple[str, float]]:
    """Give the one or two slips that make a value (cm) a common one: a question, and the right value in cm.

    given: other measures in cm. Where no slip makes it common, the one that fits the measure's range best.

    >>> slips("waist_girth", 720, "women", {"bust_girth": 88})
    [('Were these millimetres?', 72.0)]
    """
    m = measures()[name]
    found = [
        ("Were these millimetres?", value / 10),
        ("Were these inches?", value * 2.54),
        ("Was it in cm already and read as inches?", value / 2.54),
        ("Were these metres?", value * 100),
    ]
    if m.kind != "length":
        found.append((f"Was this half the {m.kind}?", value * 2))
    if m.kind == "girth":
        found.append(("Was this a quarter of the girth?", value * 4))
    fitting = sorted((_off(name, c, sex, given), text, c) for text, c in found if m.low <= c <= m.high)
    return [(text, c) for off, text, c in fitting if off < DOUBT][:2] or [(t, c) for _, t, c in fitting[:1]]


def _off(name: str, value: float, sex: str, given: Mapping) -> float:
    """How many standard deviations a value lies off what is common beside the others."""
    bust, height = (
        given[n] if n != name and _fits(n, given.get(n)) else spread(measures()[n].survey, sex)[0]
        for n in ("bust_girth", "height")
    )
    mid, sd = spread("bust_girth", sex)[:2] if name == "bust_girth" else usual(name, sex, bust, height)
    return abs(value - mid) / sd


def _fits(name: str, value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, Real):
        return False
    return measures()[name].low <= float(value) <= measures()[name].high


@cache
def _summary() -> dict:
    return json.loads((_DATA / "survey_summary.json").read_text(encoding="utf-8"))


@cache
def _lines() -> dict[tuple[str, str], tuple[float, float, float, float]]:
    columns = ("a", "b_bust", "k_stature", "residual_sd")
    found = {}
    for row in table("survey_regression"):
        a, b, k, sd = (float(row[column]) for column in columns)
        found[row["sex"], row["measure"]] = (a, b, k, sd)
    return found


@cache
def _line(name: str, sex: str) -> tuple[float, float, float, float]:
    """a, b, k and residual standard deviation of a + b * bust + k * stature."""
    if name == "chest_width":
        a, b, k, sd = _line("back_width", sex)
        return a - _CHEST_LESS, b, k, sd
    if name == "length_over_bust":
        less, full = OVER_BUST
        shares = {"front_waist_length": 1.0, "neck_girth": OVER_NECK, "underbust_girth": -full}
        parts = [(share, _line(row, sex)) for row, share in shares.items()]
        a, b, k = (sum(share * line[i] for share, line in parts) for i in range(3))
        more = less + OVER_NECK * NECK_MORE[sex]
        return a + more, b + full, k, hypot(*(share * line[3] for share, line in parts))
    if name == "waist_to_knee":  # height of the waist less height of the knee
        rows = {"cervicale_h": 1, measures()["back_waist_length"].survey: -1, "knee_h": -1}
        a, b, k = (sum(sign * _lines()[sex, row][i] for row, sign in rows.items()) for i in range(3))
        variance = sum(s * t * _rest(p, q, sex) for p, s in rows.items() for q, t in rows.items())
        return a, b, k, sqrt(variance)
    return _lines()[sex, measures()[name].survey]


@cache
def _share(name: str, other: str, sex: str) -> float:
    """How far a measure goes with another one of the same bust and stature: their partial regression."""
    if name == "waist_to_knee":  # what is added to the back waist length is missing here
        return -1.0
    row, beside = measures()["back_width" if name == "chest_width" else name].survey, measures()[other].survey
    return _rest(row, beside, sex) / _rest(beside, beside, sex)


def _rest(row: str, beside: str, sex: str) -> float:
    """Covariance of two rows of the survey among people of the same bust and stature (cm squared)."""
    group = _summary()[sex]
    at, sd, r = group["measures"].index, group["sd"], group["correlation"]

    def covariance(p: str, q: str) -> float:
        return r[at(p)][at(q)] * sd[at(p)] * sd[at(q)]

    _, b, k, _ = _lines()[sex, row]
    return covariance(row, beside) - b * covariance("bust_girth", beside) - k * covariance("stature", beside)
