"""The exercises of the course, a module a topic, with the mistakes that are commonly made in them."""

from dataclasses import replace

from . import (
    bodice,
    cloth,
    cutting,
    darts,
    fitting,
    lines,
    measuring,
    paper,
    plans,
    sizes,
    skirt,
    walking,
    workwear,
)
from .mistakes_listed import MISTAKES

_TOPICS = (
    measuring, skirt, bodice, darts, lines, plans, cutting, walking, sizes, cloth, paper, fitting, workwear,
)  # fmt: skip
ALL = tuple(
    replace(exercise, mistakes=MISTAKES.get(exercise.id, ()))
    for topic in _TOPICS
    for exercise in topic.EXERCISES
)
