"""Judging students' drafts: exercises, hand-in records, verdicts with slips by name, feedback."""

from .exercise import Asked, Exercise, exercise, exercises
from .feedback import Feedback, check
from .judge import judge
from .line import Line, Verdict
from .record import MIME, Record, RecordError, read
from .rubric import Rubric, load_rubric
from .variant import Variant, variant
from .vocabulary import Sheet, begin

__all__ = [
    "MIME",
    "Asked",
    "Exercise",
    "Feedback",
    "Line",
    "Record",
    "RecordError",
    "Rubric",
    "Sheet",
    "Variant",
    "Verdict",
    "begin",
    "check",
    "exercise",
    "exercises",
    "judge",
    "load_rubric",
    "read",
    "variant",
]
