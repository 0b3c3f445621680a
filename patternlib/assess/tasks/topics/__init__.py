"""The exercises of the course, a module a topic."""

from . import bodice, cloth, cutting, darts, lines, measuring, paper, plans, sizes, skirt, walking

ALL = tuple(
    exercise
    for topic in (measuring, skirt, bodice, darts, lines, plans, cutting, walking, sizes, cloth, paper)
    for exercise in topic.EXERCISES
)
