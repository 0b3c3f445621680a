"""How many styles sampled over their stated ranges are drawn, and how far the refusals lead.

Simulated measured people (tests/bodies.py), one style each, every style value anywhere in its range: that of
every body, and in a second run that of this body and of the values chosen so far. A refusal is followed as a
learner would: the numbers in its sentence are put in, and nothing else. A sentence leads on when it names a
style value and a number within its range; three sentences must be enough.

Run it: python -m tests.style_benchmark [people] [garment ...]
"""

from __future__ import annotations

import re
import sys
import time
from collections import Counter

import numpy as np

from patternlib import PatternError, ValueAtFault, make, style_values
from patternlib.garments import garment_names
from patternlib.garments.base import read_style
from tests.bodies import simulated

SENTENCES = 3


def sampled(garment: str, body, dice, *, own: bool = True) -> dict[str, float]:
    """One style: each value anywhere in its range, whole where it is a count.

    own: the range for this body and the values chosen so far; otherwise the range for every body.
    """
    style: dict[str, float] = {}
    values = style_values(garment)
    for value in values:
        low, high = value.range_for(body, read_style(values, style, body)) if own else (value.low, value.high)
        number = float(dice.uniform(low, high))
        style[value.name] = number if value.unit else float(round(number))
    return style


def advised(garment: str, fault: ValueAtFault) -> dict[str, float]:
    """The style values that the sentence names with a number, {} where there are none in their range.

    The first number after "Take" belongs to the value at fault; every other stands behind a name.
    """
    known = {value.name: value for value in style_values(garment)}
    found = {}
    if first := re.match(r"Take (\d+(?:\.\d+)?)\b", fault.advice):
        found[fault.name] = float(first[1])
    for name, number in re.findall(r"(\w+) (\d+(?:\.\d+)?)\b", fault.advice):
        if name in known:
            found[name] = float(number)
    legal = all(name in known and known[name].low <= n <= known[name].high for name, n in found.items())
    return found if legal else {}


def followed(garment: str, body, style: dict[str, float]) -> tuple[int, list[str]]:
    """(sentences followed, the refusals): the last one stands where they led to no draft."""
    said: list[str] = []
    style = dict(style)
    for sentence in range(SENTENCES + 1):
        try:
            make(garment, body, **style)
        except ValueAtFault as fault:
            said.append(f"{fault}")
            change = advised(garment, fault)
            if not change:
                return -1, said
            style |= change
        except PatternError as fault:
            return -1, [*said, f"{type(fault).__name__}: {fault}"]
        else:
            return sentence, said
    return -1, said


def kind(text: str) -> str:
    """A sentence without its numbers."""
    return re.sub(r"-?\d+(\.\d+)?", "#", text)


def run(garment: str, count: int, *, own: bool, seed: int = 11) -> tuple[Counter, Counter, list]:
    """(by sentences followed, kinds of the first refusal, those that did not lead to a draft)."""
    dice = np.random.default_rng([seed, count])
    women = round(count * 4 / 7)
    people = [*simulated(women, seed=seed), *simulated(count - women, "men", seed=seed)]
    by, kinds, stuck = Counter(), Counter(), []
    for k, body in enumerate(people):
        style = sampled(garment, body, dice, own=own)
        steps, said = followed(garment, body, style)
        by[steps] += 1
        if said:
            kinds[kind(said[0].split(". ")[0])] += 1
        if steps < 0:
            stuck.append((k, said))
    return by, kinds, stuck


def main(count: int, garments: tuple[str, ...]) -> None:
    for garment in garments:
        for own in (False, True):
            begun = time.time()
            by, kinds, stuck = run(garment, count, own=own)
            refused = count - by[0]
            words = "ranges for the body" if own else "whole ranges"
            led = [by[n] for n in range(1, SENTENCES + 1)]
            print(
                f"{garment}, {words}: {by[0]} drawn, {refused} refused; "
                f"{sum(led)} led to a draft within {SENTENCES} sentences {led}; {time.time() - begun:.0f} s"
            )
            for text, often in kinds.most_common(12):
                print(f"    {often:4} {text}")
            for k, said in stuck[:8]:
                print(f"    stuck, person {k}:", *said, sep="\n        ")


if __name__ == "__main__":
    numbers = [a for a in sys.argv[1:] if a.isdigit()]
    names = tuple(a for a in sys.argv[1:] if not a.isdigit())
    main(int(numbers[0]) if numbers else 150, names or garment_names())
