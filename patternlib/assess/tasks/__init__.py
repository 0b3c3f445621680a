"""The exercises of the course, a module a topic."""

from . import bodice, cutting, darts, lines, measuring, plans, skirt, walking

ALL = tuple(
    exercise
    for topic in (measuring, skirt, bodice, darts, lines, plans, cutting, walking)
    for exercise in topic.EXERCISES
)
