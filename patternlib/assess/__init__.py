"""Judging students' drafts: exercises, hand-in records, verdicts with slips by name, feedback."""

from .exercise import Asked, Exercise, exercise, exercises
from .judge import judge
from .line import Line, Verdict
from .record import MIME, Record, RecordError, read
from .rubric import Rubric, load_rubric
from .variant import Variant, variant

__all__ = [
    "MIME",
    "Asked",
    "Exercise",
    "Line",
    "Record",
    "RecordError",
    "Rubric",
    "Variant",
    "Verdict",
    "exercise",
    "exercises",
    "judge",
    "load_rubric",
    "read",
    "variant",
]
