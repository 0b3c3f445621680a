"""How often the judge blames the right step and names the right slip, on drafts with slips put in at random.

The slips come from slip_maker.py, which knows nothing of the judge's own. In addition, marks are put off by
an amount that has no name: there the judge should name nothing.

Run it: python -m tests.slip_benchmark [students]
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from patternlib.assess import exercises, judge
from patternlib.assess.judging.deviation import gap
from patternlib.assess.judging.hands import PENCIL
from patternlib.assess.tasks.rework import Rework
from patternlib.errors import PatternError
from patternlib.geometry import Curve, Point
from tests.slip_maker import no_known_slip, slips, tells

NOISE = 0.05
"""cm: spread of a careful hand, each way."""


@dataclass
class Count:
    """Hits and misses of one kind."""

    drafts: int = 0
    blamed: int = 0
    named: int = 0
    alike: int = 0  # named another slip that gives the very same value
    misses: Counter = field(default_factory=Counter)


# -- drafts


def drawn(draft, exercise, wrong, dice, spread):
    """(own values of the asked steps, slips put in): the steps done one after another, each on the last.

    wrong: {step: code of its slip, None for any}; spread: of the hand, cm.
    """
    numbers = exercise.numbers(_variant(draft))
    values = {name: draft[name] for name in exercise.ready}
    own, made = {}, []
    for asked in exercise.steps():
        work = Rework(draft, values)
        value = work.rule(asked.name)
        if asked.name in wrong:
            now = draft.replay(points=values)
            choices = [
                s
                for s in slips(asked.name, now, exercise, numbers)
                if tells(value, s[1], (4 if isinstance(value, Curve) else 1) * _allowed(asked, spread))
            ]
            if wrong[asked.name] is not None:
                choices = [c for c in choices if c[0] == wrong[asked.name]]
            if not choices:
                return None
            choices.append((None, no_known_slip(value, dice)))
            codes = sorted({c[0] for c in choices}, key=str)
            code = codes[dice.integers(len(codes))]
            same = [c for c in choices if c[0] == code]
            code, value = same[dice.integers(len(same))]
            made.append((asked.name, code, value, choices))
        own[asked.name] = value if spread == 0 else shaken(value, dice, spread, asked)
        # a curve is drawn on from where its points are, however its line trembles
        values[asked.name] = value if isinstance(value, Curve) else own[asked.name]
    return own, made


def _allowed(asked, spread=0.0):
    """What a careful hand may be off, cm; with ruler and pencil at least what the judge allows them."""
    least = asked.tolerance or {"point": 0.2, "curve": 0.3, "number": 0.15}[asked.kind]
    return max(least, PENCIL.tolerance(asked.kind)) if spread else least


def shaken(value, dice, spread, asked):
    if isinstance(value, Point):
        return value + Point(*dice.normal(0, spread, 2))
    if isinstance(value, Curve):
        moves = [complex(*dice.normal(0, spread, 2)) for _ in range(len(value.segments) + 1)]
        return Curve(
            tuple(
                (s[0] + m, s[1] + m, s[2] + n, s[3] + n)
                for s, m, n in zip(value.segments, moves, moves[1:], strict=False)
            )
        )
    return value + (0 if "angle" in asked.name else dice.normal(0, spread))


_VARIANTS = {}


def _variant(draft):
    return _VARIANTS[id(draft)]


def sample(exercise, student):
    of = exercise.own_numbers(student)
    draft = exercise.reference(of)
    _VARIANTS[id(draft)] = of
    return of, draft


def one(exercise, student, seed, *, number=1, spread=NOISE):
    """(verdict, slips put in) for one draft with slips at random steps; None where no slip shows."""
    dice = np.random.default_rng([seed, number])
    of, draft = sample(exercise, student)
    steps = [a.name for a in exercise.steps()]
    for _ in range(8):
        chosen = {steps[i]: None for i in dice.choice(len(steps), number, replace=False)}
        try:
            made = drawn(draft, exercise, chosen, dice, spread)
        except PatternError:  # the slip makes the rest of the draft impossible
            continue
        if made:
            break
    else:
        return None
    own, put_in = made
    record = exercise.record(of, own, student=student, way="code" if spread == 0 else "paper")
    record["points"] = {n: p for n, p in record["points"].items() if max(map(abs, p)) <= 1000}
    return judge(record), put_in


def single(count: int, *, spread: float, seed: int = 1):
    """Count for one slip a draft: by exercise."""
    table = {}
    for id, exercise in exercises().items():
        tally = table[id] = Count()
        for k in range(count):
            found = one(exercise, f"student {k}", seed * 1000 + k, spread=spread)
            if found is None:
                continue
            verdict, [(step, code, value, choices)] = found
            off = [line for line in verdict.lines if blamed(line)]
            tally.drafts += 1
            right = [line.step for line in off] == [step]
            tally.blamed += right
            named = next((line.slip for line in off if line.step == step), None)
            tally.named += named == code
            if named != code:
                close = [c for c, other in choices if _same(other, value) and c == named]
                tally.alike += bool(close)
                tally.misses[f"{code} -> {named}"] += 1
            if not right:
                tally.misses[f"{step} [{code}] blamed {[line.step for line in off]}"] += 1
    return table


def blamed(line) -> bool:
    """Whether a line says that its step went wrong: it loses its mark, or half of it, or it is told that the
    same slip was made again, which costs nothing more."""
    return line.verdict in ("off", "near") or (line.verdict == "carried" and line.slip is not None)


def _same(a, b):
    return gap(a, b).distance < 0.01


def double(count: int, *, spread: float, seed: int = 2):
    """(drafts, both steps blamed and no other, what was blamed in the others)."""
    drafts = right = 0
    misses: Counter = Counter()
    for id, exercise in exercises().items():
        for k in range(count):
            found = one(exercise, f"student {k}", seed * 1000 + k, number=2, spread=spread)
            if found is None:
                continue
            verdict, made = found
            drafts += 1
            told, put_in = {line.step for line in verdict.lines if blamed(line)}, {m[0]: m[1] for m in made}
            right += told == {*put_in}
            if told != {*put_in}:
                misses[f"{id} student {k} {put_in}: also {told - {*put_in}}, not { ({*put_in} - told) }"] += 1
    return drafts, right, misses


def faultless(count: int, *, spread: float = NOISE, seed: int = 3, ids: tuple[str, ...] = ()):
    """(drafts, wrongly faulted, the steps that were)."""
    drafts = faulted = 0
    where = Counter()
    for id, exercise in exercises().items():
        if ids and id not in ids:
            continue
        for k in range(count):
            of, draft = sample(exercise, f"student {k}")
            own, _ = drawn(draft, exercise, {}, np.random.default_rng([seed, k]), spread)
            verdict = judge(exercise.record(of, own, student=f"student {k}", way="paper"))
            off = [line.step for line in verdict.lines if line.verdict == "off" and ":" not in line.step]
            drafts += 1
            faulted += bool(off)
            where.update(f"{id} {step}" for step in off)
    return drafts, faulted, where


def unasked(count: int, *, spread: float, seed: int = 4, id: str = "03c"):
    """(drafts, step found, slip named, one line blamed) where only lengths were taken and no points."""
    exercise = exercises()[id]
    asked = {a.name for a in exercise.steps()}
    dice = np.random.default_rng(seed)
    drafts = step = slip = alone = 0
    for k in range(count):
        of, draft = sample(exercise, f"student {k}")
        hidden = [s for s in draft if s.op in ("go", "along") and s.name not in asked]
        wrong = hidden[dice.integers(len(hidden))]
        choices = [
            c
            for c in slips(wrong.name, draft, exercise, exercise.numbers(of))
            if tells(wrong.value, c[1], 0.5)
        ]
        code, value = choices[dice.integers(len(choices))]
        try:
            other = draft.replay(points={wrong.name: value})
        except PatternError:
            continue
        if not any(abs(other[n] - draft[n]) > 0.7 for n in asked):
            continue
        own = {n: other[n] + (dice.normal(0, spread) if spread else 0.0) for n in asked}
        record = exercise.record(of, own, student=f"student {k}", way="paper")
        off = [line for line in judge(record).lines if line.verdict == "off"]
        drafts += 1
        step += any(line.at == wrong.name for line in off)
        slip += any(line.at == wrong.name and line.slip == code for line in off)
        alone += len(off) == 1
    return drafts, step, slip, alone


def main(count: int) -> None:
    begun = time.time()
    for spread in (0.0, NOISE):
        table = single(count, spread=spread)
        print(f"one slip, spread of the hand {spread:g} cm")
        print(f"{'exercise':10}{'drafts':>8}{'step':>8}{'slip':>8}{'or alike':>10}")
        for id, t in table.items():
            if t.drafts:
                shares = (t.blamed / t.drafts, t.named / t.drafts, (t.named + t.alike) / t.drafts)
                print(
                    f"{id:10}{t.drafts:8}" + "".join(f"{s:8.1%}" for s in shares[:2]) + f"{shares[2]:10.1%}"
                )
        n = sum(t.drafts for t in table.values())
        print(
            f"{'all':10}{n:8}{sum(t.blamed for t in table.values()) / n:8.1%}"
            f"{sum(t.named for t in table.values()) / n:8.1%}"
            f"{sum(t.named + t.alike for t in table.values()) / n:10.1%}"
        )
        misses = sum((t.misses for t in table.values()), Counter())
        for what, often in misses.most_common(25):
            print(f"    {often:4} {what}")
    for spread in (0.0, NOISE):
        drafts, right, misses = double(count, spread=spread)
        print(f"two slips, spread {spread:g} cm: both steps in {right / drafts:.1%} of {drafts}")
        print(*(f"    {what}" for what in misses), sep="\n")
    for spread in (0.0, NOISE):
        drafts, step, slip, alone = unasked(4 * count, spread=spread)
        print(
            f"lengths alone, slip at a step not asked, spread {spread:g} cm: step {step / drafts:.1%}, "
            f"slip {slip / drafts:.1%}, one line blamed {alone / drafts:.1%} of {drafts}"
        )
    drafts, faulted, where = faultless(2 * count)
    print(f"no slip, spread {NOISE:g} cm: {faulted / drafts:.2%} of {drafts} drafts wrongly faulted")
    print("   ", where.most_common(8))
    print(f"{time.time() - begun:.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40)
