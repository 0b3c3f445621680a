"""The form for a body's measures: the tape on a figure, two readings, doubts, a file of one's own."""

from .form import measuring_form as measuring_form
