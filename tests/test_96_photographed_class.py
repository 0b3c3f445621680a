"""Photographs among the hand-ins: read by their flags in a closed-in process, tapped, marked, shown.

The pages are the project's own worksheets, printed to pixels; the photographs are simulated (photographs.py).
"""

from __future__ import annotations

import csv
import hashlib
import json
import os
import struct
import zlib
from pathlib import Path

import msgspec
import numpy as np
import pytest

from patternlib.assess import MIME, exercise, numbers_for
from patternlib.assess.hand_ins.files import HandIn
from patternlib.assess.marking.command import assess_command
from patternlib.assess.photographed.flags import flag_names
from patternlib.assess.photographed.placed import record_of_places
from patternlib.assess.sent_photographs.child import look
from patternlib.assess.sent_photographs.drafts import drafts_of
from patternlib.assess.sent_photographs.lengths import read_measured_lengths
from patternlib.assess.sent_photographs.looking import Looking, kept_seen
from patternlib.assess.sent_photographs.seen import Asked, Seen, checked
from patternlib.assess.sent_photographs.waiting import tap_photographs
from patternlib.assess.tasks.record import Photograph, read
from patternlib.errors import PatternError
from patternlib.geometry import Point
from patternlib.photo.faults import PhotoFault
from patternlib.photo.reading import read_photograph

cv2 = pytest.importorskip("cv2")
pytest.importorskip("pypdfium2")

from tests.photographed_class import drawn_page, photo, printed  # noqa: E402

SMALL = {"width": 2600, "height": 1950, "blur": 0.7, "noise": 2.0}
POINTS = ("C", "D", "E", "F")
"""The points of 05c, whose grid at half scale is one page; two lengths are asked as well."""


@pytest.fixture(scope="module")
def pictures() -> dict[str, bytes]:
    """Photographs of 05c: all flags, one flag missing; the one page of 02a at quarter scale, all flags."""
    rng = np.random.default_rng(77)
    found = {
        "whole": photo(drawn_page("05c", "ada", 0, rng), rng, **SMALL),
        "lacking": photo(drawn_page("05c", "ben", 0, rng, without=("D",)), rng, **SMALL),
    }
    sheet = drawn_page("02a", "cleo", 0, rng, scale="quarter", moved={"side hip": Point(2.5, 0)})
    return found | {"quarter": photo(sheet, rng, **SMALL)}


@pytest.fixture(scope="module")
def whole(pictures) -> Seen:
    return look(pictures["whole"], Asked())


def with_private_data(jpeg: bytes, orientation: int) -> bytes:
    """A JPEG with an Exif part: orientation, the maker's serial number and a place [Exif 2.3, JEITA CP-3451C:
    tags 0x0112, 0xA431; from memory]."""
    serial = b"SERIAL-4711\0"
    place = b"GPS 47 22 N 8 33 E\0"
    entries = struct.pack("<HHIHH", 0x0112, 3, 1, orientation, 0)
    entries += struct.pack("<HHII", 0xA431, 2, len(serial), 38)
    tiff = b"II*\0" + struct.pack("<I", 8) + struct.pack("<H", 2) + entries + struct.pack("<I", 0)
    exif = b"Exif\0\0" + tiff + serial + place
    return jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif + jpeg[2:]


def test_flags_are_read_where_the_points_were_drawn(whole):
    """To 0.3 mm on the paper, the pencil's and the camera's errors among them."""
    work, of = exercise("05c"), numbers_for("ada")
    draft = work.reference(of)
    (made,), faults = drafts_of([(HandIn("a.jpg", ("a",), None), whole)], lambda _: "")
    assert not faults and whole.label.startswith("draft1;05c;ada;2;a4;1/1;")
    points = made.record["points"]
    assert points.keys() == set(POINTS) and made.missing == ("across C", "across D")
    for name, (x, y) in points.items():
        assert draft[name].distance(Point(x, y)) / 2 < 0.03
    assert read(made.record).photographs[0].page == 1


def test_orientation_is_used_and_private_data_dropped(pictures, whole):
    """The file is turned and says so; what is kept is the same picture, without place and serial."""
    upright = cv2.imdecode(np.frombuffer(pictures["whole"], np.uint8), cv2.IMREAD_COLOR)
    lying = cv2.imencode(".jpg", cv2.rotate(upright, cv2.ROTATE_90_COUNTERCLOCKWISE))[1].tobytes()
    sent = with_private_data(lying, 6)
    assert b"SERIAL-4711" in sent and b"GPS 47" in sent
    seen = look(sent, Asked())
    assert not seen.fault and seen.sha256 == hashlib.sha256(sent).hexdigest()
    for kept in (seen.small, seen.fine, msgspec.json.encode(seen)):
        assert not [mark for mark in (b"SERIAL-4711", b"GPS 47 22", b"Exif\0\0") if mark in kept]
    for number, place in whole.flags.items():
        assert Point(*place).distance(Point(*seen.flags[number])) < 0.01


def test_what_a_process_gives_back_is_not_believed(whole):
    """Another file's hash, no number, a place far away, no picture, too many flags: all refused."""
    good = msgspec.to_builtins(whole)
    assert checked(json.dumps(good).encode(), whole.sha256) is not None
    for change in (
        {"sha256": "0" * 64}, {"flags": {"1": [1e9, 0.0]}}, {"small": "QUJD"}, {"box": [5, 5, 1, 1]},
        {"flags": {str(n): [1.0, 1.0] for n in range(300)}}, {"residual": -1.0}, {"label": "x" * 2000},
        {"lines": {"a": [[0.0, 0.0]] * 3000}}, {"small": ""},
    ):  # fmt: skip
        assert checked(json.dumps(good | change).encode(), whole.sha256) is None
    assert checked(b"NaN", whole.sha256) is None and checked(b"", whole.sha256) is None


def bomb() -> bytes:
    """A PNG of a few kilobytes that stands for 60,000 by 60,000 pixels [PNG, ISO/IEC 15948]."""

    def part(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + part(b"IHDR", head)
        + part(b"IDAT", zlib.compress(b"\0" * 10**6))
        + part(b"IEND", b"")
    )


def test_the_same_picture_from_two_learners_is_kept_once(tmp_path, monkeypatch):
    """One is kept while the other is being written: neither run stops, and nothing is left beside it."""
    looking = Looking(Asked(), workers=2, kept=tmp_path, stamp="s")
    seen, put, inside = Seen("a" * 64, fault="No printed markers."), os.replace, []

    def meanwhile(one, other):
        if not inside:
            inside.append(1)
            looking.pool.submit(looking._keep, seen).result()
        put(one, other)

    monkeypatch.setattr("patternlib.assess.sent_photographs.looking.os.replace", meanwhile)
    looking._keep(seen)
    looking.pool.shutdown()
    assert [p.name for p in tmp_path.iterdir()] == [f"{'a' * 24}.json"]


def test_hostile_files_cost_a_sentence_each(tmp_path):
    """In the closed-in process; nothing is kept of them but the sentence, and none stops the others."""
    files = {"bomb": bomb(), "text": b"This is no picture.\n" * 9}
    looking = Looking(Asked(), workers=2, kept=tmp_path / "photographs", stamp="s")
    for name, data in files.items():
        looking.take(HandIn(f"{name}.png", (name,), data, picture=True))
    said = {handin.names[0]: seen.fault for handin, seen in looking.looked(lambda *_: None)}
    assert "pixels" in said["bomb"] and "no picture" in said["text"]
    for data in (b"", b"\xff\xd8\xff\xe0" + b"\0" * 50, b"\0\0\0\x18ftypheic" + b"\0" * 99):
        assert look(data, Asked()).fault.endswith(".")
    assert "Each photograph was opened in a process of its own" in looking.words


def marks_of(out: Path) -> dict[tuple[str, str], dict[str, str]]:
    with open(out / "marks.csv", encoding="utf-8-sig", newline="") as file:
        return {(row["student"], row["exercise"]): row for row in csv.DictReader(file)}


def test_a_class_of_photographs_is_marked_and_the_rest_tapped(pictures, tmp_path, capsys):
    """Flags on all points count by themselves; what lacks one waits; what is tapped is used."""
    hand_ins, out = tmp_path / "in", tmp_path / "marks"
    for name, data in {
        "ben/IMG_1.JPG": pictures["lacking"], "ada/notes.jpg": b"no picture at all" * 30,
        "cleo/p.jpeg": pictures["quarter"],
    }.items():  # fmt: skip
        path = hand_ins / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    assert assess_command([str(hand_ins), "--out", str(out), "--workers", "2"]) == 0
    marks = marks_of(out)
    cleo, ben = marks["cleo", "02a"], marks["ben", "05c"]
    assert (cleo["mark"], cleo["out of"], cleo["evidence"]) == ("7", "8", "read from its photographs")
    assert (ben["mark"], ben["evidence"]) == ("", "waits to be tapped")
    assert "Not read from the photographs: D, across C, across D" in ben["notes"]
    assert "no picture" in marks["ada", ""]["notes"]
    told = (out / "students" / "ben.html").read_text(encoding="utf-8")
    assert "Not read from the photographs yet: D, across C, across D." in told and "not drawn" not in told
    assert "Where drafts went wrong" in (page := (out / "class.html").read_text(encoding="utf-8"))
    assert "across C" not in page.split("Waiting for your word")[0]
    assert "1 wait for your word" in capsys.readouterr().out
    sheet = (out / "photographs.html").read_text(encoding="utf-8")
    assert sheet.count("data:image/jpeg;base64,") == 2 and "img-src data:" in sheet
    assert sheet.count("<circle") == 3 + 8 and "side hip" in sheet and "<script" not in sheet
    book = json.loads((out / "photographs to tap.ipynb").read_text(encoding="utf-8"))
    (cell,) = [c["source"] for c in book["cells"] if c["cell_type"] == "code"]
    (folder,) = [p.parent.name for p in (out / "photographs").glob("*/draft.json")]
    assert f"tap_photographs({folder!r})" in cell

    form = tap_photographs(folder, out / "photographs")
    assert form.setup["held"] == 1
    answer, shown = form.photographs.answer({"do": "held", "n": 0, "ask": 1})
    assert set(answer["taken"]["flags"]) == {"C", "E", "F"} and shown[0].startswith(b"\xff\xd8\xff")
    label = printed("05c", "ben", "half")[1].labels[0]
    draft = exercise("05c").reference(numbers_for("ben"))
    near = label.on_page(draft["D"]) + Point(0.12, -0.1)
    looked = {"do": "look", "sha256": answer["taken"]["sha256"], "at": [*near]}
    crossing, *_ = form.photographs.answer(looked)[0]["crossings"]
    at = label.on_draft(Point(*crossing[0]))
    assert at.distance(draft["D"]) / 2 < 0.04
    typed = {
        "photograph|1|sha256": answer["taken"]["sha256"],
        "photograph|1|residual": answer["taken"]["residual"],
        "photograph|1|page": "1", "photograph|1|scale": "half",
    }  # fmt: skip
    points = {name: label.on_draft(Point(*place)) for name, place in answer["taken"]["flags"].items()} | {
        "D": at
    }
    for name, place in points.items():
        typed |= {
            f"{name}|across": f"{place.x:.2f} cm", f"{name}|up": f"{place.y:.2f} cm",
            f"{name}|photograph": f"1 {place.x:.4f} {place.y:.4f}",
        }  # fmt: skip
    typed |= {f"across {c}|length": f"{draft[f'across {c}']:.1f} cm" for c in "CD"}
    form._hear(None, {"kind": "set", "who": "w", "n": 1, "typed": typed, "edits": 5}, [])
    assert assess_command([str(hand_ins), "--out", str(out), "--workers", "2"]) == 0
    ben = marks_of(out)["ben", "05c"]
    assert (ben["mark"], ben["out of"], ben["evidence"]) == ("6", "6", "tapped by you on its photographs")
    assert marks_of(out)["cleo", "02a"] == cleo


LENGTHS = "student;exercise;test line;distance 1;distance 2\n"


def test_a_measured_test_line_decides_about_a_page_printed_small(tmp_path):
    """A page of 02a printed at 97 %, drawn on with a ruler. Without the length of its test line it is judged
    by the printed squares, and that is said; with it, it is refused with the sentence of the form."""
    work, of = exercise("02a"), numbers_for("cleo")
    draft = work.reference(of)
    moved = {n: (draft[n] - Point(0, 0)) * (1 / 0.97 - 1) for n in flag_names(work, of)[2:] if n in draft}
    rng = np.random.default_rng(78)
    data = photo(drawn_page("02a", "cleo", 0, rng, scale="quarter", moved=moved), rng, **SMALL)
    handin = HandIn("c.jpg", ("c",), None)
    with pytest.raises(PhotoFault) as form:
        read_photograph(data, test_line=14.55)
    (hand_ins := tmp_path / "in" / "cleo").mkdir(parents=True)
    (hand_ins / "c.jpg").write_bytes(data)
    command = [str(hand_ins.parent), "--out", str(out := tmp_path / "marks"), "--workers", "1"]
    assert assess_command(command) == 0
    row = marks_of(out)["cleo", "02a"]
    first = "No length of its test line was given: sizes rest on the printed squares."
    assert first in row["notes"] and float(row["mark"]) < 7
    assert first in (out / "photographs.html").read_text(encoding="utf-8")
    seen = kept_seen(out / "photographs", hashlib.sha256(data).hexdigest())
    path = tmp_path / "lengths.csv"
    sized = {}
    for given in ("", "cleo;02A;14,55 cm", "cleo;02a;150 mm"):
        path.write_text(LENGTHS + given)
        (made, faults) = drafts_of([(handin, seen)], lambda _: "", read_measured_lengths(path))
        sized[given] = made[0].sized if made else faults[0][1]
    none, refused, full = sized.values()
    assert none == first
    assert refused == str(form.value) and "printed at 97.0 % of its size" in refused
    assert full == "Its test line was measured, 15 cm: it is printed at its true size."
    path.write_text(LENGTHS + "cleo;02a;14.55\nzoe;02a;15\n")
    assert assess_command([*command, "--lengths", str(path)]) == 0
    (row,) = marks_of(out).values()
    assert row["mark"] == "" and refused in row["notes"]
    came = (out / "came-in.csv").read_text(encoding="utf-8-sig")
    assert "lengths.csv, line 3" in came and "02a of zoe, and no photograph" in came


def test_each_wrong_line_of_measured_lengths_has_a_sentence(tmp_path):
    path = tmp_path / "lengths.csv"
    good = "ada;02a;15;;\nben;02b;;A to C 71,3;b to d: 600 mm\n"
    wrong = (
        "ada;02a;14,9;;\nben;99z;15;;\n;02a;15;;\ncleo;02a;long;;\ncleo;02a;1.5;;\n"
        "dan;02a;;71.3;A to C 50\ndan;02a;;A to C 71;\neve;02a;;;\n"
    )
    path.write_text(LENGTHS + good)
    read_table = read_measured_lengths(path)
    assert read_table.distances == {"ben;02b": (("A", "C", 71.3), ("B", "D", 60.0))}
    path.write_text(LENGTHS + good + wrong)
    with pytest.raises(PatternError) as fault:
        read_measured_lengths(path)
    said = str(fault.value)
    for number, words in enumerate(
        ("repeats ada, 02a", "names '99z'", "names no student", "'long' is not a length",
         "has '1.5' for the test line", "has '71.3' for distance 1; write it as A to C", "two are needed",
         "has no length"), 4,
    ):  # fmt: skip
        (one,) = [part for part in said.split("Line ") if part.startswith(f"{number} of lengths.csv ")]
        assert words in one


def test_a_notebook_read_from_a_photograph_is_worked_again(pictures, whole, tmp_path):
    """The picture came in with it and agrees; it shows it otherwise; a place was changed; no picture came."""
    draft = exercise("05c").reference(numbers_for("ada"))
    points = {name: draft[name] for name in POINTS}
    numbers = {f"across {c}": draft[f"across {c}"] for c in "CD"}
    moved = points | {"E": points["E"] + Point(1, 0)}
    sha = whole.sha256
    for name, placed, sha256 in (
        ("same", points, sha), ("moved", moved, sha), ("alone", points, "f" * 64), ("changed", points, ""),
    ):  # fmt: skip
        picture = [Photograph(sha256, whole.residual, page=1)] if sha256 else []
        record = record_of_places(
            "05c", placed, {}, student="ada", scale=2, photographs=picture, numbers=numbers
        )
        shown = {"output_type": "display_data", "metadata": {}, "data": {MIME: record}}
        cell = {"cell_type": "code", "id": "c", "metadata": {}, "source": "card.paper('05c')",
                "execution_count": 1, "outputs": [shown]}  # fmt: skip
        folder = tmp_path / "in" / "ada" / name
        folder.mkdir(parents=True)
        book = {"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
        (folder / "05c.ipynb").write_text(json.dumps(book))
    (tmp_path / "in" / "ada" / "same" / "a.jpg").write_bytes(pictures["whole"])
    assert assess_command([str(tmp_path / "in"), "--out", str(tmp_path / "marks"), "--workers", "1"]) == 0
    with open(tmp_path / "marks" / "marks.csv", encoding="utf-8-sig", newline="") as file:
        evidence = {row["file"].split("/")[1]: row["evidence"] for row in csv.DictReader(file)}
    assert evidence == {
        "same": "its places worked again: the same; its photograph came in too",
        "moved": "its photograph shows it otherwise",
        "alone": "its places worked again: the same",
        "changed": "its places worked again: differ",
    }


def test_a_page_whose_code_cannot_be_believed_is_no_hand_in(whole):
    handin = HandIn("x.jpg", ("x",), None)
    for label, said in (
        ("", "cannot be read"), ("https://example.org", "not one of this course"),
        ("draft1;99z;ada;2;a4;1/1;0;0", "not in this course"),
        ("draft1;05c;;2;a4;1/1;0;0", "not one of this"),
    ):  # fmt: skip
        made, faults = drafts_of([(handin, msgspec.structs.replace(whole, label=label))], lambda _: "")
        assert not made and said in faults[0][1] and faults[0][1].endswith(".")


def test_two_pictures_of_a_page_give_one_draft_and_a_doubted_flag_is_tapped(whole):
    handins = [HandIn(f"{n}.jpg", (str(n),), None) for n in "ab"]
    fewer = msgspec.structs.replace(whole, flags=dict(list(whole.flags.items())[:2]), residual=0.01)
    (made,), _ = drafts_of(zip(handins, (fewer, whole), strict=True), lambda _: "")
    assert set(made.record["points"]) == set(POINTS) and len(made.shots) == 1
    other = whole.label.replace(";1/1;", ";2/2;")
    moved = {n: (x + 0.5, y) for n, (x, y) in whole.flags.items()}
    second = msgspec.structs.replace(whole, label=other, flags=moved)
    (made,), _ = drafts_of(zip(handins, (whole, second), strict=True), lambda _: "")
    assert not made.record["points"] and "in two places" in made.notes[0]
    number, *rest = whole.flags
    bent = msgspec.structs.replace(whole, flags={n: whole.flags[n] for n in rest}, doubtful=[number])
    (made,), _ = drafts_of([(handins[0], bent)], lambda _: "")
    assert "is bent, partly covered or there twice" in made.notes[0] and made.missing[0] == "F"
    assert made.missing[0] in made.notes[0]


def test_photographs_that_are_gone_are_asked_for(tmp_path):
    with pytest.raises(PatternError, match="Give the command `assess` again"):
        tap_photographs("../../etc", tmp_path)
