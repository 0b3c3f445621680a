"""Exercises of a teacher's own: a folder beside the course, a plain file for each, read like the course's."""
