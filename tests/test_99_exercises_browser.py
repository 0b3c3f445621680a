"""Every exercise answered as a learner answers it: in a real JupyterLab, rightly and with one thing wrong.

- Run unanswered, nothing is red, and every check says in words that nothing is there yet.
- The solution's answers, put into the cells to write in, show full marks on every line.
- With one thing wrong, its line says so in a sentence with the size of the fault, the drawing shows it,
  and the other marks stay.
- The same on the paper form, measured off the own draft in millimetres.
- The saved notebook gives the class command the very drafts and marks that the screen showed.

One lesson is tried whenever the tests run, all of them with `-m slow`.
"""

from __future__ import annotations

import contextlib
import csv
import re
import shutil
from dataclasses import dataclass

import nbformat
import pytest

from patternlib.assess import exercises, judge
from patternlib.assess.hand_ins.notebook import read_notebook
from patternlib.assess.marking.command import assess_command
from patternlib.assess.table.kept import FOLDER
from patternlib.assess.tasks.record import Record, read
from patternlib.geometry import Curve, Point
from tests import browser_tools as tools

pytestmark = pytest.mark.browser

EXERCISES, SOLUTIONS = tools.REPO / "exercises", tools.REPO / "solutions"
LATER = ("17", "18", "20", "21", "22")
"""Their exercises are answered rightly here; wrongly on the table, in test_99_table_exercises_browser."""
LESSONS = sorted(path.stem for path in EXERCISES.glob("[0-9][0-9]_*.ipynb"))


@dataclass(frozen=True)
class Slip:
    """One thing changed in a cell of an answer; the step that is then wrong, and by how much (a pattern)."""

    cell: str
    old: str
    new: str
    step: str
    by: str = ""


FLIPPED = 'right_of="side waist level"'
TURNED = 'side hem", about=pin, by=-closing'
FRONT = "front skirt: allowance of centre front"
CORNER = "back pocket: corner of outer side / opening"
LESS = '- sheet["selvedge"]'
SLIPS = {
    "01a": [
        Slip("draw-1", "hip / 4)", "hip / 2)", "quarter of the hip", r"2\d(\.\d)? cm"),
        Slip("draw-2", "hip / 2 - waist / 2", "hip / 2 - waist / 2 + 1", "shaping", "1 cm"),
    ],
    "01b": [Slip("draw-3", "29 7/8 in", "29 7/8", "waist in cm", "46 cm")],  # 1.54 x 29.875
    "02a": [
        Slip("draw-1", '"waist to hip")', '"waist to hip") + 1', "centre back hip", "1 cm"),
        Slip(
            "draw-2", 'right_of="centre back hip"', 'left_of="centre back hip"', "side hip", r"52(\.\d)? cm"
        ),
    ],
    "02b": [
        Slip("draw-3", 'left_of="side waist level"', FLIPPED, "back side waist", r"5\.\d cm"),
        Slip("draw-4", 'waist", leaving="up"', 'waist", leaving="left"', "back hip curve", r"[\d.]+ cm"),
    ],
    "03a": [
        Slip("draw-4", "at_angle=-slope", "at_angle=slope", "back shoulder tip", r"[\d.]+ cm"),
        Slip(
            "draw-2", 'half, right_of="centre', 'half + 1, right_of="centre', "centre front bust line", "1 cm"
        ),
    ],
    "03b": [Slip("draw-3", "2, from_", "3, from_", "bust dart end", "1 cm")],
    "03c": [Slip("draw-20", 'lower part"))', 'lower part") + 1)', "side seam", "1 cm")],
    "04a": [Slip("draw-3", 'side hem", about=pin, by=closing', TURNED, "side hem, closed", r"[\d.]+ cm")],
    "04b": [Slip("draw-4", "3, from_", "4, from_", "new dart end", "1 cm")],
    "05a": [
        Slip(
            "draw-2",
            '=("leg", "second leg")',
            '=("leg", "second leg"), share=1 / 4',
            "middle of the mouth",
            r"[\d.]+ cm",
        )
    ],
    "05b": [Slip("draw-3", "back - front", "front - back", "shoulder ease", "1.6 cm")],  # twice 0.8
    "05c": [Slip("draw-1", 'to_the="right"', 'to_the="left"', "C", "27 cm")],  # twice 13.5
    "06a": [Slip("draw-3", '"bib top") / 2', '"bib top")', "bib corner", "11.5 cm")],
    "06b": [Slip("draw-5", "opening, along", "opening + 1, along", "opening end", "1 cm")],
    "07a": [Slip("draw-5", '"yoke depth")', '"yoke depth") + 1', "yoke at centre back", "1 cm")],
    "07b": [Slip("draw-4", 'below="pocket bottom', 'above="pocket bottom', "pocket point", "4 cm")],
    "08a": [Slip("draw-2", 'measure("strap level")', 'measure("strap level") + 1', "strap level", "1 cm")],
    "08b": [Slip("draw-1", "+ 2 * 1.5", "+ 1.5", "cut width", "1.5 cm")],
    "09a": [
        Slip("draw-3", "(-12, -20)", "(-8, -20)", "front skirt: grain", "7.6°"),  # atan 4 / 30
        Slip("draw-3", "cut 1 on the fold", "cut 2", "front skirt: label"),
    ],
    "09b": [
        Slip("draw-4", "cut 2 as a pair", "cut 2", "back pocket: label"),
        Slip(
            "draw-2",
            "sheet.length(line))\nfor",
            "sheet.length(line) + (line == 'yoke line'))\nfor",
            "yoke line, length",
            "1 cm",
        ),
    ],
    "10a": [
        Slip("draw-3", '"opening": 2.5', '"opening": 1', "back pocket: allowance of opening", "1.5 cm"),
        Slip("draw-4", '"opening", at=', "corner[0], at=", CORNER),
    ],
    "10b": [
        Slip("draw-4", '"centre front": 0', '"centre front": 1', FRONT, "1 cm"),
        Slip("draw-2", "- 90)", "- 92)", "lean, angle", "2.0°"),
    ],
    "11a": [
        Slip("draw-3", ", double=True", "", "back skirt: notches of yoke edge"),
        Slip("draw-1", '1, below="inner', '2, below="inner', "inner drill hole", "1 cm"),
    ],
    "11b": [
        Slip("draw-3", "seat - 0.42 * seat", "seat - 0.42 * seat + 1", "strap: notches of base", "1 cm"),
        Slip("draw-1", "0.42 * seat, along", "0.42 * seat + 1, along", "seat notch", "1 cm"),
    ],
    "12a": [
        Slip("draw-1", 'length("back side")', 'length("back side") - 0.6', "back side, length", "6.0 mm")
    ],
    "12b": [Slip("draw-3", 'length("waistline"))', 'length("waistline") + 1)', "band's spring", "1 cm")],
    "13a": [Slip("draw-2", '"neck takes", front / 4', '"neck takes", front / 2', "neck takes", "1.6 cm")],
    "13b": [
        Slip(
            "draw-3",
            'waist beyond the size"] / 4',
            'waist beyond the size"] / 2',
            "side moves out at the waist",
            "1.5 cm",
        )
    ],
    "14a": [Slip("draw-1", LESS, f"{LESS} * 2", "usable width on the fold", "1.5 cm")],
    "14b": [Slip("draw-3", "/ 0.96", "/ 0.96 + 1", "flat, before washing", "1 cm")],
    "15a": [Slip("draw-3", "4 * (quarter", "2 * (quarter", "too tight round the hip by", "3.1 cm")],
    "15b": [Slip("draw-2", ' + sheet["seam allowance"]\nlong', "\nlong", "skirt panel, across", "1 cm")],
}


# -- the page


class Desk:
    """A learner's copy of an exercise notebook, open in the page."""

    def __init__(self, lab, browser, name: str, **window):
        self.file = lab.folder / f"{name}.ipynb"
        book = nbformat.read(EXERCISES / self.file.name, as_version=4)
        self.places = {c.id: k for k, c in enumerate(c for c in book.cells if c.cell_type == "code")}
        self.blank = {c.id for c in book.cells if c.metadata.get("tags") == ["draft here"]}
        self.ids = sorted({id[:3] for id in self.places if re.match(r"\d\d[a-z]-", id)})
        solution = nbformat.read(SOLUTIONS / self.file.name, as_version=4)
        self.answers = {c.id: c.source for c in solution.cells if c.id in self.blank}
        for cell in book.cells:  # the part in code is unfolded
            cell.metadata.pop("jp-MarkdownHeadingCollapsed", None)
        self.page = tools.open_page(browser, lab.write(self.file.name, book), **window)
        self.lab = lab

    def close(self) -> None:
        """Close the page and end its kernel, so that fifteen of them never run at once."""
        self.page.context.close()
        tools.end_kernels(self.lab)
        shutil.rmtree(self.lab.folder / FOLDER, ignore_errors=True)  # the next learner's card is empty

    def write(self, cell: str, source: str) -> None:
        tools.write_cell(self.page, self.places[cell], source)

    def run(self, cell: str = "") -> None:
        """Run one cell, or all of them; nothing may be red."""
        tools.run_cell(self.page, self.places[cell]) if cell else tools.run_to_the_end(self.page)
        red = self.page.locator(
            ".jp-OutputArea-output[data-mime-type*='vnd.jupyter.error'],"
            ".jp-OutputArea-output[data-mime-type*='vnd.jupyter.stderr']"
        )
        assert red.all_inner_texts() == []

    def said(self, cell: str) -> str:
        """The text below a cell."""
        return "\n".join(self.output(cell).locator(".jp-OutputArea-output").all_inner_texts())

    def output(self, cell: str):
        return self.page.locator(".jp-CodeCell").nth(self.places[cell]).locator(".jp-OutputArea")

    def verdict(self, cell: str) -> Shown:
        """What a checking cell or a form shows; nothing of it may be cut off at the page's edge."""
        place = self.output(cell)
        if cell.endswith("-paper"):
            return shown(place.locator(".pf-drawing"))
        assert place.evaluate(CUT_OFF) == []
        return shown(place)

    def save(self) -> bytes:
        tools.save(self.page)
        return self.file.read_bytes()


@dataclass(frozen=True)
class Shown:
    """What a checking cell shows: its heading, and for each line the sign, the sentence and the marks."""

    head: str
    lines: tuple[tuple[str, str, str], ...]
    all: str

    @property
    def wrong(self) -> list[str]:
        return [text for sign, text, _ in self.lines if sign == "✗"]

    @property
    def marks(self) -> tuple[float, float]:
        mark, out_of = re.fullmatch(r".*: ([\d.]+) of ([\d.]+)\.", self.head).groups()
        return float(mark), float(out_of)


IN_CODE = ".jp-OutputArea:not(:has(.paper-form)):has(tbody td)"
CUT_OFF = """e => [...e.querySelectorAll('.jp-OutputArea-output')]
  .filter(o => o.scrollWidth > o.clientWidth + 1).map(o => o.innerText)"""
READ = """e => [e.querySelector('b')?.innerText ?? '', e.innerText,
  ...[...e.querySelectorAll('tbody tr')].map(r => [...r.cells].map(c => c.innerText.trim()))]"""


def shown(place) -> Shown:
    """Read a verdict off the page."""
    head, text, *lines = place.evaluate(READ)
    return Shown(head, tuple(map(tuple, lines)), text)


# -- what is written into the notebook


def ruler(value) -> object:
    """A value as it is measured off the paper, to the millimetre: a curve at nine places."""
    if isinstance(value, Point):
        return tuple(round(c, 1) + 0.0 for c in value)
    if isinstance(value, Curve):
        return [ruler(value.at(value.length * k / 8)) for k in range(9)]
    return round(value, 1)


FAR = {"10b": 4, "11b": 3, "13a": 4, "14b": 4, "15b": 4}
"""Exercises whose first number is a multiple of what is measured: how far off it is typed, cm or degrees."""


def one_off(id: str, measures: dict) -> tuple[str, dict]:
    """The measures with the first that is no curve a centimetre too far, or FAR; its name."""
    by = FAR.get(id, 1)
    name = next(n for n, value in measures.items() if not isinstance(value, list))
    value = measures[name]
    return name, {
        **measures,
        name: (round(value[0] + by, 1), value[1]) if isinstance(value, tuple) else round(value + by, 1),
    }


def type_form(desk: Desk, id: str, measures: dict) -> None:
    """Open the form of an exercise and fill it in, field by field, then compare."""
    form = desk.output(f"{id}-paper").locator(".paper-form")
    if form.get_attribute("open") is None:
        form.locator("summary").first.click()
    for name, value in measures.items():
        row = form.locator(f'[data-row="{name}"]')
        places = value if isinstance(value, list) else [value]
        if isinstance(value, list):
            while row.locator(".pf-line").count() < len(value):
                row.get_by_role("button", name="Add a place").click()
        texts = [f"{part:g}" for place in places for part in (place if isinstance(place, tuple) else [place])]
        for field, text in zip(row.locator("input").all(), texts, strict=False):
            field.fill(text)
    form.get_by_role("button", name="Compare with the rule").click()
    form.locator(".pf-drawing tbody td").first.wait_for()


# -- what has to be on the page


def assert_all_right(verdict: Shown, *, of: int) -> None:
    """Full marks for every line that this way of answering covers."""
    done = [line for line in verdict.lines if "not handed in" not in line[1]]
    assert [text for sign, text, _ in done if sign != "✓"] == []
    assert len(done) == of and all(re.fullmatch(r"([\d.]+) / \1", marks) for *_, marks in done)
    assert verdict.marks[0] == sum(float(marks.split(" / ")[1]) for *_, marks in done)


def assert_one_wrong(desk: Desk, cell: str, step: str, by: str) -> None:
    """One line is off, in a sentence with the size of the fault; the rest keeps its marks."""
    verdict = desk.verdict(cell)
    said = rf": off by {by}(?!\w).*?" if by else ": not right yet"
    assert len(verdict.wrong) == 1, verdict
    found = re.match(rf"{re.escape(step)}{said}\. ([A-Z'].{{15,}}[.?])$", verdict.wrong[0])
    assert found, verdict.wrong
    mark, out_of = verdict.marks
    assert 0 < mark < out_of
    assert "Next: look at" in verdict.all and "Traceback" not in verdict.all
    kinds = {asked.name: asked.kind for asked in exercises()[cell[:3]].asked}
    if kinds[step] == "point":
        drawing = desk.output(cell).locator("figure", has_text="Your draft").locator("svg")
        assert re.search(by, drawing.text_content()), "the deviation is not drawn"


def assert_target(line, kind: str, own: object) -> None:
    """The place or measure that a line was judged by is the right answer's; own: as measured off that."""
    if kind in ("point", "number"):
        assert line.want == pytest.approx(list(own) if kind == "point" else own, abs=0.3)
    elif kind == "curve":
        assert line.want > 0 and line.got > 0
    else:
        assert line.want is not None and type(line.want) is type(line.got)


def assert_saved(desk: Desk, folder, own: dict[str, dict] | None = None) -> dict[str, Record]:
    """The saved file gives the class command what the screen shows; returns the last record of each.

    own: the measures of the right answers, where the one that is off is compared with them.
    """
    data = desk.save()
    screen = [shown(place) for place in desk.page.locator(IN_CODE).all()]
    every = [read(raw) for raw in read_notebook(data).records]
    records = [record for record in every if record.way == "code"]
    verdicts = [judge(record) for record in records]
    for seen, verdict in zip(screen, verdicts, strict=True):
        assert [text for _, text, _ in seen.lines] == [line.text for line in verdict.lines]
        assert [marks for *_, marks in seen.lines] == [f"{n.mark:g} / {n.weight:g}" for n in verdict.lines]
        kinds = {asked.name: asked.kind for asked in exercises()[verdict.exercise].asked}
        for line in verdict.lines if own else ():
            if line.verdict == "off":
                assert_target(line, kinds[line.step], own[verdict.exercise].get(line.step))
    handins, marks = folder / "hand-ins", folder / "marks"
    own = handins / "your name"
    own.mkdir(parents=True, exist_ok=True)
    (own / desk.file.name).write_bytes(data)
    assert assess_command([str(handins), "--out", str(marks)]) == 0
    with (marks / "marks.csv").open(encoding="utf-8-sig", newline="") as file:
        table = {row["exercise"]: row for row in csv.DictReader(file)}
    last = {record.exercise: (record, seen) for record, seen in zip(records, screen, strict=True)}
    assert sorted(table) == sorted(last) == desk.ids
    for id, (record, seen) in last.items():
        mark, out_of = seen.marks
        row = table[id]
        assert (row["student"], row["way"], row["state"]) == ("your name", record.way, "judged")
        assert (float(row["mark"]), float(row["out of"])) == (mark, out_of)
    return {id: record for id, (record, _) in last.items()}


# -- the trial


@pytest.mark.parametrize("name", [pytest.param(n, marks=pytest.mark.slow) for n in LESSONS])
def test_a_lesson_is_answered_rightly_and_wrongly(lab, browser, tmp_path, name):
    desk = Desk(lab, browser, name)
    with contextlib.closing(desk):
        try_unanswered(desk)
        own = try_right_answers(desk, tmp_path)
        if name[:2] not in LATER:
            try_wrong_answers(desk, tmp_path, own)


def try_unanswered(desk: Desk) -> None:
    """A fresh copy, run from the top."""
    desk.run()
    for id in desk.ids:
        title = exercises()[id].title
        check = desk.said(f"{id}-compare")
        assert check.startswith(f"{title}: nothing is drawn yet.") and "\nNext: " in check
        for way in ("table", "paper"):
            assert desk.said(f"{id}-{way}").strip().startswith("Write your name on the card")
    first, *_, last = desk.ids
    desk.run(f"{first}-compare")  # the sheet at hand is now the last exercise's
    assert f"that of {last}. Run the cell below the task of {first}" in desk.said(f"{first}-compare")


def try_right_answers(desk: Desk, folder) -> dict[str, dict]:
    """The name, the solution's answers, the same on paper; returns the measures of each draft."""
    desk.page.locator(".name-card input").first.fill("your name")
    desk.page.keyboard.press("Enter")
    desk.page.wait_for_selector(".paper-form", state="attached")
    for cell, source in desk.answers.items():
        desk.write(cell, source)
    desk.run()
    own = {}
    for id, record in assert_saved(desk, folder).items():
        asked = exercises()[id].asked
        assert_all_right(desk.verdict(f"{id}-compare"), of=len(asked))
        assert "Everything asked is right." in desk.said(f"{id}-compare")
        own[id] = {name: ruler(value) for name, value in record.values().items()}
        type_form(desk, id, own[id])
        assert_all_right(desk.verdict(f"{id}-paper"), of=len(own[id]))
    return own


def try_wrong_answers(desk: Desk, folder, own: dict[str, dict]) -> None:
    """Each slip in turn, and on paper one measure a centimetre off."""
    off, typed = {}, {}
    for id in desk.ids:
        off[id], typed[id] = one_off(id, own[id])
        type_form(desk, id, typed[id])
        near = r"[2-4](\.\d)?( cm|°)" if id in FAR else r"(0\.9 cm|9\.\d mm|1(\.[01])? cm|1[01]\.\d mm)"
        assert_one_wrong(desk, f"{id}-paper", off[id], near)
    for turn in range(max(len(SLIPS[id]) for id in desk.ids)):
        slips = {id: SLIPS[id][turn] for id in desk.ids if turn < len(SLIPS[id])}
        for id, slip in slips.items():
            source = desk.answers[f"{id}-{slip.cell}"]
            assert source.count(slip.old) == 1
            desk.write(f"{id}-{slip.cell}", source.replace(slip.old, slip.new))
        desk.run()
        for id, slip in slips.items():
            assert_one_wrong(desk, f"{id}-compare", slip.step, slip.by)
            desk.write(f"{id}-{slip.cell}", desk.answers[f"{id}-{slip.cell}"])
    assert_saved(desk, folder, own)
    saved = [read(raw) for raw in read_notebook(desk.file.read_bytes()).records]
    paper = {record.exercise: record for record in saved if record.way == "paper"}
    for id in desk.ids:
        places = {n: value for n, value in typed[id].items() if not isinstance(value, list)}
        assert {n: ruler(paper[id].values()[n]) for n in places} == places


def test_every_exercise_has_a_slip_of_its_own():
    assert set(SLIPS) == {id for id in exercises() if id[:2] not in LATER}
