"""Judging one record: each step on the student's own earlier steps, and slips by name."""
