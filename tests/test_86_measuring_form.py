"""The form for a body's measures: what is typed, doubted and saved, and the tape on the figure."""

from __future__ import annotations

import contextlib
import tomllib

import pytest

import patternlib as pl
from patternlib.boards.measuring.drawn import figures
from patternlib.boards.measuring.form import MeasuringForm, Still
from patternlib.boards.measuring.measures_asked import GROUPS, LESSONS, asked
from patternlib.boards.measuring.own_file import OLD
from patternlib.boards.measuring.reading import read_typed
from patternlib.errors import PatternError
from patternlib.own_measures import own_check
from patternlib.survey import measures

GIRTHS = {"bust_girth|1": "88", "waist_girth|1": "70", "hip_girth|1": "95"}


def said(**typed: str):
    """What is said of the only measure that is typed beside the three girths."""
    keys = {key.replace("__", "|"): text for key, text in typed.items()}
    name = next(iter(keys)).split("|")[0]
    return read_typed(GIRTHS | keys).said[name]


def test_every_measure_is_asked_once_and_its_tape_is_drawn_near_enough_to_see():
    names = [one.name for one in asked()]
    assert set(names) == set(measures()) | {"high_bust_girth", "strap_path"}
    assert len(names) == len(set(names)) == sum(len(group) for group in GROUPS.values())
    for name, tapes in figures()["tapes"].items():
        assert tapes, name
        for tape in tapes:
            x, y, wide, high = tape["box"]
            assert all(x < ex < x + wide and y < ey < y + high for ex, ey in tape["ends"]), name
            assert wide <= 200 and tape["path"].startswith("M"), name


def drafts(body) -> dict[int, str]:
    """What each lesson drafts from a body, as text; left out where it is refused."""
    blocks = {2: lambda: [pl.skirt_block(body)], 3: lambda: [pl.bodice_block(body)]}

    def sleeve():
        block = pl.bodice_block(body)
        return [pl.sleeve_block(body, block["back armhole"], block["front armhole"])]

    def plans(garment, *names):
        return lambda: [d for name, d in pl.make(garment, body).drafts.items() if name in names or not names]

    makers = blocks | {6: plans("pinafore", "front plan"), 7: plans("pinafore", "back plan"), 20: sleeve}
    makers |= {21: plans("smock"), 22: plans("apron")}
    found = {}
    for lesson, make in makers.items():
        with contextlib.suppress(PatternError):
            found[lesson] = repr([draft[step.name] for draft in make() for step in draft.steps])
    return found


@pytest.mark.slow
def test_the_lessons_that_are_said_to_need_a_measure_draft_from_it():
    """Each measure is made longer and shorter: the drafts that move are those of the lessons named."""
    size = pl.chart("course")["12"]
    given = pl.Body(**{name: getattr(size, name) for name in measures()})
    before, rows = drafts(given), {}
    for name in LESSONS:
        if name not in measures() or name == "head_girth":  # the head is held against the smock's slit
            continue
        rows[name] = set()
        for by in (0.3, -0.3, 1.5, -1.5):
            now = drafts(given.replace(**{name: getattr(given, name) + by}))
            rows[name] |= {n for n, text in now.items() if text != before[n]}
    assert {name: sorted(moved) for name, moved in rows.items()} == {
        name: sorted(set(LESSONS[name]) - {8}) for name in rows
    }


@pytest.mark.parametrize(
    ("typed", "value", "third", "words"),
    [
        ({"neck_girth__1": "36", "neck_girth__2": "36,6"}, "36.3 cm", False, ""),
        ({"neck_girth__1": "36", "neck_girth__2": "38"}, "", True, "third time"),
        ({"neck_girth__1": "36", "neck_girth__2": "38", "neck_girth__3": "37.8"}, "37.9 cm", True, ""),
        ({"neck_girth__1": "34", "neck_girth__2": "38", "neck_girth__3": "36"}, "", True, "No two"),
        ({"neck_girth__1": "ten"}, "", False, "is not a length"),
        ({"neck_girth__1": "14 1/4 in"}, "36.2 cm", False, ""),
    ],
)
def test_readings(typed, value, third, words):
    one = said(**typed)
    assert (one.value, one.third) == (value, third)
    assert words in one.fault and bool(words) == bool(one.fault)


@pytest.mark.parametrize(
    ("typed", "offer"),
    [
        ({"height__1": "66"}, "Were these inches? Take 167.6 cm"),
        ({"height__1": "1650"}, "Were these millimetres? Take 165 cm"),
        ({"height__1": "1,65"}, "Were these metres? Take 165 cm"),
        ({"head_girth__1": "21.5"}, "Were these inches? Take 54.6 cm"),
        ({"back_width__1": "17"}, "Was this half the width? Take 34 cm"),
    ],
)
def test_a_unit_slip_is_said_and_offered_at_once(typed, offer):
    one = said(**typed)
    assert offer in [o["words"] for o in one.offers] and not one.value


def test_what_hardly_goes_together_is_doubted_beside_its_field():
    assert "unusual" in said(back_waist_length__1="47").doubts[0]
    assert "back waist length" in said(back_waist_length__1="47").doubts[0].lower()
    assert (
        "smaller" in said(underbust_girth__1="90").doubts[-1]
        or "reads less" in said(underbust_girth__1="90").doubts[-1]
    )
    assert "reads no more" in said(high_bust_girth__1="96").doubts[0]
    assert not said(high_bust_girth__1="84").doubts
    assert "strap path again" in said(strap_path__1="95").doubts[0] and not said(strap_path__1="74").doubts
    both = read_typed({"bust_girth|1": "88", "waist_girth|1": "95", "hip_girth|1": "72"}).said
    assert "swapped" in both["waist_girth"].doubts[0] and "swapped" in both["hip_girth"].doubts[0]
    inches = read_typed({"unit": "in", "bust_girth|1": "34 1/2", "waist_girth|1": "27", "hip_girth|1": "37",
                         "back_waist_length|1": "19"}).said  # fmt: skip
    assert (
        " in " in inches["back_waist_length"].doubts[0] and " cm" not in inches["back_waist_length"].doubts[0]
    )


def test_an_ordinary_body_is_not_doubted():
    for size in ("6", "12", "20"):
        body = pl.chart("course")[size]
        read = read_typed({f"{name}|1": f"{getattr(body, name)}" for name in measures()})
        assert [one.name for one in asked() if one.name in read.said and (read.said[one.name].doubts)] == []
        assert read.body.bust_girth == body.bust_girth


def test_what_is_typed_is_saved_found_again_and_read_by_the_lessons(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    form = MeasuringForm()
    assert not (tmp_path / "me.toml").exists() and form.sheet["saved"] == ""
    form.take({"bust_girth|1": "34 1/2 in"})
    assert "Still needed" in form.sheet["saved"] and "waist girth" in form.sheet["saved"]
    typed = GIRTHS | {
        "bust_girth|2": "88.5",
        "strap_path|1": "74",
        "over": 'jumper "thick" \\ é',
        "sex": "men",
    }
    form.take(typed | {"no such": "1"})
    kept = tomllib.loads((tmp_path / "me.toml").read_text(encoding="utf-8"))
    assert kept["bust_girth"] == 88.3 and kept["also"] == {"strap_path": 74}
    heard: list[str] = []
    body = pl.own_body(say=heard.append)
    assert (body.bust_girth, body.sex) == (88.3, "men") and 'over jumper "thick"' in heard[0]
    assert own_check("strap_path") == 74 and own_check("high_bust_girth") is None
    assert MeasuringForm().typed == typed | {"unit": "cm"}


def test_a_file_written_by_hand_is_read_and_kept(tmp_path):
    hand = 'unit = "in"\nbust = 35\n"scye depth" = "18 cm"\nwaist_girth = 28\nhip_girth = 38\n'
    (tmp_path / "me.toml").write_text(hand)
    form = MeasuringForm(tmp_path)
    assert form.typed["bust_girth|1"] == "35 in" and form.typed["armhole_depth|1"] == "18 cm"
    form.take(form.typed)
    assert (tmp_path / OLD).read_text() == hand
    assert pl.load_body(tmp_path / "me.toml").bust_girth == 88.9
    text = (tmp_path / "me.toml").read_text().replace("waist_girth = 71.1", "waist_girth = 75")
    (tmp_path / "me.toml").write_text(text)
    assert MeasuringForm(tmp_path).typed["waist_girth|1"] == "75 cm"  # a hand has been at it since
    (tmp_path / "me.toml").write_text("bust_girth = = 3")
    assert "cannot be read" in MeasuringForm(tmp_path).sheet["fault"]


def test_an_offer_puts_every_reading_right(tmp_path):
    form = MeasuringForm(tmp_path)
    form.take(GIRTHS | {"height|1": "66", "height|2": "66,2"})
    factor = form.sheet["said"]["height"]["offers"][0]["factor"]
    form._hear(form, {"kind": "right", "name": "height", "factor": factor}, [])
    assert form.sheet["said"]["height"]["value"] == "167.9 cm" and not form.sheet["said"]["height"]["fault"]


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    form = MeasuringForm(tmp_path / "away")
    form.take(GIRTHS)
    assert "cannot be written" in form.sheet["fault"] and form.sheet["saved"] == ""


def test_the_saved_notebook_keeps_no_measure(tmp_path):
    form = MeasuringForm(tmp_path)
    form.take(GIRTHS)
    assert "88" not in repr(form) + repr(Still()) + Still()._repr_html_()
