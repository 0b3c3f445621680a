"""The pictures kept in the repository are those that the code draws now."""

from __future__ import annotations

import re

import pytest

from tests.make_pictures import PICTURES, pictures

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@pytest.mark.parametrize("name", pictures())
def test_picture_is_up_to_date(name):
    """Same items, numbers within 0.1 px (run tests/make_pictures.py to renew them)."""
    drawn, kept = pictures()[name], (PICTURES / name).read_text(encoding="utf-8")
    assert NUMBER.sub("#", drawn) == NUMBER.sub("#", kept)
    numbers = [[float(n) for n in NUMBER.findall(text)] for text in (drawn, kept)]
    assert numbers[0] == pytest.approx(numbers[1], abs=0.1)
