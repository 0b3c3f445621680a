"""Bodies and size charts, in cm.

A body needs three measured girths. All that is not measured is estimated from bust girth and stature with
the regressions of a large survey of adults [US Army 1987-88, NATICK/TR-89/044]. The terms are those of
ISO 8559-1 (from memory, in our own words); `measures()` says where each is taken.

>>> body = Body(bust_girth=88, waist_girth=70, hip_girth=95, height=165)
>>> body.neck_girth, body.back_waist_length, body.estimated[:2]
(36.1, 37.1, ('neck_girth', 'shoulder_length'))
>>> chart("course").body("12").bust_girth
88.0
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, KeysView, Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from .errors import PatternError, UnknownName, ValueAtFault, look_up, unknown
from .survey import DOUBT, SEXES, estimate, guess_slip, held, measures, spellings, spread, usual
from .toml_text import read_toml
from .units import UNITS, Length, read_length, shown

_NEEDED = ("bust_girth", "waist_girth", "hip_girth")
_OPEN: Any = None  # not given: it is estimated
NOTES = ("over", "also", "readings")
"""Keys of a file of measures that no body is made from: over what was measured, measures that only check a
draft, and both readings of each measure."""
_BEYOND = 0.5  # cm of tolerance added for each cm of bust beyond the survey, where the line is a guess


@dataclass(frozen=True, kw_only=True)
class Body:
    """The measures of one person in cm; None is estimated and its name listed in `estimated`.

    A measure may also be text with its unit, such as "88 cm" or "34 1/2 in".

    Bust, waist and hip girth must be given. An estimate is a + b * bust + k * stature of the survey's
    women or men, to the nearest mm [NATICK/TR-89/044]; stature itself is their mean. Above the bust
    girths of the survey girths and widths go on along the line, lengths stay. If only one of front and
    back waist length is given, the other follows it (armhole depth follows the back) by the survey's
    correlation; back, chest, neck and neck to bust follow the underbust girth in the same way. The neck's
    estimate lies over the survey's line for women, see survey.NECK_MORE. Terms [ISO 8559-1, from memory]:
    `neck_girth` is the base of the neck; the waist is the natural one; `back_waist_length` runs from the
    nape, `front_waist_length` from the pit of the neck;
    `neck_to_bust` from the side neck point; `armhole_depth` is the scye depth down to the armpits, a
    block adds its ease; `back_width` is at the armpits (34.5 at bust 88, as drafting tables have it from
    memory; half-way up, over the shoulder blades, a tape reads 2.5 cm more); `chest_width` is not in the
    survey and is taken 2 cm less than the usual back width (common practice, no source);
    `underbust_girth` lies level below the bust and shows, with the bust girth, how full the bust is;
    `length_over_bust` runs from the side neck point over the bust point to the waist; `shoulder_drop` is how
    far the shoulder point lies below the side neck point;
    `waist_to_knee` is height of nape less back waist length less height of knee.
    Raises ValueAtFault for a value outside `measures()`, with a guess at the slip.

    >>> Body(bust_girth=88, waist_girth=720, hip_girth=95)  # doctest: +ELLIPSIS
    Traceback (most recent call last):
        ...
    patternlib...: waist_girth: 720 must lie between 45 and 190 cm. Were these millimetres? Then write 72.
    """

    bust_girth: float = _OPEN
    waist_girth: float = _OPEN
    hip_girth: float = _OPEN
    height: float = _OPEN
    neck_girth: float = _OPEN
    shoulder_length: float = _OPEN
    back_waist_length: float = _OPEN
    front_waist_length: float = _OPEN
    neck_to_bust: float = _OPEN
    bust_span: float = _OPEN
    armhole_depth: float = _OPEN
    back_width: float = _OPEN
    chest_width: float = _OPEN
    upper_arm_girth: float = _OPEN
    wrist_girth: float = _OPEN
    arm_length: float = _OPEN
    waist_to_hip: float = _OPEN
    waist_to_knee: float = _OPEN
    head_girth: float = _OPEN
    shoulder_drop: float = _OPEN
    underbust_girth: float = _OPEN
    length_over_bust: float = _OPEN
    sex: str = "women"
    estimated: tuple[str, ...] = field(init=False, compare=False, default=())

    if TYPE_CHECKING:  # what may be given: numbers of cm, or text with a unit

        def __init__(
            self,
            *,
            bust_girth: Length,
            waist_girth: Length,
            hip_girth: Length,
            height: Length | None = None,
            neck_girth: Length | None = None,
            shoulder_length: Length | None = None,
            back_waist_length: Length | None = None,
            front_waist_length: Length | None = None,
            neck_to_bust: Length | None = None,
            bust_span: Length | None = None,
            armhole_depth: Length | None = None,
            back_width: Length | None = None,
            chest_width: Length | None = None,
            upper_arm_girth: Length | None = None,
            wrist_girth: Length | None = None,
            arm_length: Length | None = None,
            waist_to_hip: Length | None = None,
            waist_to_knee: Length | None = None,
            head_girth: Length | None = None,
            shoulder_drop: Length | None = None,
            underbust_girth: Length | None = None,
            length_over_bust: Length | None = None,
            sex: str = "women",
        ) -> None: ...

    def __post_init__(self) -> None:
        if self.sex not in SEXES:
            raise unknown("group of the survey (sex)", self.sex, SEXES)
        given = {name: value for name in measures() if (value := getattr(self, name)) is not None}
        for name in _NEEDED:
            if name not in given:
                advice = "Measure bust, waist and hip; everything else can be estimated."
                raise ValueAtFault(name, "nothing", "was given", advice)
        for name, value in given.items():
            given[name] = _checked(name, value, self.sex, given)
        values = dict(given)
        values.setdefault("height", round(spread("stature", self.sex)[0], 1))
        for name in measures():
            if name not in values:
                values[name] = estimate(name, self.sex, values["bust_girth"], values["height"], given)
        for name, value in values.items():
            object.__setattr__(self, name, value)
        object.__setattr__(self, "estimated", tuple(name for name in measures() if name not in given))

    def replace(self, **changes: Any) -> Body:
        """Give a body with some measures changed (cm, or text with a unit; None: estimate it).

        Raises UnknownName for a measure that does not exist.

        >>> Body(bust_girth=88, waist_girth=70, hip_girth=95).replace(waist_girth=72).waist_girth
        72.0
        """
        for name in changes:
            if name not in measures() and name != "sex":
                raise unknown("measure of the body", name, [*measures(), "sex"])
        return Body(**(self._given() | changes))

    def to_dict(self) -> dict[str, Any]:
        """Give all measures in cm, `sex` and the list `estimated`, ready for JSON; from_dict reads it.

        >>> body = Body(bust_girth=88, waist_girth=70, hip_girth=95)
        >>> Body.from_dict(body.to_dict()) == body
        True
        """
        named = {name: getattr(self, name) for name in measures()}
        return named | {"sex": self.sex, "estimated": list(self.estimated)}

    @classmethod
    def from_dict(cls, record: Mapping[str, Any]) -> Body:
        """Read a body from names and values, as in `to_dict` or a TOML file.

        A value is a number in `unit` ("cm" if there is no such key) or text with its unit. What the list
        `estimated` names is estimated again. Synonyms are read too: `stature` is `height`, see
        `spellings()`. Raises UnknownName for a key that is not a measure, ValueAtFault for a value that
        cannot be read and for a measure given twice.

        >>> Body.from_dict({"unit": "in", "bust_girth": 35, "waist_girth": "27½", "hip_girth": 38}).bust_girth
        88.9
        """
        if not isinstance(record, Mapping):
            raise ValueAtFault("body", shown(record), "is not a table of measures", "Write name = value.")
        record = _right_names(record)
        unit, estimated = record.get("unit", "cm"), record.get("estimated", ())
        if unit not in UNITS:
            raise unknown("unit", unit, UNITS)
        if not isinstance(estimated, list | tuple):
            raise ValueAtFault(
                "estimated", shown(estimated), "must be a list of measures", "It may be left out."
            )
        taken = [name for name in measures() if record.get(name) is not None and name not in estimated]
        values = {name: read_length(record[name], unit, name=name) for name in taken}
        return cls(**values, sex=record.get("sex", "women"))

    def doubts(self) -> tuple[str, ...]:
        """Give a sentence for each given measure that does not seem to go with the rest; usually none.

        A measure is doubted when it lies more than 4 residual standard deviations from what the survey
        gives for this bust and stature [NATICK/TR-89/044]. A doubt is not an error: bodies differ.

        >>> Body(bust_girth=88, waist_girth=95, hip_girth=72).doubts()
        ('waist_girth 95 cm and hip_girth 72 cm: were these two swapped?',)
        """
        given = [name for name in measures() if name != "bust_girth" and name not in self.estimated]
        strange = [name for name in given if self._strange(name, getattr(self, name))]
        texts: list[str] = []
        swapped: set[str] = set()
        for name in strange:
            value = getattr(self, name)
            for other in strange[strange.index(name) + 1 :]:
                there = getattr(self, other)
                if not self._strange(name, there) and not self._strange(other, value):
                    texts.append(f"{name} {value:g} cm and {other} {there:g} cm: were these two swapped?")
                    swapped |= {name, other}
            if name not in swapped:
                mid, sd = usual(name, self.sex, self.bust_girth, self.height)
                beside = f"bust {self.bust_girth:g} cm and height {self.height:g} cm"
                if name == "height":
                    beside = f"grown {self.sex}"
                common = f"{mid - 2 * sd:.0f} to {mid + 2 * sd:.0f} cm"
                again = f"Measure it again: {measures()[name].place}."
                texts.append(f"{name} {value:g} cm is unusual: for {beside}, {common} is common. {again}")
        return tuple(texts)

    def _given(self) -> dict[str, Any]:
        return {
            f.name: getattr(self, f.name) for f in fields(self) if f.init and f.name not in self.estimated
        }

    def _strange(self, name: str, value: float) -> bool:
        bust, height = self.bust_girth, self.height
        mid, sd = usual(name, self.sex, bust, height, height_known="height" not in self.estimated)
        beyond = 0.0 if name == "height" else abs(bust - held(bust, self.sex))
        return abs(value - mid) > DOUBT * sd + _BEYOND * beyond


def load_body(path: str | Path) -> Body:
    """Read a body from a TOML file: lines such as `bust_girth = 88` or `waist_girth = "27 1/2 in"`.

    `unit = "in"` says what bare numbers are in. Raises PatternError with a sentence for a file that
    cannot be read, UnknownName for a key that is not a measure, ValueAtFault for a value at fault.
    """
    path = Path(path)
    try:
        record = read_toml(path)
    except PatternError as why:
        rule = 'Each line must read name = number, or name = "text with unit".'
        raise PatternError(f"the file of measures '{path.name}' cannot be read: {why}. {rule}") from None
    return Body.from_dict(record)


@dataclass(frozen=True, kw_only=True)
class SizeChart:
    """A range of sizes, each a Body computed from the survey at one stature (cm); `chart[size]` gives one.

    >>> sizes = chart("course")
    >>> sizes["12"].bust_girth, len(sizes), "13" in sizes
    (88.0, 13, False)
    """

    name: str
    source: str
    sex: str
    height: float
    busts: Mapping[str, float]

    @property
    def sizes(self) -> tuple[str, ...]:
        """The names of the sizes, smallest first."""
        return tuple(self.busts)

    def body(self, size: str | int) -> Body:
        """Give the body of one size. Raises UnknownName with near names."""
        bust = look_up(f"size of the chart '{self.name}'", str(size), self.busts)
        girths = {n: round(usual(n, self.sex, bust, self.height)[0], 1) for n in ("waist_girth", "hip_girth")}
        return Body(bust_girth=bust, **girths, height=self.height, sex=self.sex)

    def __getitem__(self, size: str | int) -> Body:
        return self.body(size)

    def __contains__(self, size: object) -> bool:
        return str(size) in self.busts

    def __iter__(self) -> Iterator[str]:
        return iter(self.busts)

    def __len__(self) -> int:
        return len(self.busts)

    def keys(self) -> KeysView[str]:
        """The names of the sizes, smallest first."""
        return self.busts.keys()

    def _ipython_key_completions_(self) -> list[str]:
        return list(self.busts)

    def __repr__(self) -> str:
        return f"<size chart '{self.name}', {self.sex}: sizes {', '.join(self.busts)}>"


def as_body(body: Body | str | int) -> Body:
    """Give the body meant: a Body as it is, a size by its name in the course's own chart.

    Raises UnknownName for a size that does not exist, ValueAtFault for anything else.

    >>> as_body("12").bust_girth
    88.0
    """
    if isinstance(body, Body):
        return body
    if isinstance(body, bool) or not isinstance(body, str | int):
        advice = 'Give a Body, or a size of the course chart, such as "12".'
        raise ValueAtFault("body", shown(body), "is not a body and not a size", advice)
    return chart("course").body(body)


CHARTS = ("course", "course-men")
"""Names that `chart` knows."""


def chart(name: str) -> SizeChart:
    """Give one of the course's own size charts: "course" (women, 165 cm) or "course-men" (men, 176 cm).

    Bust steps of 4 cm up to 104 and of 6 cm above [EN 13402-3, from memory]; everything else is
    computed from the survey's regressions [NATICK/TR-89/044]. Women's sizes are plain running numbers of
    the course, size 12 at bust 88, and no brand's sizing; men's are named by chest girth. The survey ends
    at a bust of 117.6 (women) and 128.1 (men): larger sizes follow the line on. Raises UnknownName.

    >>> chart("course").sizes[:4], chart("course-men").sizes[-1]
    (('6', '8', '10', '12'), '134')
    """
    if name not in CHARTS:
        raise unknown("size chart", name, CHARTS)
    return _chart(name)


@cache
def _chart(name: str) -> SizeChart:
    sex, height, first = ("women", 165.0, 76) if name == "course" else ("men", 176.0, 84)
    busts = [float(b) for b in (*range(first, 105, 4), *range(110, 135, 6))]
    names = range(6, 6 + 2 * len(busts), 2) if sex == "women" else map(int, busts)
    largest = spread("bust_girth", sex)[3]
    source = (
        f"The course's own chart, no brand's sizing: regressions on bust and stature of the {sex} of the "
        f"US Army survey 1987-88 (NATICK/TR-89/044) at {height:g} cm; bust steps 4 cm to 104 and then 6 "
        f"(EN 13402-3, from memory). Beyond a bust of {largest:g} cm, the survey's largest, the lines "
        "go on in the same way."
    )
    by_size = MappingProxyType(dict(zip(map(str, names), busts, strict=True)))
    return SizeChart(name=name, source=source, sex=sex, height=height, busts=by_size)


def _right_names(record: Mapping[str, Any]) -> dict[str, Any]:
    """The record with every synonym replaced by the measure's own name."""
    others = ("sex", "unit", "estimated", *NOTES)
    right: dict[str, Any] = {}
    said: dict[str, str] = {}
    for key, value in record.items():
        spelt = str(key).strip().lower().replace(" ", "_").replace("-", "_")
        if key in NOTES:
            continue
        name = key if key in others else spellings().get(spelt)
        if name is None:
            raise _unknown_measure(key, spelt, others)
        if name in right:
            text = f"is given twice, as '{said[name]}' and as '{key}'"
            raise ValueAtFault(name, str(value)[:40], text, "Keep one of the two lines.")
        right[name], said[name] = value, key
    return right


def _unknown_measure(key: object, spelt: str, others: tuple[str, ...]) -> UnknownName:
    """The error for a name that no measure has; it offers the right names of the nearest spellings."""
    near = difflib.get_close_matches(spelt, [*spellings(), *others], n=3, cutoff=0.6)
    names = list(dict.fromkeys(spellings().get(word, word) for word in near))
    if not names:
        return unknown("measure of the body", key, [*measures(), *others])
    hint = " or ".join(f"'{name}'" for name in names)
    return UnknownName(f"no measure of the body is called '{key}'. Did you mean {hint}?")


def _checked(name: str, value: Length, sex: str, given: Mapping[str, Any]) -> float:
    """The value as a float, or an error that guesses the slip."""
    value, m = read_length(value, name=name), measures()[name]
    if m.low <= value <= m.high:
        return value
    advice = guess_slip(name, value, sex, given) if value > 0 else "Measure it again: no body is that long."
    raise ValueAtFault(name, value, f"must lie between {m.low:g} and {m.high:g} cm", advice)
