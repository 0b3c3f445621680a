"""The whole way to the verdict: drawn with a hand's errors, photographed, tapped, judged; used by
`tests/photo_benchmark.py`. Each verdict is compared with that on what was drawn."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np

from patternlib.assess import exercise, judge, numbers_for
from patternlib.assess.judging.hands import PHOTOGRAPH, SMALL_PHOTOGRAPH
from patternlib.assess.photographed.label import read_label
from patternlib.assess.photographed.placed import record_of_places
from patternlib.geometry import Curve, Point
from patternlib.photo.faults import PhotoFault
from patternlib.photo.layouts import strips_layout
from patternlib.photo.lens import _laid, _rigid
from patternlib.photo.reading import read_photograph
from tests import photographed_class as printed
from tests.photographs import Sheet, any_shot, pencil, photograph, strips_round, ticked, upright_for

SEED = 5000
WORKS = ("05b", "05c", "06a", "07b", "08a", "10a", "17a", "20b")
"""Eight exercises whose drafts fit between four strips, and on a few pages at half scale."""
DRAFT = (11.0, 12.0, 71.0, 86.0)
"""cm: the box of a full-size draft on the table's paper."""


def measured(marks, a: str, b: str, rng) -> float:
    """A distance between two strips as a ruler gives it: to the millimetre, with an error of half of one."""
    return round(float(np.hypot(*(marks[a] - marks[b])) + rng.normal(0, 0.05)), 1)


def drawn_values(id: str, student: str, rng, spread: float):
    """What is asked, as a hand draws it: every point off by an error, a line at its places; in every third
    draft one of them drawn clearly wrong. cm of the pattern."""
    work, of = exercise(id), numbers_for(student)
    draft = work.reference(of)
    values = {a.name: draft[a.name] for a in work.steps()}
    points = {n: v + Point(*rng.normal(0, spread, 2)) for n, v in values.items() if isinstance(v, Point)}
    lines = {}
    for name, curve in values.items():
        if isinstance(curve, Curve):
            n = max(30, round(curve.length * 4))
            p = np.array([curve.at(curve.length * k / n) for k in range(n + 1)])
            ends = rng.normal(0, spread, (2, 2))
            lines[name] = (
                p + np.linspace(1, 0, n + 1)[:, None] * ends[0] + np.linspace(0, 1, n + 1)[:, None] * ends[1]
            )
    numbers = {n: v for n, v in values.items() if not isinstance(v, Point | Curve)}
    if rng.random() < 1 / 3 and points:
        name = sorted(points)[int(rng.integers(len(points)))]
        angle = rng.uniform(0, 2 * np.pi)
        points[name] += rng.uniform(0.5, 2.0) * Point(np.cos(angle), np.sin(angle))
    return points, lines, numbers


class Learner:
    """Taps a little off, sees what is found in the enlargement, confirms it or moves it by hand."""

    def __init__(self, rng):
        self.rng, self.counts = rng, Counter()

    def tap(self, flat, true: Point) -> Point:
        near = true + Point(*self.rng.normal(0, 0.08, 2))
        try:
            found = flat.crossings(near)
        except PhotoFault:  # a hair outside what can be measured: tapped again, nearer
            found = flat.crossings(true)
        best = min(found, key=lambda c: c.point.distance(true), default=None)
        if best is not None and best.point.distance(true) < 0.04:
            self.counts["confirmed" if best is found[0] else "chosen"] += 1
            return best.point
        self.counts["moved"] += 1
        return true + Point(*self.rng.normal(0, 0.012, 2))

    def line(self, flat, true) -> list[Point]:
        """Traced between the tapped ends, and over a place about every 6 cm between them."""
        far = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(true, axis=0).T))])
        stops = np.linspace(0, far[-1], max(2, round(far[-1] / 6) + 1))
        places = [
            Point(*(np.interp(s, far, true[:, k]) + self.rng.normal(0, 0.012) for k in (0, 1))) for s in stops
        ]
        try:
            return list(flat.trace(places))
        except PhotoFault:
            self.counts["line not found"] += 1
            return places


def taken_again(sheet: Sheet, rng, refused: Counter, *, distances=(), **how):
    """The photograph read; where it is refused as cut off or covered it is taken again, as its sentence says:
    from farther away, with the telephone not turned."""
    shot = upright_for(sheet, any_shot(rng, **how))
    try:
        return read_photograph(photograph(sheet, shot, rng), distances=distances)
    except PhotoFault as fault:
        if fault.kind not in ("cut off", "covered"):
            raise
        refused[f"{fault.kind}, taken again"] += 1
    shot = replace(shot, fill=0.82, spin=0.0, aside=(0.0, 0.0))
    return read_photograph(photograph(sheet, shot, rng), distances=distances)


def on_worksheet(id: str, student: str, rng, refused: Counter):
    """(as drawn, as read): the record of a worksheet at half scale, page by page."""
    points, lines, numbers = drawn_values(id, student, rng, 2 * SMALL_PHOTOGRAPH.point)
    pages = printed.printed(id, student, "half")[1]
    learner = Learner(rng)
    read_points, parts, residuals = {}, {name: [] for name in lines}, []
    for k in range(len(pages.labels)):
        label = pages.labels[k]
        box = pages.layouts[k].box
        own = {n: label.on_page(p) for n, p in points.items()}
        drawn = {n: np.array([label.on_page(Point(*p)) for p in line]) for n, line in lines.items()}
        sheet = printed.sheet_of(id, student, k, "half")
        cross = [ticked(p, d, length=0.6) for p in own.values() for d in ((1, 0.05), (0.05, -1))]
        pencil(sheet, [*drawn.values(), *cross], rng)
        flat = taken_again(sheet, rng, refused, width=3200, height=2400)
        residuals.append(flat.residual)
        label = read_label(flat.label)
        for name, p in own.items():
            if name not in read_points and _inside(p, box):
                read_points[name] = label.on_draft(learner.tap(flat, p))
        for name, line in drawn.items():
            inside = np.array([_inside(p, box) for p in line])
            for run in np.split(np.arange(len(line)), np.nonzero(np.diff(inside.astype(int)))[0] + 1):
                if inside[run[0]] and len(run) > 2:
                    parts[name].append((run[0], [label.on_draft(p) for p in learner.line(flat, line[run])]))
    read_lines = {
        name: [p for _, part in sorted(found) for p in part] for name, found in parts.items() if found
    }
    return (points, lines, numbers), (read_points, read_lines), learner.counts, residuals


def _inside(p, box, rim: float = 1.1) -> bool:
    return box[0] - rim < p[0] < box[2] + rim and box[1] - rim < p[1] < box[3] + rim


def on_table(id: str, student: str, rng, refused: Counter):
    """(as drawn, as read): the record of a full-size draft with four strips and two typed distances."""
    points, lines, numbers = drawn_values(id, student, rng, PHOTOGRAPH.point)
    every = np.vstack([np.array(list(points.values())).reshape(-1, 2), *lines.values(), [(0, 0)]])
    low, top = every.min(axis=0), every.max(axis=0)
    x0, y0, x1, y1 = DRAFT
    to = Point(*((x0 + x1) / 2 - (low[0] + top[0]) / 2, (y0 + y1) / 2 - (low[1] + top[1]) / 2))
    sheet = Sheet(82, 98, 48)
    marks = strips_round(sheet, strips_layout("a4"), DRAFT, rng, 0.999)
    reach = max(12.0, top[1] + 1) if top[1] > -low[1] else -max(12.0, 1 - low[1])
    above = Point(0, reach)
    cross = [
        ticked(p + to, d, length=0.8) for p in (*points.values(), above) for d in ((1, 0.05), (0.05, -1))
    ]
    frame = [[to + Point(-1, 0), to + Point(3, 0)], [to + Point(0, -np.sign(reach)), to + above]]
    pencil(sheet, [*(line + np.array(to) for line in lines.values()), *cross, *frame], rng)
    typed = [(a, b, measured(marks, a, b, rng)) for a, b in ("AC", "BD")]
    flat = taken_again(sheet, rng, refused, distances=typed, width=4000, height=3000)
    # the learner finds each place in the picture; where it lies there is known from the strips' crosses
    names = sorted(marks)
    own = np.array([marks[n] for n in names])
    there = np.array([flat.plane.fit.laid(k, np.array([next(iter(s.marks.values()))]))[0]
                      for k, s in enumerate(strips_layout("a4"))])  # fmt: skip
    pose = _rigid(own, there)
    learner = Learner(rng)

    def seen(p) -> Point:
        return Point(*_laid(pose, 1.0, np.array([p + to]))[0])

    start, up = learner.tap(flat, seen(Point(0, 0))), learner.tap(flat, seen(above))
    turn = complex(*(up - start)) / complex(0, reach)
    turn /= abs(turn)

    def on_draft(p: Point) -> Point:
        z = complex(*(p - start)) / turn
        return Point(z.real, z.imag)

    read_points = {n: on_draft(learner.tap(flat, seen(p))) for n, p in points.items()}
    read_lines = {
        n: [on_draft(p) for p in learner.line(flat, _laid(pose, 1.0, line + np.array(to)))]
        for n, line in lines.items()
    }
    return (points, lines, numbers), (read_points, read_lines), learner.counts, [flat.residual]


def full(students: int) -> None:
    verdicts(students, "full size, four strips", 1, on_table)


def half(students: int) -> None:
    verdicts(students, "half scale, worksheets", 2, on_worksheet)


def verdicts(students: int, said: str, scale: int, way) -> None:
    print(f"verdicts: {len(WORKS)} exercises, {students} students")
    same, lines, off, far, counts, refused = 0, 0, Counter(), [], Counter(), Counter()
    for id in WORKS:
        for k in range(students):
            student, rng = f"student {k}", np.random.default_rng([SEED, k, int(id[:2]), scale])
            try:
                (points, drawn, numbers), (read_points, read_lines), own, _ = way(id, student, rng, refused)
            except PhotoFault as fault:
                refused[f"{fault.kind}, given up"] += 1
                continue
            counts += own
            far += [read_points[n].distance(points[n]) * 10 / scale for n in read_points]
            both = []
            for p, c in ((points, drawn), (read_points, read_lines)):
                c = {n: [Point(*q) for q in line] for n, line in c.items()}
                record = record_of_places(id, p, c, student=student, scale=scale, numbers=numbers)
                both.append({line.step: line.verdict for line in judge(record).lines})
            for name, verdict in both[0].items():
                lines += 1
                same += both[1].get(name) == verdict
                if both[1].get(name) != verdict:
                    off[f"{verdict} read as {both[1].get(name)}"] += 1
        print(f"  {id}: {same} of {lines} verdicts so far", flush=True)
    print(
        f"  {said}: {same} of {lines} as on the draft itself ({same / max(1, lines):.1%}), {dict(off)}; "
        f"points mm on paper {np.median(far):.2f} / {np.quantile(far, 0.95):.2f} / {max(far):.2f}; "
        f"taps {dict(counts)}; refused {dict(refused)}", flush=True,
    )  # fmt: skip
