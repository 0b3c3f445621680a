"""How fair the judge is to a hand, and how well it explains: python -m tests.judging_benchmark [students]

- honest drafts: each typed coordinate and length is off by a normal error of 1 or 1.5 mm, full and half scale
- the common mistakes that stand beside the exercises, put in as operations on the draft
- whole drafts in another unit, another scale, mirrored or turned
- right drafts; and how a slip of a given size is seen, blamed and named, for each way of drafting
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from copy import deepcopy
from typing import NamedTuple

import numpy as np

from patternlib.assess import exercises, judge
from patternlib.assess.judging.deviation import UNDRAWABLE, gap
from patternlib.assess.judging.hands import EXACT, NEAR, hand_of
from patternlib.assess.judging.rubric import load_rubric
from patternlib.assess.tasks.rework import Rework
from patternlib.assess.tasks.slipping import slipped
from patternlib.geometry import Curve, Point
from tests.slip_maker import slips

HONEST = ("02a", "02b", "03a", "06a")
STUDENTS = 40
"""Students that are tried until a mistake shows for as many as are asked for."""


# -- honest drafts


def typed(value, name: str, dice, spread: float):
    """A value as an honest hand hands it in: every coordinate off by a normal error, a curve by places."""
    if isinstance(value, Point):
        return value + Point(*dice.normal(0, spread, 2))
    if isinstance(value, Curve):
        moves = [complex(*dice.normal(0, spread, 2)) for _ in range(len(value.segments) + 1)]
        pairs = zip(value.segments, moves, moves[1:], strict=False)
        return Curve(tuple((s[0] + m, s[1] + m, s[2] + n, s[3] + n) for s, m, n in pairs))
    return value + (dice.normal(0, 5 * spread) if "angle" in name else dice.normal(0, spread))


def honest(students: int, spread: float, *, times: float = 1.0, ids=HONEST, seed: int = 5):
    """Counts of steps, off, near, drafts and full marks; drawn `times` smaller than the pattern."""
    count = Counter()
    for id in ids:
        work = exercises()[id]
        for k in range(students):
            of = work.own_numbers(f"student {k}")
            draft = work.reference(of)
            dice = np.random.default_rng([seed, k])
            own = {a.name: typed(draft[a.name], a.name, dice, times * spread) for a in work.steps()}
            record = work.record(of, own, student=f"student {k}", way="paper", **_scale(times))
            lines = [line for line in judge(record).lines if line.verdict != "missing"]
            count["steps"] += len(lines)
            count["off"] += sum(line.verdict == "off" for line in lines)
            count["near"] += sum(line.verdict == "near" for line in lines)
            count["drafts"] += 1
            count["full"] += all(line.mark == line.weight for line in lines)
    return count


def _scale(times: float) -> dict[str, float]:
    return {} if times == 1 else {"scale": times}


# -- common mistakes


class Tried(NamedTuple):
    """One listed mistake in one student's draft."""

    lost: float
    dearest: float
    slips: tuple[str | None, ...]
    blamed: bool
    named: bool
    texts: tuple[str, ...]


def injected(work, mistake, student: str):
    """The record of a student who makes one listed mistake and no other; None where it does not show."""
    of = work.own_numbers(student)
    draft = slipped(work, of, (mistake,))
    if draft is None:
        return None
    own = {a.name: draft.made[a.name] for a in work.steps()}
    record = work.record(of, own, student=student) | {"finish": draft.finish}
    if mistake.finish:
        return None if draft.finish == draft.right else record
    # a mistake that moves nothing by more than the tolerance of its way cannot be seen by anyone
    shows = any(
        _shows(
            own[a.name],
            draft.target[a.name],
            load_rubric().tolerance(work.id, a, EXACT, "angle" in a.name),
        )
        for a in work.steps()
    )
    return record if shows else None


def _shows(own, want, allowed: float) -> bool:
    found = gap(own, want)
    return found.distance > NEAR * allowed or found.turn > 7


def judged_once(id: str, mistake, students: int) -> list[Tried]:
    """What the judge says to so many students who make one listed mistake."""
    work = exercises()[id]
    dearest = max(load_rubric().weight(id, a) for a in work.asked)
    found: list[Tried] = []
    for k in range(STUDENTS):
        record = injected(work, mistake, f"student {k}") if len(found) < students else None
        if record is None:
            continue
        lines = judge(record).lines
        off = [line for line in lines if line.verdict in ("off", "near")]
        at = [line for line in off if line.at in mistake.at or line.step in mistake.at]
        named = any(line.slip == mistake.code or mistake.remark in line.text for line in at)
        lost = sum(line.weight - line.mark for line in lines)
        blamed = bool(at) and len(at) == len(off)
        texts = tuple(line.text for line in off)
        found.append(Tried(lost, dearest, tuple(line.slip for line in off), blamed, named, texts))
    return found


def listed(students: int = 7) -> Iterator[tuple[str, object, list[Tried]]]:
    """(exercise, mistake, what the judge said to each student for whom it shows)."""
    for id, work in exercises().items():
        for mistake in work.mistakes:
            if not mistake.unseen:
                yield id, mistake, judged_once(id, mistake, students)


# -- whole drafts


def whole(students: int, *, ids=("02a", "02b", "03a", "06a", "08a")) -> Counter:
    """How many whole drafts in another unit or turned get one remark, by cause."""
    count: Counter = Counter()
    changes = {
        "mm": lambda x, y: (10 * x, 10 * y),
        "inches": lambda x, y: (x / 2.54, y / 2.54),
        "half scale": lambda x, y: (x / 2, y / 2),
        "mirrored": lambda x, y: (-x, y),
        "turned over": lambda x, y: (x, -y),
    }
    for id in ids:
        work = exercises()[id]
        for k in range(students):
            of = work.own_numbers(f"student {k}")
            right = work.record(of, work.reference(of), student=f"student {k}", way="paper")
            for name, change in changes.items():
                record = deepcopy(right)
                record["points"] = {n: [*change(*p)] for n, p in record["points"].items()}
                record["curves"] = {
                    n: [[[*change(*p)] for p in cubic] for cubic in curve]
                    for n, curve in record["curves"].items()
                }
                times = change(1, 0)[0]
                if times > 0:
                    record["numbers"] = {
                        n: v if "angle" in n else times * v for n, v in record["numbers"].items()
                    }
                if max([abs(c) for p in record["points"].values() for c in p], default=0) > 1000:
                    continue
                off = [line for line in judge(record).lines if line.verdict in ("off", "near")]
                count[name, "drafts"] += 1
                count[name, "one remark"] += len(off) == 1
    return count


# -- size of a slip


SIZES = (0.5, 1.0, 1.25, 1.5, 2.0, 3.0, 5.0)


def curve_of_sizes(students: int, way: str, *, scale: float = 1.0, ids=HONEST, seed: int = 9):
    """{size in tolerances of the step: counts of drafts, seen, blamed}: a point or number pushed so far.

    The rest is drawn by an honest hand. A step's tolerance is read from its verdict: it grows where earlier
    marks swing the step.
    """
    hand = hand_of(way, scale)
    found: dict[float, Counter] = {size: Counter() for size in SIZES}
    for size in SIZES:
        for id in ids:
            work = exercises()[id]
            steps = [a for a in work.steps() if a.kind != "curve"]
            for k in range(students):
                dice = np.random.default_rng([seed, k, int(100 * size)])
                of = work.own_numbers(f"student {k}")
                draft = work.reference(of)
                wrong = steps[dice.integers(len(steps))]
                least = hand.tolerance(wrong.kind)
                times = 1.0
                lines: dict = {}
                for _ in range(2):  # once more with the tolerance that the step has here
                    hand_dice = np.random.default_rng([11, k])
                    move = _any_way(size * times * least, draft[wrong.name], hand_dice)
                    record = _pushed(work, of, draft, wrong, move, hand_dice, hand.point)
                    if record is None:
                        break
                    record |= {"way": way, "student": f"student {k}"} | _scale(scale)
                    lines = {line.step: line for line in judge(record).lines}
                    times = max(lines[wrong.name].allowed / least, 1.0)
                if not lines:
                    continue
                off = [n for n, line in lines.items() if line.verdict in ("off", "near")]
                found[size]["drafts"] += 1
                found[size]["seen"] += bool(off)
                found[size]["blamed"] += wrong.name in off
    return found


def _any_way(push: float, value, dice):
    """So far off, cm, in a random direction: what is added to a point or a number."""
    turn, sign = dice.uniform(0, 2 * np.pi), dice.choice([-1, 1])
    return Point(push * np.cos(turn), push * np.sin(turn)) if isinstance(value, Point) else sign * push


def _pushed(work, of, draft, wrong, move, dice, spread: float) -> dict | None:
    """The record of an honest hand that marks one step off by `move`; None where it cannot be drawn."""
    given = {n: draft[n] for n in work.ready}
    own = {}
    for asked in work.steps():
        try:
            value = Rework(draft, given).rule(asked.name)
        except UNDRAWABLE:
            return None
        if asked is wrong:
            value = value + move
        own[asked.name] = typed(value, asked.name, dice, spread)
        if not isinstance(value, Curve):
            given[asked.name] = own[asked.name]
    return work.record(of, own, student=of.student)


BINS = (0.0, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0)
"""Sizes of a slip in tolerances of its step, the least of each row."""


def curve_of_slips(students: int, way: str, *, scale: float = 1.0, seed: int = 13) -> dict[float, Counter]:
    """{size in tolerances: counts of drafts, seen, blamed, named}: one slip that has a name in each draft.

    The rest is drawn by an honest hand of this way. The slips are those of slip_maker.
    """
    hand = hand_of(way, scale)
    found: dict[float, Counter] = {size: Counter() for size in BINS}
    for id, work in exercises().items():
        steps = [a for a in work.steps() if a.kind != "curve"]
        for k in range(students):
            dice = np.random.default_rng([seed, k, int(id[:2]), ord(id[2])])
            of = work.own_numbers(f"student {k}")
            draft = work.reference(of)
            wrong = steps[dice.integers(len(steps))]
            made = slips(wrong.name, draft, work, work.numbers(of))
            if not made:
                continue
            code, value = made[dice.integers(len(made))]
            if gap(value, draft[wrong.name]).distance > 500:
                continue
            move = value - draft[wrong.name]
            record = _pushed(work, of, draft, wrong, move, dice, 0.0 if hand.exact else hand.point)
            if record is None:
                continue
            lines = {line.step: line for line in judge(record | {"way": way} | _scale(scale)).lines}
            line = lines[wrong.name]
            size = gap(value, draft[wrong.name]).distance / (line.allowed or hand.tolerance(wrong.kind))
            count = found[max(b for b in BINS if b <= size)]
            off = [n for n, one in lines.items() if one.verdict in ("off", "near")]
            count["drafts"] += 1
            count["seen"] += bool(off)
            count["blamed"] += wrong.name in off
            count["named"] += line.slip == code
    return found


def right_drafts(students: int) -> list[str]:
    """The rule's own drafts that lose a mark."""
    wrong = []
    for id, work in exercises().items():
        for k in range(students):
            of = work.own_numbers(f"student {k}")
            draft = work.reference(of)
            pieces = work.finish(draft, of) if work.finish else ()
            verdict = judge(work.record(of, draft, student=f"student {k}", pieces=pieces))
            if verdict.mark < verdict.out_of:
                wrong.append(f"{id} student {k}")
    return wrong


def main(students: int) -> None:
    for times in (1.0, 2.0):
        for spread in (0.1, 0.15):
            c = honest(students, spread, times=times)
            print(
                f"honest hand {10 * spread:g} mm, scale 1:{times:g}: {c['off'] / c['steps']:.2%} off, "
                f"{c['near'] / c['steps']:.2%} near, full marks {20 * c['full'] / c['drafts']:.1f} of 20"
            )
    total = seen = named = once = blamed = 0
    for id, mistake, found in listed():
        total += 1
        ok = len(found) > 0
        flags = [
            ok and all(t.lost > 0 for t in found), ok and all(t.blamed for t in found),
            ok and all(t.named for t in found), ok and all(t.lost <= t.dearest for t in found),
        ]  # fmt: skip
        seen, blamed, named, once = (x + y for x, y in zip((seen, blamed, named, once), flags, strict=True))
        if not all(flags) or len(found) < 7:
            worst = next((t for t in found if not (t.blamed and t.named) or t.lost > t.dearest), None)
            print(
                f"  {id} {mistake.title} [{mistake.code}]: {len(found)} drafts; "
                f"seen, blamed, named, once {flags}"
            )
            if worst:
                print("     ", worst.lost, worst.slips, worst.texts)
    print(f"listed mistakes {total}: seen {seen}, blamed {blamed}, named {named}, cost once {once}")
    count = whole(max(2, students // 10))
    for name in dict.fromkeys(n for n, _ in count):
        print(f"whole draft in {name}: one remark for {count[name, 'one remark']} of {count[name, 'drafts']}")
    for way, scale in (("code", 1.0), ("paper", 1.0), ("paper", 2.0)):
        for size, c in curve_of_sizes(students, way, scale=scale).items():
            print(
                f"{way} 1:{scale:g}, mark off by {size:g} tolerances: seen {c['seen'] / c['drafts']:.1%}, "
                f"blamed {c['blamed'] / c['drafts']:.1%}"
            )
    for way, scale in (("code", 1.0), ("paper", 1.0), ("paper", 2.0)):
        for size, c in curve_of_slips(students, way, scale=scale).items():
            shares = (f"{what} {c[what] / max(c['drafts'], 1):.1%}" for what in ("seen", "blamed", "named"))
            print(
                f"{way} 1:{scale:g}, slip of {size:g} tolerances or more: {', '.join(shares)} "
                f"of {c['drafts']}"
            )
    wrong = right_drafts(students)
    print(f"right drafts called wrong: {len(wrong)} of {students * len(exercises())} {wrong[:5]}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
