"""What the student sees: sheets in words, measures from paper, feedback; and the instructor's rubric.

- a mistake is answered by a sentence and never by a traceback
- before an attempt nothing of the answer is shown
- code and paper give the same record
"""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest

from patternlib.assess import MIME, begin, compare_with_rule, exercises, judge, load_rubric, read
from patternlib.assess.answers.paper_form import form, measured
from patternlib.errors import PatternError, ValueAtFault
from patternlib.geometry import Curve, Point
from patternlib.not_here import NotHere
from patternlib.pieces import finish


def skirt_frame(student="lena", key=""):
    sheet = begin("02a", student=student, key=key)
    quarter = sheet.measure("hip girth") / 4 + sheet.measure("hip ease") / 4
    sheet.mark("centre back hip", sheet.measure("waist to hip"), below="waist at centre back")
    sheet.mark("centre back hem", sheet.measure("skirt length"), below="waist at centre back")
    sheet.mark("side hip", quarter, right_of="centre back hip")
    sheet.mark("centre front hip", quarter, right_of="side hip")
    sheet.mark("side hem", level_with="centre back hem", straight_below="side hip")
    sheet.mark("centre front hem", level_with="centre back hem", straight_below="centre front hip")
    sheet.mark("waist at centre front", level_with="waist at centre back", straight_above="centre front hip")
    sheet.mark("centre back waist", 1, below="waist at centre back")
    return sheet


def test_a_draft_in_words_is_right():
    for student, key in (("lena", ""), ("s 7", "spring class")):
        feedback = compare_with_rule(skirt_frame(student, key), key=key)
        assert feedback.verdict.mark == feedback.verdict.out_of == 8
        assert str(feedback).endswith("Everything asked is right.")


def test_marking_a_point_again_moves_what_was_drawn_from_it():
    sheet = skirt_frame()
    sheet.mark("centre back hip", 20, below="waist at centre back")
    assert sheet["side hip"].y == sheet["centre front hip"].y == -20


def test_curves_turns_and_folds_in_words():
    sheet = begin("05a", student="lena")
    sheet.note("length of the leg", sheet.distance("dart point", "leg"))
    sheet.mark("second leg", sheet["length of the leg"], from_="dart point", toward="second leg as traced")
    sheet.mark("middle of the mouth", halfway=("leg", "second leg"))
    sheet.note("mouth", sheet.distance("leg", "second leg"))
    sheet.fold_over("waist folded over", "waist beside the dart", along=("dart point", "leg"))
    sheet.mark("ridge", where=("leg", "waist folded over", "dart point", "middle of the mouth"))
    sheet.mark("foot of the ridge", square_onto=("leg", "second leg"), from_="ridge")
    sheet.note("height of the ridge", sheet.distance("foot of the ridge", "ridge"))
    feedback = compare_with_rule(sheet)
    assert feedback.verdict.mark == feedback.verdict.out_of, str(feedback)


def test_the_sheet_of_another_exercise_is_not_judged_in_this_ones_place():
    """When all cells were run the sheet at hand is the last exercise's: going back is caught."""
    sheet = begin("02b", student="lena")
    feedback = compare_with_rule(sheet, of="02a")
    assert feedback.verdict is feedback.record is None
    assert "that of 02b" in str(feedback) and "below the task of 02a" in str(feedback)
    assert compare_with_rule(skirt_frame(), of="02a").verdict.mark > 0


MISTAKES = {
    "a point that is not there": lambda s: s.mark("B", 3, below="Z"),
    "no measure": lambda s: s.mark("B", below="waist at centre back"),
    "no place": lambda s: s.mark("B", 3),
    "a word nobody knows": lambda s: s.mark("B", 3, under="waist at centre back"),
    "a measure that is no measure": lambda s: s.mark("B", "three", below="waist at centre back"),
    "a list for a measure": lambda s: s.mark("B", [3], below="waist at centre back"),
    "a point drawn already": lambda s: s.mark("waist at centre back", 3, below="centre back hip"),
    "a line for a point": lambda s: (
        s.rule("hip", "waist at centre back", "centre back hip"), s.mark("B", 3, below="hip")
    ),
    "a point for a line": lambda s: s.mark("B", 3, along="centre back hip"),
    "beyond the end of a line": lambda s: (
        s.rule("hip", "waist at centre back", "centre back hip"), s.mark("B", 300, along="hip")
    ),
    "a measure nobody takes": lambda s: s.measure("hop girth"),
    "a number from nothing": lambda s: s.distance("waist at centre back", "Z"),
    "a direction that is none": lambda s: s.draw("c", *s.work.given(s.draft), leaving="in"),
    "a piece that is not asked": lambda s: s.label("trousers", "cut 2"),
    "no name": lambda s: s.mark("", 3, below="waist at centre back"),
    "a number for a name": lambda s: s.mark(7, 3, below="waist at centre back"),
    "nothing at all": lambda s: s.mark(),
    "no number": lambda s: s.note("side shaping", float("nan")),
    "a given point placed elsewhere": lambda s: s.place("waist at centre back", 1, 2),
    "a turn by a word": lambda s: s.turn("B", "centre back hip", about="waist at centre back", by="a bit"),
    "a list for a point": lambda s: s.distance(["waist at centre back"], "centre back hip"),
    "the length of a point": lambda s: s.length("centre back hip"),
    "allowances in a row": lambda s: s.allow("front skirt", [1, 2]),
    "an endless number": lambda s: s.mark("B", float("inf"), below="waist at centre back"),
    "a place of three numbers": lambda s: s.place("B", 1, (2, 3)),
    "a grain line of one place": lambda s: s.grain("front skirt", 3, 4),
}  # fmt: skip


@pytest.mark.parametrize("case", MISTAKES)
def test_a_mistake_is_a_sentence_and_changes_nothing(case, capsys):
    sheet = begin("09a" if "grain" in case else "02a", student="lena")
    if "grain" not in case:
        sheet.mark("centre back hip", 24, below="waist at centre back")
    before = sheet.record()["points"]
    MISTAKES[case](sheet)
    said = capsys.readouterr().out.strip()
    assert said and said[-1] in ".?" and "Error" not in said and "Traceback" not in said and len(said) < 400
    assert sheet.said and sheet.record()["points"] == before
    assert compare_with_rule(sheet).verdict is not None


# -- paper


def test_paper_answers_give_the_same_verdict_as_words():
    sheet = skirt_frame()
    measures = {name: tuple(sheet[name]) for name in (blank.name for blank in form("02a"))}
    record = measured("02a", measures, student="lena")
    assert judge(record).mark == 8
    assert record["points"] == sheet.record()["points"]


def test_inches_on_paper():
    record = measured("02a", {"centre back hip": (0, "-9 7/16")}, student="lena", unit="in")
    assert record["points"]["centre back hip"] == [0.0, pytest.approx(-23.97, abs=0.01)]


def test_a_curve_measured_at_a_few_places_is_right():
    exercise = exercises()["02b"]
    draft = exercise.reference(exercise.own_numbers("lena"))
    waist = draft["back waist"]
    places = [waist.at(waist.length * k / 6) for k in range(7)]
    measures = {
        "back side waist": draft["back side waist"],
        "back waist": places,
        "side hip": draft["side hip"],
    }
    lines = {li.step: li for li in judge(measured("02b", measures, student="lena")).lines}
    assert lines["back waist"].verdict == "right", lines["back waist"].text


@pytest.mark.parametrize(
    "measures",
    [{"hip": (1, 2)}, {"side hip": 3}, {"side hip": (1, 2, 3)}, {"side hip": ("x", 1)}, {"side hip": None}],
)
def test_wrong_measures_on_paper_are_refused_with_a_sentence(measures):
    with pytest.raises(PatternError) as refused:
        measured("02a", measures, student="lena")
    assert str(refused.value).endswith((".", "?"))


def test_a_record_of_an_earlier_answer_board_is_still_read():
    record = measured("02a", {"centre back hip": (0, -24), "centre back hem": (0, -62)}, student="lena")
    assert judge(read({**record, "way": "board"})).mark == 2


# -- feedback


@pytest.mark.parametrize("id", exercises())
def test_before_an_attempt_nothing_of_the_answer_is_shown(id):
    exercise = exercises()[id]
    of = exercise.own_numbers("lena")
    draft = exercise.reference(of)
    feedback = compare_with_rule(begin(id, student="lena"))
    shown = f"{feedback}{feedback.html}"
    assert feedback.verdict.mark == 0 and "nothing is drawn yet" in shown
    given = set(exercise.given(draft))
    for asked in exercise.steps():
        value = draft[asked.name]
        if isinstance(value, Point) and asked.name not in given:
            assert f'title="{asked.name}"' not in shown and f">{asked.name}</text>" not in shown
        if isinstance(value, float):
            assert f"{value:.2f} cm" not in str(feedback)


def test_only_what_was_attempted_is_shown():
    sheet = begin("02a", student="lena")
    sheet.mark("centre back hip", 20, below="waist at centre back")
    html = compare_with_rule(sheet).html
    assert "centre back hip</text>" in html and "side hip</text>" not in html
    assert "4 cm" in html and "As it should be" in html


def _crosses(html: str) -> list[dict[str, tuple[float, float]]]:
    """Where the cross of each point lies, px, picture by picture."""
    found = []
    for picture in html.split("<figure")[1:]:
        paths = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) [^"]*"><title>([^<]*)</title>', picture)
        found.append({name: ((float(x0) + float(x1)) / 2, float(y)) for x0, y, x1, name in paths})
    return found


def test_target_and_own_draft_are_drawn_in_one_scale_and_the_way_between_is_measured():
    """A hem 10 cm too low stands as far off in the picture as it is; what is right lies as in the target."""
    sheet = skirt_frame()
    long = sheet.measure("skirt length")
    sheet.mark("centre back hem", long + 10, below="waist at centre back")
    html = compare_with_rule(sheet).html
    should, own = _crosses(html)

    def way(picture, name):
        (x0, y0), (x1, y1) = picture["waist at centre back"], picture[name]
        return x1 - x0, y1 - y0

    assert way(own, "centre front hip") == pytest.approx(way(should, "centre front hip"), abs=0.01)
    px = way(should, "centre back hem")[1] / long
    assert way(own, "centre back hem") == pytest.approx((0, px * (long + 10)), abs=0.05)
    assert ">10 cm</text>" in html.partition("Your draft")[2]


@pytest.mark.parametrize("id", ("02a", "02b", "04b", "05b", "07b"))
def test_every_point_that_was_drawn_has_its_name(id):
    exercise = exercises()[id]
    of = exercise.own_numbers("lena")
    record = exercise.record(of, exercise.reference(of), student="lena")
    for picture in compare_with_rule(record).html.split("<figure")[1:]:
        names = set(re.findall(r">([^<]*)</text>", picture))
        missing = [name for name in record["points"] if name not in names]
        assert missing == []


def test_what_runs_far_away_leaves_the_target_its_size():
    sheet = skirt_frame()
    sheet.mark("centre back hem", 900, below="waist at centre back")
    should, own = _crosses(compare_with_rule(sheet).html)
    assert should["side hip"][0] - should["centre back hip"][0] > 80
    assert own["centre back hem"][1] < 600


def test_grain_and_notches_are_drawn_on_their_piece():
    sheet = begin("11a", student="lena")
    sheet.notch("back skirt", "side seam", 12)
    sheet.notch("back skirt", "yoke edge", 9, double=True)
    html = compare_with_rule(sheet).html
    assert "Your back skirt<" in html
    assert "your notch of side seam" in html and "your notch of yoke edge" in html
    sheet = begin("09a", student="lena")
    sheet.grain("front skirt", (-12, -50), (-12, -20))
    assert "your grain line" in compare_with_rule(sheet).html
    assert "<figcaption>Your front skirt</figcaption>" in compare_with_rule(sheet).html


def test_a_cut_line_follows_the_allowances_it_was_drawn_with():
    """An opening of 1 cm in place of 2.5, cut as entered: wrong once, and drawn on the rule's line."""
    work = exercises()["10a"]
    of = work.own_numbers("lena")
    draft = work.reference(of)
    (piece,) = work.finish(draft, of)
    edges = tuple(replace(e, allowance=1.0) if e.name == "opening" else e for e in piece.edges)
    record = work.record(of, draft, student="lena", pieces=[finish(piece.replace(edges=edges))])
    feedback = compare_with_rule(record)
    lines = {line.step: line.verdict for line in feedback.verdict.lines if line.verdict != "right"}
    assert lines == {"back pocket: allowance of opening": "off", "back pocket: cut line": "carried"}
    own, rule = (
        re.search(rf'd="([^"]*)"><title>{title}', feedback.html)[1]
        for title in ("your cut line", "cut line by the rule")
    )
    numbers = [[float(n) for n in re.findall(r"[\d.]+", path)] for path in (own, rule)]
    assert numbers[0] == pytest.approx(numbers[1], abs=0.5)


def test_a_direction_is_said_as_on_the_sheet():
    """Up in place of down, left in place of right, a dart's point below its level in place of above."""
    sheet = begin("03a", student="lena")
    sheet.mark("nape", sheet.measure("back waist length"), below="waist at centre back")
    said = [line.text for line in compare_with_rule(sheet).verdict.lines if line.step == "nape"]
    assert said[0].endswith("Did you go the other way? Go up.")
    sheet = skirt_frame()
    sheet.mark("side hip", sheet["side hip"].x, left_of="centre back hip")
    assert "Did you go to the wrong side? Go to the right." in str(compare_with_rule(sheet))
    bodice = exercises()["03b"]
    of = bodice.own_numbers("lena")
    draft = bodice.reference(of)
    record = bodice.record(of, draft, student="lena")
    down = draft.replay(measures={"back dart point": -draft.step("back dart point").measure})
    record["points"]["back dart point"] = list(down["back dart point"])
    assert "Did you go the other way? Go up." in str(compare_with_rule(record))


def test_the_record_goes_into_the_same_output():
    sheet = skirt_frame()
    bundle = compare_with_rule(sheet)._repr_mimebundle_()
    assert set(bundle) == {"text/plain", "text/html", MIME}
    assert read(json.loads(json.dumps(bundle[MIME]))) == read(sheet.record())


def test_feedback_is_the_same_every_time():
    assert compare_with_rule(skirt_frame()).html == compare_with_rule(skirt_frame()).html
    assert compare_with_rule(skirt_frame()).text == compare_with_rule(skirt_frame()).text


def test_names_from_a_record_are_escaped():
    record = skirt_frame().record()
    record["student"] = "<script>alert(1)</script>"
    record["points"]["<img src=x>"] = [1.0, 2.0]
    html = compare_with_rule(record).html
    assert "<script" not in html and "<img" not in html


def test_what_is_no_sheet_is_answered_by_a_sentence():
    for wrong in (5, None, "sheet", [1]):
        assert compare_with_rule(wrong).verdict is None and "sheet" in str(compare_with_rule(wrong))


def test_a_broken_record_is_answered_by_a_sentence():
    feedback = compare_with_rule({"format": "patternlib-draft"})
    assert (
        feedback.verdict is None
        and str(feedback).endswith("hand it in.")
        and MIME not in feedback._repr_mimebundle_()
    )


@pytest.mark.parametrize("id", exercises())
def test_every_exercise_can_be_shown(id):
    exercise = exercises()[id]
    of = exercise.own_numbers("lena")
    draft = exercise.reference(of)
    own = {a.name: _off(draft[a.name]) for a in exercise.steps()}
    pieces = exercise.finish(draft, of) if exercise.finish else ()
    feedback = compare_with_rule(exercise.record(of, own, student="lena", pieces=pieces))
    assert feedback.verdict is not None and "Next:" in str(feedback)
    assert "nan" not in feedback.html.lower().replace("finance", "")


def _off(value):
    if isinstance(value, Curve):
        return value
    return value + Point(1.3, 0.9) if isinstance(value, Point) else value + 1.7


# -- the instructor's rubric


def test_the_librarys_own_rubric_shows_the_tolerances_it_uses():
    from patternlib.assess.judging.hands import BOARD, EXACT, PENCIL
    from patternlib.assess.judging.rubric import OWN

    text = OWN.read_text(encoding="utf-8")
    half = PENCIL.drawn_smaller(2)
    shown = [f"{hand.tolerance('point'):.2g}" for hand in (EXACT, BOARD, PENCIL, half)]
    assert "(typed: {}, on a board: {}, ruler and pencil: {}, in half scale: {})".format(*shown) in text
    for kind in ("point", "curve", "number", "angle"):
        assert f"# {kind} = " in text


def test_weights_tolerances_and_words_can_be_changed(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(
        '[units]\nlength = "in"\n[exercise.02a.weight]\n"side hip" = 5\n[exercise.02a.tolerance]\n'
        '"side hip" = 2.0\n[words]\nright = "{step}: well done."\n'
        '[slips]\nruler-mark = "One mark along, at {step}!"\n',
        encoding="utf-8",
    )
    rubric = load_rubric(path)
    sheet = skirt_frame()
    sheet.mark("side hip", 102.5 / 4, right_of="centre back hip")  # 1.4 cm off, allowed here
    sheet.mark("centre back hem", 61, below="waist at centre back")
    verdict = judge(sheet.record(), rubric=rubric)
    lines = {line.step: line for line in verdict.lines}
    assert verdict.out_of == 12 and lines["side hip"].text == "side hip: well done."
    assert (
        lines["centre back hem"].text
        == "centre back hem: off by 3/8 in (3/8 in too high); 1/16 in is allowed. "
        "One mark along, at centre back hem!"
    )


AT_FAULT = (
    "[tolerance]\npoint = -1",
    "[weight]\nknot = 1",
    "[words]\nrigt = 'x'",
    "[words]\nright = '{'",
    "[words]\nright = '{step.__class__}'",
    "[words]\nright = '{stpe}'",
    "[units]\nlength = 'ell'",
    "[marks]\na = 1",
    "[slips]\nruler-mark = 3",
    "[exercise.02a]\nweigth = {a = 1}",
    "nonsense",
)


@pytest.mark.parametrize("text", AT_FAULT)
def test_a_rubric_at_fault_is_refused_with_a_sentence(text, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises((PatternError, ValueAtFault)) as refused:
        load_rubric(path)
    assert str(refused.value).endswith((".", "?"))


def test_what_cannot_be_judged_for_want_of_a_package_is_handed_in_all_the_same(monkeypatch):
    """As in a browser without shapely: the sentence is shown, and the draft still lies in the notebook."""

    def missing(*_, **__):
        raise NotHere("Comparing a cut line needs the package shapely, which is missing here.")

    monkeypatch.setattr("patternlib.assess.answers.feedback.examine", missing)
    shown = compare_with_rule(skirt_frame())
    assert "needs the package shapely" in shown.text
    assert shown._repr_mimebundle_()[MIME]["exercise"] == "02a"
    assert MIME not in compare_with_rule(begin("02a", student="lena"))._repr_mimebundle_()
