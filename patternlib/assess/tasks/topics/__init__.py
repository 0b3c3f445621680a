"""The exercises of the course, a module a topic, with the mistakes that are commonly made in them."""

from dataclasses import replace

from . import (
    bodice,
    cloth,
    cutting,
    darts,
    lines,
    measuring,
    mistakes_in_blocks,
    mistakes_in_pieces,
    mistakes_in_plans,
    paper,
    plans,
    sizes,
    skirt,
    walking,
)

MISTAKES = mistakes_in_blocks.MISTAKES | mistakes_in_plans.MISTAKES | mistakes_in_pieces.MISTAKES

ALL = tuple(
    replace(exercise, mistakes=MISTAKES.get(exercise.id, ()))
    for topic in (measuring, skirt, bodice, darts, lines, plans, cutting, walking, sizes, cloth, paper)
    for exercise in topic.EXERCISES
)
