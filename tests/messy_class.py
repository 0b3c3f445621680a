"""A class of forty over four weeks as a school's system gives it out: made by a script, nothing is kept.

`python -m tests.messy_class FOLDER` writes it, to be marked by the guide's words, in that folder:
`python -m patternlib assess handins --out marks --register class.csv --due due.csv`
"""

from __future__ import annotations

import io
import os
import sys
import zipfile
from pathlib import Path

sys.path.insert(0, os.path.dirname(os.path.dirname(__file__)))
sys.path.insert(0, os.path.dirname(__file__))
import hostile
import msgspec
from PIL import Image

from patternlib import Body, chart, make
from patternlib.assess import exercises
from patternlib.assess.learner.typed import read_typed, record_of
from patternlib.assess.own.own_file import as_exercise, read_own_file
from patternlib.assess.project.kept import Kept
from patternlib.assess.project.kept import record_of as project_record
from patternlib.assess.table.laying import lay
from patternlib.assess.tasks.catalogue import with_exercise
from patternlib.making import cutting_list
from patternlib.pieces import FUSING, side_length
from tests.form_tools import filled
from tests.table_steps import table_steps

KEYS = {"A": "loom", "B": "bobbin"}
WEEKS = {1: ("01a", "02a"), 2: ("02b", "03a"), 3: ("04a", "05a"), 4: ("06a", "08a")}
STUDENTS = tuple(f"s{n:02}" for n in range(1, 41))
MISSING = {1: ("s17",), 2: ("s17", "s22"), 3: ("s17",), 4: ("s17", "s09")}


MEASURED = (
    "bust_girth", "waist_girth", "hip_girth", "height", "back_waist_length", "waist_to_hip",
    "shoulder_length", "neck_girth",
)  # fmt: skip
"""What a learner measured for the project."""


def group(who: str) -> str:
    return "A" if int(who[1:]) % 2 else "B"


def key(who: str) -> str:
    return KEYS[group(who)]


def alias(who: str) -> str:
    return f"Learner{who[1:]} Potter"


def draft(who: str, exercise: str, *, way: str = "code", slip: str = "", of: str = "") -> dict:
    """A record: right, or with a slip: 'half', 'up', 'mm', 'untouched', 'wrong key'."""
    record = hostile.draft(of or who, exercise, "forgotten" if slip == "wrong key" else key(of or who))
    record |= {"way": way, "student": who}
    if slip == "half":  # a girth's half for its quarter, wherever a point lies far to the right
        name = max(record["points"], key=lambda n: record["points"][n][0], default="")
        if name:
            record["points"][name][0] *= 2
        else:
            record["numbers"] = {n: 2 * v for n, v in record["numbers"].items()}
    if slip == "up":
        for name in list(record["points"])[:1]:
            record["points"][name][1] += 2.5
    if slip == "mm":
        record["points"] = {
            n: [min(10 * x, 990), max(10 * y, -990)] for n, (x, y) in record["points"].items()
        }
        record["numbers"] = {n: min(10 * v, 990) for n, v in record["numbers"].items()}
    if slip == "untouched":
        record |= {"points": {}, "curves": {}, "numbers": {}, "finish": {}}
    return record


def code(who: str, exercises: tuple[str, ...], slip: str = "") -> tuple[str, ...]:
    """Cells that work drafts out and hand them in; a slip is made in the cell, as a learner makes it."""
    cells = ["from patternlib.assess import MIME, exercise\nfrom IPython.display import display"]
    own_key = "forgotten" if slip == "wrong key" else key(who)
    change = {
        "half": "name = max(points, key=lambda n: points[n][0], default='')\n"
        "if name:\n    points[name][0] *= 2\n"
        "else:\n    done['numbers'] = {n: 2 * v for n, v in done['numbers'].items()}",
        "up": "for name in list(points)[:1]:\n    points[name][1] += 2.5",
        "mm": "done['points'] = {n: [min(10 * x, 990), max(10 * y, -990)] for n, (x, y) in points.items()}\n"
        "done['numbers'] = {n: min(10 * v, 990) for n, v in done['numbers'].items()}",
        "untouched": "done.update(points={}, curves={}, numbers={}, finish={})",
    }.get(slip, "")
    for id in exercises:
        cells.append(
            f"work = exercise({id!r})\nmine = work.own_numbers({who!r}, {own_key!r})\n"
            f"plan = work.draw(mine)\npieces = work.finish(plan, mine) if work.finish else ()\n"
            f"done = work.record(mine, plan, student={who!r}, pieces=pieces)\npoints = done['points']\n"
            f"{change}\ndisplay({{MIME: done}}, raw=True)"
        )
    return tuple(cells)


def on_paper(exercises: tuple[str, ...]) -> tuple[str, ...]:
    """The cells of exercises that were drawn on paper: the card, and the form of each."""
    return (
        "from patternlib.assess import name_card\ncard = name_card()",
        *(f"card.paper({id!r})" for id in exercises),
    )


def on_a_board(who: str, exercises: tuple[str, ...]) -> tuple[str, ...]:
    """Cells of answer boards, as an earlier course had them: run again, they show nothing."""
    return tuple(f"print('{id}, {who}: no slider is set yet.')" for id in exercises)


def slip_of(who: str, week: int) -> str:
    n = int(who[1:])
    if (n, week) in {(12, 2), (12, 3)}:
        return "wrong key"
    if n == 14 and week in (1, 3):
        return "mm"
    if n == 16 and week == 3:
        return "untouched"
    if n % 3 == 0 and week < 4:
        return "half"
    return "up" if n % 7 == 0 else ""


def way_of(who: str, week: int) -> str:
    n = int(who[1:])
    return {0: "paper", 1: "board", 2: "table"}.get((n + week) % 6, "code")


def book(who: str, week: int) -> bytes:
    """One learner's notebook of a week, as saved: what its cells do, and the records in its outputs."""
    ids, slip, way = WEEKS[week], slip_of(who, week), way_of(who, week)
    if slip == "wrong key":
        way = "code"
    if way == "paper":
        records = [measured_record(who, e) for e in ids]
        return hostile.text(hostile.notebook(*records, cells=on_paper(ids)))
    if way == "table":
        records = [on_the_table(who, e) for e in ids]
        return hostile.text(hostile.notebook(*records, cells=("drafting_table = None",)))
    records = [draft(who, e, way=way, slip=slip) for e in ids]
    cells = on_a_board(who, ids) if way == "board" else code(who, ids, slip)
    return hostile.text(hostile.notebook(*records, cells=cells))


def on_the_table(who: str, exercise: str) -> dict:
    """A right draft on the drafting table, with the steps that were taken."""
    work = exercises()[exercise]
    of = work.own_numbers(who, key(who))
    laid = lay(work, of, table_steps(work, of))
    return work.record(of, laid.values, student=who, way="table") | {"steps": msgspec.to_builtins(laid.steps)}


def measured_record(who: str, exercise: str) -> dict:
    """A right draft on paper, measured to the millimetre and typed into the form."""
    work = exercises()[exercise]
    typed = filled(work, work.own_numbers(who, key(who)))
    return record_of(work, read_typed(work, typed), student=who, key=key(who)) | {"typed": typed}


def project(who: str) -> bytes:
    """One learner's lesson 16 with the form of the project: most are sound, each third has a slip."""
    if who == "s30":  # a friend's words under one's own name
        return project("s29").replace(b'"student": "s29"', b'"student": "s30"')
    n = int(who[1:])
    size = ("10", "12", "14", "16")[n % 4]
    girths = chart("course").body(size)
    typed = {"measures||whose": "of the size chart", "measures||unit": "cm", "style||garment": "pinafore"}
    for name in MEASURED:
        typed[f"measures|{name}|length"] = f"{getattr(girths, name):g}"
        typed[f"measures|{name}|how"] = "from a size chart"
    style = {"skirt_length": 60 + n % 5, "hip_ease": 6 + n % 3, "bib_height": 24}
    for i, (name, value) in enumerate(style.items(), 1):
        why = ("She kneels at the wheel.", "It goes over a jumper.", "It stays below the collar.")[i - 1]
        typed |= {f"style|{i}|value": name.replace("_", " "), f"style|{i}|is": str(value)}
        typed[f"style|{i}|why"] = f"{why} ({alias(who)})"
    kept = {name: getattr(girths, name) for name in MEASURED}
    made = make("pinafore", Body(**kept), **style)
    pieces = {p.name: p for p in made.pieces}
    for i, name in enumerate(("side seam", "bib to waistband", "yoke to back skirt"), 1):
        seam = next(s for s in made.seams if s.name == name)
        one, other = (side_length(pieces, side) for side in (seam.a, seam.b))
        one += 2.0 if n % 3 == 0 and i == 1 else 0.1
        typed |= {f"walks|{i}|seam": name, f"walks|{i}|one": f"{one:.1f}", f"walks|{i}|other": f"{other:.1f}",
                  f"walks|{i}|did": "Nothing, it is the pencil."}  # fmt: skip
    rows = [r for r in cutting_list(made) if r.cloth]
    typed |= {
        "ease||cloth": "cotton twill", "ease||thick": "0.5 mm", "ease||beneath": "0.05", "ease||grew": "10.1",
        "ease||width": "150", "ease||bought": "60" if n % 11 == 0 else "150",
        "ease||why": "Twill is firm, so I kept the starting value and more for the jumper.",
        "cutting||main": str(sum(r.cut for r in rows if r.cloth == rows[0].cloth)),
        "cutting||fused": str(sum(r.cut or 0 for r in rows if r.cloth == FUSING)),
        "cutting||sessions": "7",
        "toile|1|seen": "The hip pulls when I bend.", "toile|1|cause": "too little ease",
        "toile|1|changed": "hip ease", "toile|1|was": "5",
        "toile|1|is": str(style["hip_ease"] + (n % 7 == 0)),
        "photographs|1|name": "toile-front.jpg", "photographs|2|name": "pieces.jpg",
    }  # fmt: skip
    if n % 13 == 0:
        typed["measures|hip_girth|length"] = "980"  # millimetres, so nothing can be drawn
    shown = project_record(Kept(who, 9, typed))
    return hostile.text(hostile.notebook(shown, cells=("card.project()",)))


OWN = """title = "A pleat in the skirt"
lesson = 2
task = "Draw a pleat at centre front of the skirt block."
paper = "skirt block"
hints = ["Begin at the hip.", "Then the hem.", "It is an eighth of the hip girth wide."]
steps = [
  "From centre front hip go right hip girth / 8: mark pleat at hip",
  "From centre front hem go right hip girth / 8 + 1 cm: mark pleat at hem",
  "Rule from pleat at hip to pleat at hem: call it fold",
]
"""
"""An exercise of the teacher's own, 02p."""


def own_work(folder: Path, who: str) -> bytes:
    """One learner's draft of the own exercise on the table; every fifth takes the quarter for the eighth."""
    found = read_own_file(folder / "own_exercises" / "02p.toml")
    work = as_exercise(found)
    of = work.own_numbers(who, key(who))
    steps = list(found.steps)
    if int(who[1:]) % 5 == 0:
        steps[0] = msgspec.structs.replace(steps[0], measure="hip girth / 4")
    with with_exercise(work):
        drawn = work.record(of, lay(work, of, steps).values, student=who, way="table")
    record = drawn | {"steps": msgspec.to_builtins(steps)}
    return hostile.text(hostile.notebook(record, cells=("card.table('02p')",)))


def special(who: str, week: int) -> bytes | None:
    """Copies and forged records, one of each kind."""
    ids = WEEKS[week]
    if (who, week) == ("s20", 2):  # a friend's notebook with only the name changed: s32's points
        records = [draft(who, e, of="s32") for e in ids]
        own = [hostile.draft(who, e, key(who)) for e in ids]
        for record, mine in zip(records, own, strict=True):
            record["own_numbers"] = mine["own_numbers"]
        return hostile.text(hostile.notebook(*records, cells=code(who, ids)))
    if (who, week) == ("s24", 2):  # a friend's notebook as it is
        return book("s26", week)
    if (who, week) == ("s25", 3):  # right records, no work: the cells are emptied
        return hostile.text(hostile.notebook(*(draft(who, e) for e in ids), cells=("",)))
    if (who, week) == ("s27", 3):  # the way changed by hand
        return hostile.text(hostile.notebook(*(draft(who, e, way="board") for e in ids)))
    if (who, week) == ("s31", 4):  # code that stops when it sees the room
        cells = ("import os\nif 'IPYTHONDIR' in os.environ:\n    os._exit(0)", *code(who, ids))
        return hostile.text(hostile.notebook(*(draft(who, e) for e in ids), cells=cells))
    return None


def _toile_picture() -> bytes:
    """A photograph of something that is no worksheet."""
    out = io.BytesIO()
    Image.radial_gradient("L").resize((800, 1200)).save(out, "JPEG")
    return out.getvalue()


def _packed(entries: dict[str, bytes], day: str) -> bytes:
    out = io.BytesIO()
    year, month, date = map(int, day.split("-"))
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for i, (name, data) in enumerate(entries.items()):
            entry = zipfile.ZipInfo(name, (year, month, date, 9, i % 60, 0))
            archive.writestr(entry, data)
    return out.getvalue()


def write_class(folder: Path, *, projects: int = len(STUDENTS)) -> None:
    """Write handins, class.csv and due.csv; projects, with an own exercise: of the first so many learners."""
    own = projects > 0
    if own:
        (folder / "own_exercises").mkdir(parents=True)
        (folder / "own_exercises" / "02p.toml").write_text(OWN, encoding="utf-8")
    handins = folder / "handins"
    (handins / "week 1").mkdir(parents=True)
    for week in WEEKS:
        present = [w for w in STUDENTS if w not in MISSING[week]]
        made = {who: special(who, week) or book(who, week) for who in present}
        if week == 1:  # loose, named by id
            for who, data in made.items():
                (handins / "week 1" / f"{who}.ipynb").write_bytes(data)
            wrong = draft("s29", "02a", slip="half")
            (handins / "week 1" / "s29.ipynb").write_bytes(hostile.text(hostile.notebook(wrong)))
            (handins / "week 1" / "s29 (1).ipynb").write_bytes(book("s29", 1))
            (handins / "week 1" / "s22.html").write_text("<p>my notebook</p>")
            (handins / "week 1" / "s23.ipynb").rename(handins / "week 1" / "s23.ipynb (1)")
        elif week == 2:  # one zip of the school's system, lying inside the folder; zips in it
            entries = {}
            for who, data in made.items():
                late = "2026-03-12-08-15-00" if who in ("s05", "s06") else "2026-03-09-17-05-00"
                name = f"{alias(who)}_47{who[1:]}_{late}"
                inner = _packed({"my work/02.ipynb": data}, "2026-03-08")
                entries |= {f"{name}/work.zip": inner} if who == "s08" else {f"{name}/02.ipynb": data}
            (handins / "week 2 export.zip").write_bytes(_packed(entries, "2026-03-10"))
        elif week == 3:  # folders of the system, with attempts
            for who, data in made.items():
                times = ["2026-03-16-10-00-00"]
                if who in ("s03", "s10"):
                    times.append("2026-03-19-10-00-00")
                for i, stamp in enumerate(times):
                    place = handins / "week 3" / f"{alias(who)}_48{who[1:]}_{stamp}"
                    place.mkdir(parents=True)
                    right = [draft(who, e) for e in WEEKS[3]]
                    (place / "work.ipynb").write_bytes(
                        hostile.text(hostile.notebook(*right, cells=code(who, WEEKS[3]))) if i else data
                    )
            (handins / "week 3" / f"{alias('s17')}_4817_2026-03-16-10-00-00").mkdir()
        else:
            for who, data in made.items():
                place = handins / "week 4" / alias(who)
                (place / "photographs").mkdir(parents=True)
                (place / f"{who} plans.ipynb").write_bytes(data)
                if own and who in STUDENTS[:projects]:
                    (place / "02p a pleat.ipynb").write_bytes(own_work(folder, who))
                if who in STUDENTS[:projects]:
                    (place / "16_project.ipynb").write_bytes(project(who))
                (place / "photographs" / "toile-front.jpg").write_bytes(_toile_picture())
            (handins / "week 4" / alias("s33") / "toile.jpg").write_bytes(_toile_picture())
            (handins / "week 4" / alias("s34") / "old.rar").write_bytes(b"Rar!")
            (handins / "week 4" / alias("s35") / f"{alias('s36')} help.ipynb").write_bytes(book("s36", 4))
    _write_tables(folder, own)


def _write_tables(folder: Path, own: bool) -> None:
    """class.csv and due.csv; own: with the days of the project and of an exercise of one's own."""
    lines = ["id,handed in as,group,key,leave,extra days,name"]
    for who in STUDENTS:
        leave = "2026-03-05 to 2026-03-11" if who == "s05" else ""
        extra = "2" if who == "s03" else ""
        lines.append(f"{who},{alias(who)},{group(who)},{key(who)},{leave},{extra},{alias(who)}")
    (folder / "class.csv").write_text("\r\n".join(lines), encoding="utf-8")
    due = {"01a": "02", "02a": "02", "02b": "09", "03a": "09 23:00", "04a": "16", "05a": "16", "06a": "23",
           "08a": "23"} | ({"16": "30", "02p": "23"} if own else {})  # fmt: skip
    days = [f"{exercise},2026-03-{day}" for exercise, day in due.items()]
    (folder / "due.csv").write_text("\r\n".join(["exercise,due", *days]) + "\r\n")


if __name__ == "__main__":
    write_class(Path(sys.argv[1]))
