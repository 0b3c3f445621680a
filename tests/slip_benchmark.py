"""How often the judge blames the right step and names the right slip, on drafts with slips put in at random.

The slips are made here with plain arithmetic on points and lengths, apart from the judge's own: a student's
misreading of a measure, a wrong start, a wrong way. Run it: python tests/slip_benchmark.py [variants]
"""

from __future__ import annotations

import math
import sys
import time
from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from patternlib.assess import exercises, judge
from patternlib.errors import PatternError
from patternlib.geometry import Curve, Move, Point, line

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


# -- slips, made independently


def _measure_slips(step, draft, exercise, numbers):
    """(name of the slip, wrong measure) for a step whose measure is read or reckoned."""
    if step.op == "sum":
        parts = [(n, f, draft[n]) for n, f in zip(step.inputs, step.options["factors"], strict=True)]
        m = step.value
    else:
        terms = exercise.terms.get(step.name, {})
        parts = [(n, f, numbers[n]) for n, f in terms.items()]
        m = draft[step.measured_by] if step.measured_by else step.measure
        if parts and abs(sum(f * v for _, f, v in parts) - m) > 1e-6:
            parts = []
    found = []
    for name, f, v in parts:
        is_ease = "ease" in name
        if abs(f) == 0.25 and not is_ease:
            found += [
                ("quarter-forgotten", m + 0.75 * v * np.sign(f)),
                ("half-for-quarter", m + 0.25 * v * np.sign(f)),
            ]
        if abs(f) == 0.5 and not is_ease:
            found += [
                ("half-forgotten", m + 0.5 * v * np.sign(f)),
                ("quarter-for-half", m - 0.25 * v * np.sign(f)),
            ]
        if is_ease:
            found += [("ease-forgotten", m - f * v), ("ease-twice", m + f * v)]
        if "allowance" in name:
            found += [("allowance-forgotten", m - f * v)]
        swap = {
            "hip_girth": "waist_girth",
            "waist_girth": "hip_girth",
            "yoke_depth": "yoke_side_depth",
            "back_waist_length": "front_waist_length",
            "bib_top": "bib_height",
            "pocket_length": "pocket_width",
        }
        key = name.replace(" ", "_")
        if key in swap and swap[key] in numbers:
            found.append(("neighbour-measure", m + f * (numbers[swap[key]] - v)))
    if "angle" not in step.name and step.op != "share":
        found += [
            ("inches-as-cm", m / 2.54),
            ("cm-as-inches", m * 2.54),
            ("ruler-mark", m + 1),
            ("ruler-mark", m - 1),
            ("ruler-mark", m + 10),
            ("ruler-mark", m - 10),
        ]
        digits = f"{m:.1f}"
        if m >= 10 and digits[0] != digits[1]:
            found.append(("digits-swapped", float(digits[1] + digits[0] + digits[2:])))
        if exercise.allowance:
            found += [
                ("allowance-added", m + exercise.allowance),
                ("allowance-forgotten", m - exercise.allowance),
            ]
    return found


def _others(name, exercise, draft):
    """Points that are on the paper before a step."""
    before = set()
    for step in draft:
        if step.name == name:
            break
        before.add(step.name)
    known = [*exercise.given(draft), *(a.name for a in exercise.steps())]
    return [n for n in dict.fromkeys(known) if n in before and isinstance(draft[n], Point)]


def slips(name, draft, exercise, numbers):
    """(name of the slip, wrong value) for one asked step."""
    step = draft.step(name)
    value = step.value
    found = []
    if step.op in ("go", "along", "on", "given", "sum") and (step.measure is not None or step.measured_by):
        right = draft[step.measured_by] if step.measured_by else step.measure
        if step.op == "sum":
            right = step.value
        for code, wrong in _measure_slips(step, draft, exercise, numbers):
            if step.op in ("given", "sum"):
                found.append((code, wrong))
            elif step.op == "on":
                curve = draft[step.inputs[0]]
                at = curve.length - wrong if step.options.get("from_end") else wrong
                if 0 < at < curve.length:
                    found.append((code, curve.at(at)))
            else:
                start = draft[step.inputs[0]]
                found.append((code, start + (value - start) * (wrong / right)))
    if step.op == "go":
        start = draft[step.inputs[0]]
        way = step.options["way"]
        found.append(
            ("wrong-side" if way in ("left", "right") else "wrong-direction", start - (value - start))
        )
        found.append(("not-moved", start))
        for other in _others(name, exercise, draft):
            if other != step.inputs[0]:
                found.append(("wrong-landmark", value + (draft[other] - start)))
    if step.op == "along":
        start, toward = (draft[n] for n in step.inputs[:2])
        found.append(("wrong-direction", start - (value - start)))
        found.append(("wrong-end", toward + (start - toward).unit() * start.distance(value)))
        flat = Point(math.copysign(1, toward.x - start.x), 0)
        up = Point(0, math.copysign(1, toward.y - start.y))
        way = max(flat, up, key=lambda u: u.dot((toward - start).unit()))
        found.append(("square-not-slope", start + way * start.distance(value)))
    if step.op == "on":
        curve = draft[step.inputs[0]]
        walked = curve.closest(value)[0]
        found.append(("wrong-end", curve.at(curve.length - walked)))
        a, b = (curve.end, curve.start) if step.options.get("from_end") else (curve.start, curve.end)
        found.append(("chord-not-curve", a.toward(b, abs(curve.closest(a)[0] - walked))))
    if step.op == "level":
        a, b = (draft[n] for n in step.inputs)
        found.append(("levels-exchanged", Point(a.x, b.y)))
    if step.op == "turn" and isinstance(value, Point):
        start, pin = (draft[n] for n in step.inputs[:2])
        turn = draft[step.measured_by] if step.measured_by else step.measure
        found += [
            ("turned-other-way", Move.turn(pin, -turn)(start)),
            ("not-moved", start),
            ("halved", Move.turn(pin, turn / 2)(start)),
        ]
    if step.op in ("mirror", "lay") and isinstance(value, Point):
        found.append(("not-moved", draft[step.inputs[0]]))
    if step.op == "square":
        corner = draft[step.inputs[0]]
        found.append(("wrong-side", corner - (value - corner)))
    if step.op == "dart point":
        leg, leg2 = (draft[n] for n in step.inputs[:2])
        middle = leg.middle(leg2)
        found.append(("dart-legs-unequal", Point(leg2.x, value.y)))
        found.append(
            ("wrong-direction", Point(middle.x - (value.x - middle.x), 2 * draft[step.inputs[2]].y - value.y))
        )
    if step.op == "middle":
        a, b = (draft[n] for n in step.inputs)
        found.append(("halved", a + (b - a) * 0.25))
    if step.op in ("curve", "parallel") and not value.is_straight:
        found.append(("straight-for-curve", line(value.start, value.end)))
    if step.op == "curve":
        fold = Move.mirror(value.start, value.end)
        over = Curve(tuple(tuple(complex(*fold(Point(z.real, z.imag))) for z in s) for s in value.segments))
        found.append(("bulges-other-way", over))
    if step.op == "length":
        curve = draft[step.inputs[0]]
        if not curve.is_straight:
            found.append(("chord-not-curve", curve.start.distance(curve.end)))
    if step.op in ("length", "distance"):
        found += [
            ("inches-as-cm", value / 2.54),
            ("cm-as-inches", value * 2.54),
            ("ruler-mark", value + 1),
            ("ruler-mark", value - 10),
        ]
    return found


def no_known_slip(value, dice):
    """A mark that is off for no reason that has a name."""
    if isinstance(value, Point):
        return value + Point(*(dice.uniform(0.7, 9.0, 2) * dice.choice([-1, 1], 2)))
    if isinstance(value, Curve):
        return value.moved(Move.shift(*(dice.uniform(0.9, 4.0, 2) * dice.choice([-1, 1], 2))))
    return value + dice.uniform(1.2, 8.0) * dice.choice([-1, 1])


def tells(value, wrong, allowed: float) -> bool:
    """Whether a slip moves its step far enough to be seen at all."""
    from patternlib.assess.deviation import gap

    try:
        return gap(wrong, value).distance > 2 * allowed and gap(wrong, value).distance < 500
    except PatternError:
        return False


# -- drafts


def drawn(draft, exercise, wrong, dice, spread):
    """(own values of the asked steps, slips put in): the asked steps done one after another, each on the last.

    wrong: {step: code of its slip, None for any}; spread: of the hand, cm.
    """
    from patternlib.assess.rework import Rework

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
                if tells(value, s[1], 4 * _allowed(asked) if isinstance(value, Curve) else _allowed(asked))
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


def _allowed(asked):
    return asked.tolerance or {"point": 0.2, "curve": 0.3, "number": 0.15}[asked.kind]


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
    of = exercise.variant(student)
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
            off = [line for line in verdict.lines if line.verdict == "off"]
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


def _same(a, b):
    from patternlib.assess.deviation import gap

    return gap(a, b).distance < 0.01


def double(count: int, *, spread: float, seed: int = 2):
    """(drafts, both steps blamed and no other)."""
    drafts = right = 0
    for exercise in exercises().values():
        for k in range(count):
            found = one(exercise, f"student {k}", seed * 1000 + k, number=2, spread=spread)
            if found is None:
                continue
            verdict, made = found
            drafts += 1
            right += {line.step for line in verdict.lines if line.verdict == "off"} == {m[0] for m in made}
    return drafts, right


def faultless(count: int, *, spread: float = NOISE, seed: int = 3):
    """(drafts, wrongly faulted, the steps that were)."""
    drafts = faulted = 0
    where = Counter()
    for id, exercise in exercises().items():
        for k in range(count):
            of, draft = sample(exercise, f"student {k}")
            own, _ = drawn(draft, exercise, {}, np.random.default_rng([seed, k]), spread)
            verdict = judge(exercise.record(of, own, student=f"student {k}", way="paper"))
            off = [line.step for line in verdict.lines if line.verdict == "off" and ":" not in line.step]
            drafts += 1
            faulted += bool(off)
            where.update(f"{id} {step}" for step in off)
    return drafts, faulted, where


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
        drafts, right = double(count, spread=spread)
        print(f"two slips, spread {spread:g} cm: both steps in {right / drafts:.1%} of {drafts}")
    drafts, faulted, where = faultless(2 * count)
    print(
        f"no slip, spread {NOISE:g} cm: {faulted / drafts:.2%} of {drafts} drafts wrongly faulted {where.most_common(8)}"
    )
    print(f"{time.time() - begun:.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40)
