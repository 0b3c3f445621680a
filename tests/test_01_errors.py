"""Errors: one family, caught also as the built-in they are, whole after pickling and copying, sentences."""

import copy
import math
import pickle

import pytest

from patternlib.errors import GeometryError, PatternError, UnknownName, ValueAtFault, unknown
from patternlib.geometry import Point, arc, line

ALL = [
    ValueAtFault("skirt_length", 620, "must lie between 35 and 110 cm", "Were these millimetres?"),
    ValueAtFault("waist_girth", 71.5, "is below 40 cm"),
    ValueAtFault("flare", 25.0, "leans out too far", "Take 20 cm or less.", instead={"flare": 20.0}),
    GeometryError("two lines do not meet: change the direction of one."),
    unknown("edge", "hemm", ["hem", "side"]),
]


@pytest.mark.parametrize(
    ("kind", "built_in"),
    [(ValueAtFault, ValueError), (GeometryError, ArithmeticError), (UnknownName, KeyError)],
)
def test_each_error_is_ours_and_a_built_in(kind, built_in):
    assert issubclass(kind, PatternError)
    assert issubclass(kind, built_in)
    assert issubclass(PatternError, Exception)


@pytest.mark.parametrize("error", ALL, ids=lambda e: type(e).__name__)
@pytest.mark.parametrize("again", [lambda e: pickle.loads(pickle.dumps(e)), copy.copy, copy.deepcopy])
def test_pickled_or_copied_it_is_the_same(error, again):
    other = again(error)
    assert type(other) is type(error)
    assert str(other) == str(error)
    assert vars(other) == vars(error)


@pytest.mark.parametrize("error", ALL, ids=lambda e: type(e).__name__)
def test_texts_are_sentences(error):
    text = str(error)
    assert text[-1] in ".?"
    assert "  " not in text and ".." not in text
    assert not text.startswith(("'", '"'))  # KeyError alone would quote it


def test_value_at_fault_says_name_value_rule_and_advice():
    error = ALL[0]
    assert (error.name, error.got) == ("skirt_length", 620)
    assert (error.rule, error.advice) == ("must lie between 35 and 110 cm", "Were these millimetres?")
    assert str(error) == "skirt_length: 620 must lie between 35 and 110 cm. Were these millimetres?"
    assert str(ALL[1]) == "waist_girth: 71.5 is below 40 cm."
    assert "0.3 is" in str(ValueAtFault("x", 0.1 + 0.2, "is below 40 cm"))  # no 0.30000000000000004


def test_unknown_names_the_near_ones_or_all():
    assert "'hem'" in str(ALL[4]) and "side" not in str(ALL[4])
    far = str(unknown("edge", "zzzz", ["hem", "side"]))
    assert "hem" in far and "side" in far
    with pytest.raises(KeyError, match="hemm"):
        raise ALL[4]


@pytest.mark.parametrize(
    "call",
    [
        lambda: line(Point(0, 0), Point(10, 0)).at(11),
        lambda: Point(1, 1).toward(Point(1, 1), 3),
        lambda: arc(Point(0, 0), 0, 0, 90),
        lambda: line(Point(0, 0), Point(math.nan, 0)),
    ],
)
def test_a_refusal_of_the_geometry_tells_the_next_move(call):
    with pytest.raises(GeometryError) as caught:
        call()
    assert ":" in str(caught.value) or ";" in str(caught.value)


def test_a_notebook_shows_the_sentence_and_no_lines_of_code(capsys):
    from IPython.core.interactiveshell import InteractiveShell

    shell = InteractiveShell()
    shell.run_cell("from patternlib import make; make('pinafore', '12', skirt_length=620)")
    shown = capsys.readouterr().out
    assert shown.startswith("skirt_length: 620 must lie") and "Traceback" not in shown and "--->" not in shown
    shell.run_cell("1 / 0")
    assert "Traceback" in capsys.readouterr().out, "other errors keep their lines"
