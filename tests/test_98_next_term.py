"""A new class never gets own marks of the last one: told by keys, by names, by what was handed in."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from patternlib.assess.marking.changes import OTHER_DRAFT
from patternlib.assess.marking.command import assess_command

sys.path.insert(0, os.path.dirname(__file__))
import hostile
from test_96_class_run import table as marks_of


def test_the_next_class_does_not_get_the_own_marks_of_the_last(tmp_path, capsys):
    """The same ids with another key, into the old folder: refused, and the old marks stay as they are."""
    for term, key, ids in (("spring", "loom", ("s01", "s02")), ("autumn", "bobbin", ("s01", "s02", "s03"))):
        (tmp_path / term).mkdir()
        for who in ids:
            book = hostile.notebook(hostile.draft(who, key=key))
            (tmp_path / term / f"{who}.ipynb").write_bytes(hostile.text(book))
        rows = ["id,key", *(f"{who},{key}" for who in ids)]
        (tmp_path / f"{term}.csv").write_text("\n".join(rows), encoding="utf-8")

    def mark(term: str, out: str) -> int:
        table = ["--register", str(tmp_path / f"{term}.csv")]
        return assess_command([str(tmp_path / term), "--out", str(tmp_path / out), *table])

    assert mark("spring", "marks") == 0
    before = (tmp_path / "marks" / "marks.csv").read_bytes()
    assert mark("autumn", "marks") == 2
    assert "holds the marks of a class with other keys" in capsys.readouterr().err
    assert (tmp_path / "marks" / "marks.csv").read_bytes() == before
    assert mark("autumn", "new") == 0 and mark("spring", "marks") == 0


def test_own_marks_of_other_learners_are_told_where_ids_and_key_stay(tmp_path, capsys):
    """The same ids and key: other names are told or refused; an own mark on another draft is told."""

    def mark(*names: str, hip: float = 0.0) -> tuple[int, str]:
        rows = ["id,key,name", *(f's0{n},loom,"{name}"' for n, name in enumerate(names, 1))]
        (tmp_path / "class.csv").write_text("\n".join(rows), encoding="utf-8")
        (tmp_path / "in").mkdir(exist_ok=True)
        for n in range(1, len(names) + 1):
            draft = hostile.draft(f"s0{n}", key="loom")
            x, y = draft["points"]["side hip"]
            draft["points"]["side hip"] = [x + hip, y]
            (tmp_path / "in" / f"s0{n}.ipynb").write_bytes(hostile.text(hostile.notebook(draft)))
        table = ["--register", str(tmp_path / "class.csv"), "--out", str(tmp_path / "marks")]
        status = assess_command([str(tmp_path / "in"), *table])
        told = capsys.readouterr()
        return status, told.out + told.err

    ours = ("Ada Lovelace", "Grace Hopper", "Nell Bly")
    assert mark(*ours)[0] == 0
    path = tmp_path / "marks" / "own-remarks.csv"
    path.write_text("student,exercise,own mark,own remark\ns02,02a,3,Good\n", encoding="utf-8")
    assert "LOOK" not in mark(*ours)[1]
    assert "LOOK" not in mark("Lovelace, Ada", "HOPPER, Grace", "Nell Bly")[1]  # the same, written otherwise
    assert "LOOK" not in mark("Mary Ward", "Grace Hopper", "Nell Bly")[1]  # no own mark stands at s01
    status, told = mark("Mary Ward", "Lise Meitner", "Nell Bly")
    assert status == 0 and "LOOK: s02 had another name in the table before" in told
    before = (tmp_path / "marks" / "marks.csv").read_bytes()
    status, told = mark("Emmy Noether", "Rosa Bonheur", "Ann Low")
    assert status == 2 and "holds the marks of other learners" in told
    assert (tmp_path / "marks" / "marks.csv").read_bytes() == before
    for _ in range(2):  # it is told each time, until the own mark is another one
        told = mark("Mary Ward", "Lise Meitner", "Nell Bly", hip=2.0)[1]
        assert "LOOK: 1 of your own marks were given to other drafts" in told and "(s02 02a)" in told
    assert OTHER_DRAFT in (tmp_path / "marks" / "marks.csv").read_text(encoding="utf-8-sig")
    assert OTHER_DRAFT not in (tmp_path / "marks" / "students" / "s02.html").read_text(encoding="utf-8")
    path.write_text("student,exercise,own mark,own remark\ns02,02a,2,Good\n", encoding="utf-8")
    assert "LOOK" not in mark("Mary Ward", "Lise Meitner", "Nell Bly", hip=2.0)[1]


def _term(folder: Path, who: tuple[str, ...], off: float) -> None:
    """Hand-ins of a term: the same ids and key give the same numbers, and a right draft is the same draft."""
    folder.mkdir()
    for n, id in enumerate(who):
        draft = hostile.draft(id, key="loom")
        if n % 2:  # every other draft is right, and so the same in each term
            x, y = draft["points"]["side hip"]
            draft["points"]["side hip"] = [x + off, y]
        book = hostile.notebook(draft) | {"metadata": {"saved in": folder.name}}
        (folder / f"{id}.ipynb").write_bytes(hostile.text(book))


@pytest.mark.parametrize("register", ["", "id,key,name\n"])
def test_a_new_class_with_the_old_key_and_ids_is_asked_about(tmp_path, capsys, register):
    """First names, the old folder for the marks, the same key: asked loudly, nothing is written."""
    ids = ("anna", "ben", "cleo", "dan")
    _term(tmp_path / "spring", ids, 1.0)
    _term(tmp_path / "autumn", ids, 2.0)
    out, own = tmp_path / "marks", tmp_path / "marks" / "own-remarks.csv"
    table = []
    if register:
        table = ["--register", str(tmp_path / "class.csv")]
        rows = "".join(f"{id},loom\n" for id in ids)
        (tmp_path / "class.csv").write_text(register.replace(",name", "") + rows, encoding="utf-8")

    def mark(term: str) -> tuple[int, str]:
        status = assess_command([str(tmp_path / term), "--out", str(out), "--key", "loom", *table])
        return status, capsys.readouterr().err

    def held() -> dict[str, bytes]:
        return {str(p): p.read_bytes() for p in out.rglob("*") if p.is_file()}

    assert mark("autumn")[0] == 0 and mark("spring")[0] == 0  # there is no own mark that could be taken
    own.write_text("student,exercise,own mark,own remark\nanna,02a,3,Good\n", encoding="utf-8")
    (tmp_path / "spring" / "anna (2).ipynb").write_bytes((tmp_path / "autumn" / "anna.ipynb").read_bytes())
    assert mark("spring")[0] == 0  # the old hand-ins lie there, a new one beside them
    before = held()
    if "name" in register:  # names that were not there before say nothing of who was there before
        named = "".join(f"{id},loom,{id} Smith\n" for id in ids)
        (tmp_path / "class.csv").write_text(register + named, encoding="utf-8")
    for _ in range(2):
        status, told = mark("autumn")
        assert status == 2 and "IS THIS ANOTHER CLASS? 4 of the 5 files" in told, told
        assert held() == before
    (out / "judged.json").unlink()  # the teacher's answer: it is the same class
    assert mark("autumn")[0] == 0
    assert next(r for r in marks_of(out) if r["student"] == "anna")["own mark"] == "3"


def test_a_class_known_by_name_may_hand_all_of_it_in_again(tmp_path, capsys):
    ids = ("anna", "ben", "cleo", "dan")
    _term(tmp_path / "week 1", ids, 1.0)
    _term(tmp_path / "week 2", ids, 2.0)
    rows = "".join(f"{id},loom,{id} Smith\n" for id in ids)
    (tmp_path / "class.csv").write_text(f"id,key,name\n{rows}", encoding="utf-8")
    table = ["--out", str(tmp_path / "marks"), "--register", str(tmp_path / "class.csv")]
    assert assess_command([str(tmp_path / "week 1"), *table]) == 0
    own = tmp_path / "marks" / "own-remarks.csv"
    own.write_text("student,exercise,own mark,own remark\nanna,02a,3,Good\n", encoding="utf-8")
    assert assess_command([str(tmp_path / "week 2"), *table]) == 0
