"""Judging students' drafts: exercises, hand-in records, verdicts with slips by name, feedback."""

from .answers.feedback import Feedback, compare_with_rule
from .answers.paper_form import measured
from .answers.sheet import Sheet, begin
from .judging.judgement import judge
from .judging.rubric import Rubric, load_rubric
from .judging.verdict import Line, Verdict
from .learner.opening import name_card
from .own.library import own_exercises
from .practice.opening import find_the_slip
from .sent_photographs.waiting import tap_photographs
from .showing.opening import pocket_table, section_table, solution_table
from .table.opening import drafting_table
from .tasks.catalogue import add_exercises, exercise, exercises
from .tasks.exercise import Asked, Exercise
from .tasks.own_numbers import OwnNumbers, numbers_for
from .tasks.record import MIME, Record, RecordError, read

add_exercises(own_exercises)

__all__ = [
    "MIME",
    "Asked",
    "Exercise",
    "Feedback",
    "Line",
    "OwnNumbers",
    "Record",
    "RecordError",
    "Rubric",
    "Sheet",
    "Verdict",
    "begin",
    "compare_with_rule",
    "drafting_table",
    "exercise",
    "exercises",
    "find_the_slip",
    "judge",
    "load_rubric",
    "measured",
    "name_card",
    "numbers_for",
    "pocket_table",
    "read",
    "section_table",
    "solution_table",
    "tap_photographs",
]
