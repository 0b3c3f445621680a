"""Plausible bodies for every test: the one place where they are made up.

`simulated` draws whole people, every measure taken, from the means, spreads and correlations of the US
Army survey 1987-88 [NATICK/TR-89/044, 2,208 women and 1,774 men], each measure held between the smallest
and the largest of the survey. `girths_only` gives the same people with nothing measured but bust, waist,
hip and height. `corners` are hard cases by name. `plausible` is a strategy for hypothesis.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import numpy as np
from hypothesis import strategies as st

import patternlib.body
from patternlib.body import SEXES, Body, chart, measures

SURVEY = Path(patternlib.body.__file__).parent / "data" / "survey_summary.json"


@cache
def survey() -> dict:
    """The summary figures of the survey, as carried in the package."""
    return json.loads(SURVEY.read_text(encoding="utf-8"))


def people(n: int, sex: str = "women", *, seed: int = 1) -> list[dict[str, float]]:
    """n people as rows of the survey (its own names, cm), drawn from a multivariate normal distribution."""
    group, dice = survey()[sex], np.random.default_rng([seed, SEXES.index(sex)])
    sd = np.array(group["sd"])
    covariance = np.array(group["correlation"]) * np.outer(sd, sd)
    # rounding to three places can leave a tiny negative eigenvalue, so there is no check
    drawn = dice.multivariate_normal(group["mean"], covariance, size=n, check_valid="ignore", method="eigh")
    drawn = np.clip(drawn, group["min"], group["max"]).round(1)
    return [dict(zip(group["measures"], map(float, row), strict=True)) for row in drawn]


def simulated(n: int, sex: str = "women", *, seed: int = 1) -> list[Body]:
    """n bodies with every measure given, as of people who were measured."""
    dice = np.random.default_rng([seed, 99])
    made = []
    for person in people(n, sex, seed=seed):
        taken = {m.name: person[m.survey] for m in measures().values() if m.survey}
        # not in the survey: the chest, about 2 cm less than the back (common practice, no source);
        # waist to knee, as the difference of the heights of nape and knee less the back waist length
        taken["chest_width"] = round(taken["back_width"] - 2 + float(np.clip(dice.normal(), -2, 2)), 1)
        taken["waist_to_knee"] = max(
            person["cervicale_h"] - person["back_waist_nat_len"] - person["knee_h"], 40
        )
        made.append(Body(**taken, sex=sex))
    return made


def girths_only(n: int, sex: str = "women", *, seed: int = 1) -> list[Body]:
    """The people of `simulated` with bust, waist, hip and height measured and the rest estimated."""
    kept = ("bust_girth", "waist_girth", "hip_girth", "height", "sex")
    return [Body(**{name: getattr(body, name) for name in kept}) for body in simulated(n, sex, seed=seed)]


def corners() -> dict[str, Body]:
    """Hard cases by name: the ends of the survey and bodies well outside it (invented, within the ranges)."""
    girths = {
        "small": (71.1, 56.8, 78.7, 142.8, "women"),  # smallest women of the survey, in each measure
        "large": (117.6, 98.7, 118.9, 187.0, "women"),  # largest
        "small man": (77.5, 64.7, 80.5, 149.7, "men"),
        "large man": (128.1, 112.2, 123.9, 204.2, "men"),
        "hip 41 over waist": (92, 70, 111, 165, "women"),
        "hip 8 over waist": (92, 88, 96, 165, "women"),
        "waist over hip": (104, 104, 99, 175, "men"),
        "waist far over hip": (125, 138, 120, 172, "men"),
        "waist over bust": (100, 108, 112, 160, "women"),
        "full bust": (120, 75, 98, 165, "women"),
        "very large": (150, 145, 160, 165, "women"),
        "very large man": (150, 155, 150, 180, "men"),
        "short and large": (140, 130, 145, 145, "women"),
        "tall and slight": (76, 58, 82, 190, "women"),
    }
    names = ("bust_girth", "waist_girth", "hip_girth", "height", "sex")
    return {case: Body(**dict(zip(names, values, strict=True))) for case, values in girths.items()}


def charted() -> list[Body]:
    """Every size of the course's charts."""
    return [chart(name).body(size) for name in ("course", "course-men") for size in chart(name).sizes]


@st.composite
def plausible(draw) -> Body:
    """A strategy: bodies of either group around the survey and beyond it, at times with lengths measured."""
    sex = draw(st.sampled_from(SEXES))
    bust = draw(st.floats(70, 150).map(lambda v: round(v, 1)))
    waist = round(bust * draw(st.floats(0.66, 1.08)), 1)
    hip = round(min(max(waist + draw(st.floats(-8, 41)), 70), 180), 1)
    body = Body(
        bust_girth=bust, waist_girth=waist, hip_girth=hip, height=draw(st.integers(142, 204)), sex=sex
    )
    lengths = ("back_waist_length", "front_waist_length", "shoulder_length", "waist_to_hip", "arm_length")
    taken = draw(st.sets(st.sampled_from(lengths), max_size=3))
    return body.replace(
        **{n: round(getattr(body, n) * draw(st.floats(0.93, 1.07)), 1) for n in sorted(taken)}
    )
