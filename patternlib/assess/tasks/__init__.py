"""The exercises of the course, a module a topic."""

from . import skirt

ALL = (*skirt.EXERCISES,)
