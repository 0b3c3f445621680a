"""Lengths: what people write is read, what is written is read again, all else is refused in a sentence.

Factors: 1 in = 25.4 mm exactly [NIST Special Publication 811, appendix B.8]. Pairs of inches and cm
such as 3/8 in = 0.95 cm follow from it. Page units: 72 points to the inch [ISO 32000-1, from memory].
"""

import json
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternlib.errors import PatternError, UnknownName, ValueAtFault
from patternlib.units import CM_PER_INCH, MM_PER_CM, POINTS_PER_MM, UNITS, in_unit, read_length, write_length

SPELLINGS = json.loads((Path(__file__).parent / "data" / "length_spellings.json").read_text(encoding="utf-8"))
"""[text, unit of a bare number, cm or why it is refused]; the page's reader is held to the same table."""


@pytest.mark.parametrize(("text", "unit", "meant"), SPELLINGS)
def test_reads_what_people_write_and_refuses_the_rest_in_a_sentence(text, unit, meant):
    if isinstance(meant, str):
        with pytest.raises(ValueAtFault) as fault:
            read_length(text, unit, name="yoke_depth")
        said = str(fault.value)
        assert meant in said and said.startswith("yoke_depth: ") and said.endswith(".") and len(said) < 200
    else:
        assert read_length(text, unit) == pytest.approx(meant, abs=1e-9)


@pytest.mark.parametrize("number", [62, 62.5, 0, -3])
def test_a_number_is_in_cm(number):
    assert read_length(number) == number


@pytest.mark.parametrize(("unit", "cm"), [("cm", 24.5), ("mm", 2.45), ("in", 62.23)])
def test_a_bare_number_takes_the_unit_asked_for_and_a_written_unit_goes_first(unit, cm):
    assert read_length("24.5", unit) == read_length(24.5, unit) == pytest.approx(cm)
    assert read_length("62 cm", unit) == 62


@pytest.mark.parametrize(
    "wrong",
    [
        "6" * 500,
        "__import__('os')",
        None,
        True,
        [62],
        math.nan,
        math.inf,
        -math.inf,
        3j,
        b"62",
    ],
)
def test_refuses_everything_else_in_a_sentence(wrong):
    with pytest.raises(ValueAtFault) as fault:
        read_length(wrong, name="yoke_depth")
    text = str(fault.value)
    assert text.startswith("yoke_depth: ") and text.endswith(".") and len(text) < 200


def test_unknown_units_name_the_known_ones():
    for call in (lambda: read_length(3, "inch"), lambda: write_length(3, "yards")):
        with pytest.raises(UnknownName) as fault:
            call()
        assert "in" in str(fault.value)


@pytest.mark.parametrize("text", ["1 " * 100_000, "1" * 1_000_000, "1 1/" * 50_000])
def test_a_very_long_text_is_refused_without_being_searched(text):
    with pytest.raises(ValueAtFault, match="is not a length"):
        read_length(text)


@pytest.mark.parametrize(
    ("cm", "options", "text"),
    [
        (62.0, {}, "62 cm"),
        (62.25, {}, "62.3 cm"),
        (62.25, {"decimals": 2}, "62.25 cm"),
        (0, {}, "0 cm"),
        (-0.01, {}, "0 cm"),
        (-1.5, {}, "-1.5 cm"),
        (100, {}, "100 cm"),
        (62.04, {"unit": "mm"}, "620 mm"),
        (100, {"unit": "mm"}, "1000 mm"),
        (62.23, {"unit": "in"}, "24 1/2 in"),
        (2.54, {"unit": "in"}, "1 in"),
        (0.9525, {"unit": "in"}, "3/8 in"),
        (-0.635, {"unit": "in"}, "-1/4 in"),
        (0, {"unit": "in"}, "0 in"),
        (2.54 * 15.99, {"unit": "in"}, "16 in"),
        (2.54 * 3 / 16, {"unit": "in"}, "3/16 in"),
        (2.54 * 3 / 16, {"unit": "in", "parts": 8}, "1/4 in"),
        (2.25, {"unit": "mm", "decimals": 1}, "22.5 mm"),
    ],
)
def test_writes_for_a_reader(cm, options, text):
    assert write_length(cm, **options) == text


@settings(max_examples=300, deadline=None)
@given(
    cm=st.floats(-500, 500),
    unit=st.sampled_from(UNITS),
    decimals=st.sampled_from([None, 0, 1, 2]),
    parts=st.sampled_from([8, 16]),
)
def test_what_is_written_is_read_again_within_half_a_step(cm, unit, decimals, parts):
    text = write_length(cm, unit, decimals=decimals, parts=parts)
    step = {
        "in": CM_PER_INCH / parts,
        "cm": 10 ** -(1 if decimals is None else decimals),
        "mm": 0.1 * 10 ** -(decimals or 0),
    }[unit]
    again = read_length(text)
    assert abs(again - cm) <= step / 2 + 1e-6
    assert write_length(again, unit, decimals=decimals, parts=parts) == text


@settings(max_examples=300, deadline=None)
@given(st.text(alphabet="0123456789 .,/-+'\"½cmint⁄", max_size=14))
def test_any_text_is_read_or_refused(text):
    try:
        assert math.isfinite(read_length(text))
    except PatternError as fault:
        assert str(fault)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("Take 5.08 cm off, 3 degrees.", "Take 2 in off, 3 degrees."),
        ("between 2.54 and 25.4 cm", "between 1 and 10 in"),
        ("from 2.54 to 5 cm", "from 1 to 1 15/16 in"),
        ("Take 11.6 cm or less.", "Take 4 1/2 in or less."),  # 4 9/16 in would be more than is allowed
        ("Take 14.9 cm or more, or a lower rise.", "Take 5 7/8 in or more, or a lower rise."),
        ("Take 14.95 cm or more.", "Take 6 in or more."),
        ("Take 5.08 cm or less, 2.54 cm or more.", "Take 2 in or less, 1 in or more."),
        ("it is 0.05 cm too short", "it is under 1/16 in too short"),
        ("0 cm apart", "0 in apart"),
        ("a 2.5 cm hem and 12 cmx", "a 1 in hem and 12 cmx"),
        ("7 of 20 are estimated", "7 of 20 are estimated"),
    ],
)
def test_lengths_in_a_text_are_turned_into_inches_and_advice_is_never_too_large(text, inches):
    """2.54 cm are one inch [NIST SP 811]; a limit is rounded to the side that is allowed."""
    assert in_unit(text, "in") == inches
    assert in_unit(text, "cm") == text


@pytest.mark.parametrize("options", [{"decimals": 3}, {"parts": 10}])
def test_refuses_steps_no_tape_has(options):
    with pytest.raises(ValueAtFault):
        write_length(3, "in", **options)


@pytest.mark.parametrize("cm", [math.nan, math.inf, "62", None, True])
def test_writes_only_finite_numbers(cm):
    with pytest.raises(ValueAtFault):
        write_length(cm)


def test_factors():
    assert CM_PER_INCH == 2.54 and MM_PER_CM == 10
    assert pytest.approx(72) == POINTS_PER_MM * 25.4
    assert pytest.approx(595.276, abs=1e-3) == POINTS_PER_MM * 210  # an A4 page is 595 points wide [ISO 216]
