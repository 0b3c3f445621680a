"""The half-hour trial of a class: photographs against points that were measured with the ruler.

- Errors come out as large as the ruler's points were moved; points on other pages are passed over.
- Telephones are told apart by their folders; a file that cannot be used has its sentence.
- A table that cannot be read is a sentence for its line.
"""

from __future__ import annotations

import csv

import pytest

from patternlib.assess.marking.command import assess_command
from patternlib.assess.sent_photographs import trial
from patternlib.assess.sent_photographs.trial import Tried, read_measured, trial_said
from patternlib.geometry import Point
from tests.drafted_pages import draft_of, drafted_pages

ID, STUDENT = "02a", "lena"


@pytest.fixture(scope="module")
def photo() -> bytes:
    (data,) = drafted_pages(ID, STUDENT, only=0)
    return data


def table(path, rows, sep=";"):
    lines = [("point", "across", "up"), *rows]
    path.write_text("\n".join(sep.join(map(str, line)) for line in lines), encoding="utf-8")
    return path


def test_a_trial_prints_the_errors_of_photographs(photo, tmp_path, capsys):
    folder = tmp_path / "photographs"
    for telephone, name, data in (
        ("old telephone", "a.jpg", photo),
        ("new telephone", "b.jpg", b"no picture"),
    ):
        (folder / telephone).mkdir(parents=True)
        (folder / telephone / name).write_bytes(data)
    on_paper = {name: p * 0.5 for name, p in draft_of(ID, STUDENT).items() if isinstance(p, Point)}
    moved = on_paper | {"side hip": on_paper["side hip"] + Point(0.1, 0)}
    rows = [(name, f"{p.x:.2f}".replace(".", ","), f"{10 * p.y:.1f} mm") for name, p in moved.items()]
    measured = table(tmp_path / "points.csv", [*rows, ("a spot without a mark", "5,25", "-5,25")])
    out = tmp_path / "trial"
    assert assess_command([str(folder), "--measured", str(measured), "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert "new telephone/b.jpg: This file is no picture." in said and "all of old telephone" in said
    assert "of 100 points lie within 0.7 mm on the paper" in said
    lines = list(csv.DictReader((out / trial.ERRORS_FILE).open(encoding="utf-8-sig")))
    off = {line["point"]: float(line["off mm"]) for line in lines if line["off mm"]}
    assert set(off) == {"side hip", "centre back hip", "centre back waist"}  # the others lie on other pages
    assert off.pop("side hip") == pytest.approx(1.0, abs=0.25) and max(off.values()) < 0.25
    remarks = {line["point"]: line["remark"] for line in lines if line["remark"]}
    assert remarks["a spot without a mark"] == "no mark found"
    assert not (out / "marks.csv").exists()


def test_between_strips_points_are_laid_on_those_of_the_ruler():
    turned = {name: Point(30 - p.y, 5 + p.x) for name, p in POINTS.items()}
    off = {**turned, "c": turned["c"] + Point(0.3, 0)}
    exact, _ = trial._as_a_whole(turned, trial.Measured(POINTS))
    errors, unseen = trial._as_a_whole({k: v for k, v in off.items() if k != "d"}, trial.Measured(POINTS))
    assert max(exact.values()) < 1e-9 and unseen == ("d",)
    assert max(errors, key=errors.get) == "c" and 1 < errors["c"] < 3
    with pytest.raises(Exception, match="three measured points"):
        trial._as_a_whole({"a": Point(0, 0)}, trial.Measured(POINTS))


POINTS = {"a": Point(0, 0), "b": Point(40, 0), "c": Point(40, 60), "d": Point(3, 50), "e": Point(0, 60)}


@pytest.mark.parametrize(
    ("text", "said"),
    [("", "must be: point, across, up"), ("name;x;y\na;1;2", "must be: point, across, up"),
     ("point;across;up\n", "holds no point"), ("point;across;up\na;;3", "Line 2 of t.csv is not complete"),
     ("point;across;up\na;1;2\na;1;3", "Line 3 of t.csv repeats 'a'"),
     ("point;across;up\na;1;high", "Line 2 of t.csv: length: 'high' is not a length"),
     ("point;across;up\na;1;", "Line 2 of t.csv: length: '' is not a length")],
)  # fmt: skip
def test_a_table_that_cannot_be_read_is_a_sentence(text, said, tmp_path):
    path = tmp_path / "t.csv"
    path.write_text(text)
    with pytest.raises(Exception, match=said):
        read_measured(path)


def test_distances_between_strips_are_lines_of_the_table(tmp_path):
    path = table(tmp_path / "t.csv", [("side hip", "13.6", "-12"), ("A to C", "71.3 cm", "")], sep=",")
    found = read_measured(path)
    assert found.distances == (("A", "C", 71.3),) and found.points == {"side hip": Point(13.6, -12)}


def test_a_folder_without_photographs_is_a_sentence(tmp_path, capsys):
    measured = table(tmp_path / "points.csv", [("side hip", 1, 2)])
    (tmp_path / "empty").mkdir()
    options = [str(tmp_path / "empty"), "--measured", str(measured), "--out", str(tmp_path / "o")]
    assert assess_command(options) == 2
    assert "There is no photograph in" in capsys.readouterr().err


def test_what_is_said_of_telephones_and_of_all():
    tried = [
        Tried("one/a.jpg", "one", {"p": 0.2, "q": 0.4}, ("r",), 0.05, 4),
        Tried("two/b.jpg", "two", {"p": 1.2}, (), 0.3, 12),
    ]
    said = trial_said(tried).splitlines()
    assert said[1].split()[:4] == ["one/a.jpg", "2", "of", "3"]
    assert said[4].startswith("all of two") and "1.20 mm" in said[4]
    assert said[5].startswith("all ") and "0.40 mm" in said[5] and "1.20 mm" in said[5]
    assert said[-1].startswith("67 of 100 points lie within 1 mm")
