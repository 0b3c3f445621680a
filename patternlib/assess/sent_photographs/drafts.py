"""From photographs of a class to drafts: whose and which, as the codes say; pages of a draft put together."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from ...errors import PatternError
from ...geometry import Point
from ..hand_ins.files import HandIn
from ..photographed.flags import FRAME, by_name, frame_flags, in_doubt
from ..photographed.label import Label, LabelFault, read_label
from ..photographed.placed import record_of_places
from ..safe_text import file_stem, folded, one_line
from ..tasks.catalogue import exercises
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers
from ..tasks.record import Photograph
from .lengths import Lengths, size_said
from .seen import Seen

NONE = Lengths()
APART = 0.2
"""cm on the paper: a flag that two photographs see farther apart than this is not believed."""
NO_CODE = (
    "The code on the page cannot be read, so nobody knows whose draft this is. Take the photograph nearer, "
    "in even light, with the whole page in it; of a draft between strips with the slip that has the code."
)
NOT_LAID = "The flags on the centre line are missing or in one place, so it is not known how the draft lies."
NOT_BELIEVED = (
    "The flag of {} is bent, partly covered or there twice, so its place is not believed: it is to be tapped."
)


@dataclass(frozen=True)
class Between:
    """How a draft between strips lies: its centre line from `origin`, at the waist level, up to `above`.

    >>> between = Between(Point(5, 5), Point(15, 5), 2)
    >>> between.on_draft(Point(6, 5)), between.on_page(Point(0, 2))
    (Point(x=0.0, y=2.0), Point(x=6.0, y=5.0))
    """

    origin: Point
    above: Point
    scale: int

    def on_draft(self, on_page: Point) -> Point:
        """From the paper, cm, to the draft, full-size cm."""
        x, y = on_page.x - self.origin.x, on_page.y - self.origin.y
        up = self._up()
        return Point(self.scale * (x * up.y - y * up.x) + 0.0, self.scale * (x * up.x + y * up.y) + 0.0)

    def on_page(self, on_draft: Point) -> Point:
        """And back."""
        x, y = on_draft.x / self.scale, on_draft.y / self.scale
        up = self._up()
        return Point(self.origin.x + x * up.y + y * up.x, self.origin.y + y * up.y - x * up.x)

    def _up(self) -> Point:
        far = self.origin.distance(self.above)
        return Point((self.above.x - self.origin.x) / far, (self.above.y - self.origin.y) / far)


@dataclass
class Shot:
    """One photograph of a draft. points, lines: full-size cm on the draft; frame: how the draft lies on its
    paper, None where that is not known."""

    handin: HandIn
    seen: Seen
    label: Label
    frame: Label | Between | None = None
    points: dict[str, Point] = field(default_factory=dict)
    lines: dict[str, list[Point]] = field(default_factory=dict)


@dataclass
class Draft:
    """A draft put together from its photographs. missing: what is asked and was not read by itself; sized:
    on which measured lengths its size rests, in a sentence."""

    shots: list[Shot]
    record: dict[str, Any]
    missing: tuple[str, ...]
    notes: list[str]
    handin: HandIn
    sized: str

    @property
    def label(self) -> Label:
        return self.shots[0].label

    @property
    def id(self) -> str:
        """A name for its folder, the same as long as its photographs are."""
        made = hashlib.sha256("".join(sorted(s.seen.sha256 for s in self.shots)).encode()).hexdigest()[:8]
        return file_stem(f"{self.label.student} {self.label.exercise} {made}")


def drafts_of(
    looked: Iterable[tuple[HandIn, Seen]], key_of: Callable[[str], str], lengths: Lengths = NONE
) -> tuple[list[Draft], list[tuple[HandIn, str]]]:
    """The drafts that photographs show, and a sentence for each photograph that shows none.

    Photographs of one student's pages of one exercise belong together where they lie in one folder. A
    worksheet whose test line is no 15 cm long is refused with the same sentence as on the form.
    """
    groups: dict[tuple, list[Shot]] = defaultdict(list)
    faults: list[tuple[HandIn, str]] = []
    for handin, seen in looked:
        try:
            label = _label(seen)
        except PatternError as fault:
            said = str(fault)
            faults.append((handin, said[:1].upper() + said[1:]))
            continue
        whose = handin.names[:-1], folded(label.student), label.exercise, label.scale, label.loose
        groups[whose].append(Shot(handin, seen, label))
    drafts = []
    for shots in groups.values():
        try:
            drafts.append(_put_together(shots, key_of(shots[0].label.student), lengths))
        except PatternError as fault:
            faults += [(shot.handin, one_line(fault, 600)) for shot in shots]
    return drafts, faults


def _label(seen: Seen) -> Label:
    if seen.fault:
        raise PatternError(seen.fault)
    if not seen.label:
        raise LabelFault(NO_CODE)
    label = read_label(seen.label)
    if label.exercise not in exercises():
        raise LabelFault(f"The page is of an exercise '{label.exercise}', which is not in this course.")
    return label


def _put_together(shots: list[Shot], key: str, lengths: Lengths) -> Draft:
    first = shots[0].label
    test_line = lengths.test_line(first)
    if test_line is not None:
        from ...photo.reading import check_test_line

        check_test_line(test_line)
    work = exercises()[first.exercise]
    of = work.own_numbers(first.student, key)
    notes: list[str] = []
    pages: dict[int, Shot] = {}
    for shot in shots:
        notes += _placed(shot, work, of)
        page = 0 if first.loose else shot.label.page
        pages[page] = _better(pages[page], shot) if page in pages else shot
    kept = [pages[page] for page in sorted(pages)]
    if len(kept) < len(shots):
        notes.append("Of a page that was photographed more than once the picture with most read counts.")
    points, unsure = _points(kept, first.scale)
    notes += [
        f"Two photographs show the flag of {name} in two places; it is to be tapped." for name in unsure
    ]
    lines = {name: line for shot in kept for name, line in shot.lines.items()}
    asked = {n: p for n, p in points.items() if n in _asked(work)}
    record = record_of_places(
        work.id, asked, lines, student=first.student, key=key,
        scale=first.scale, photographs=[_photograph(shot) for shot in kept],
    )  # fmt: skip
    missing = missing_in(work, record)
    absent = [str(n) for n in range(1, first.pages + 1) if n not in pages]
    if absent and missing and not first.loose:
        notes.append(f"No photograph that can be read shows page {', '.join(absent)} of {first.pages}.")
    handin = kept[0].handin
    if len(kept) > 1:
        handin = replace(handin, where=f"{handin.where} and {len(kept) - 1} more")
    sized = size_said(test_line, kept[0].seen.distances, loose=first.loose)
    return Draft(kept, record, missing, notes, replace(handin, data=None), sized)


def _placed(shot: Shot, work: Exercise, of: OwnNumbers) -> list[str]:
    """Fill in what a photograph shows, on the draft; returns what is to be said of it."""
    label, seen = shot.label, shot.seen
    flags = by_name({n: Point(*spot) for n, spot in seen.flags.items()}, work, of)
    shot.frame = label
    said = [NOT_BELIEVED.format(name) for name in in_doubt(seen.doubtful, work, of)]
    if label.loose:
        ends = frame_flags(flags)
        shot.frame = Between(*ends, label.scale) if ends else None
    if shot.frame is None:
        return [*said, NOT_LAID]
    on_draft = shot.frame.on_draft
    shot.points = {n: on_draft(p) for n, p in flags.items() if n not in FRAME}
    shot.lines = {
        n: [on_draft(Point(*p)) for p in line] for n, line in seen.lines.items() if n in _asked(work)
    }
    return said


def _better(a: Shot, b: Shot) -> Shot:
    """Of two photographs of one page the one with more read, then the flatter one."""
    return max(a, b, key=lambda s: (len(s.points) + len(s.lines), -s.seen.residual))


def _points(shots: Sequence[Shot], scale: int) -> tuple[dict[str, Point], list[str]]:
    found: dict[str, Point] = {}
    unsure = []
    for shot in shots:
        for name, place in shot.points.items():
            if name in found and found[name].distance(place) > APART * scale:
                unsure.append(name)
            found.setdefault(name, place)
    return {name: place for name, place in found.items() if name not in unsure}, unsure


def _asked(work: Exercise) -> set[str]:
    return {a.name for a in work.steps()}


def _photograph(shot: Shot) -> Photograph:
    kind, page = ("strips", 0) if shot.label.loose else ("sheet", shot.label.page)
    return Photograph(shot.seen.sha256, shot.seen.residual, kind, page)  # type: ignore[arg-type]


def missing_in(work: Exercise, record: Mapping[str, Any]) -> tuple[str, ...]:
    """What is asked and is not in a record, by name."""
    there = {*record["points"], *record["curves"], *record["numbers"]}
    there |= {a.name for a in work.asked if a.piece and record.get("finish", {}).get(a.piece)}
    return tuple(a.name for a in work.asked if a.name not in there)
