"""What the instructor judges in words, of the project and of own exercises.

Sheets to fill in, a learner's own part of the project, the whole class.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from ..hand_ins.students import without_names
from ..project.levels import CALLED, PROJECT, TITLE, Criterion, column, criteria
from ..project.still import as_lines
from ..safe_text import folded, for_html, one_line
from ..tasks.catalogue import exercises
from ..tasks.in_words import InWords
from .class_marking import Class
from .evidence import Answer
from .marks import Row, number
from .pages import anchor, grid, page, with_own_ids

SAID = {"right": "right", "near": "look at it again", "off": "not right", "missing": "missing"}
_STYLE = """<style>
.written{columns:2;column-gap:1.6rem}.written h3{font-size:1.1em;margin:.6em 0 .1em}
.written svg{width:100%}.written td:first-child{width:30%}.back{float:right;font-size:.85rem;font-weight:400}
.levels{margin-top:1.5rem}.levels th{white-space:nowrap}.levels td{width:15%}.levels td:first-child{width:40%}
.levels ul{margin:.1rem 0}.chosen{display:block;outline:2px solid #4a6b7c;outline-offset:3px;font-weight:600}
@media print{.written,.levels{font-size:10px;line-height:1.28}.written svg{max-height:26vh}
  .written td,.levels td{padding:.15rem .5rem .15rem 0}.levels{break-before:page;margin:0}.back{display:none}
  h2{border:0;margin:0;padding:0}
  #contents{font-size:10px;line-height:1.2}#contents td{padding:.1rem .5rem .1rem 0}}
@media(max-width:46rem){.written{columns:1}}
</style>"""
LIBRARY = (
    "Checks.txt, where it was handed in, proves how the library drafts. It says nothing about the learner's "
    "own paper: look at the walks, the photographs and the paper itself."
)


def projects_of(work: Class) -> list[tuple[Answer, list[Row]]]:
    """Each project that counts, with its rows, by student."""
    rows: dict[str, list[Row]] = {}
    for row in work.rows:
        if row.of_project:
            rows.setdefault(folded(row.student), []).append(row)
    order = list(criteria())
    for mine in rows.values():
        mine.sort(key=lambda row: order.index(row.criterion))
    found = [a for a in work.answers if a.is_project and a.row is not None and a.row.criterion]
    return [(a, rows[folded(a.student)]) for a in sorted(found, key=lambda a: folded(a.student))]


def project_sheets(work: Class) -> str:
    """The page of all projects: who stands where, with links, then two printed pages for each learner."""
    found = projects_of(work)
    said = (
        "<p>Each project has two pages when it is printed: what was written, and the criteria. Circle one "
        "level for each criterion, then write its number, 0 to 3, into the column <em>own mark</em> of "
        "marks.csv, in the line of the criterion; they stand there in the same order. <em>ok</em> takes the "
        "level that is proposed. To print one project only, choose its two pages as you print: project 1 in "
        f"this table begins on the first page after it. {LIBRARY}</p>"
    )
    lines = [
        (f'<a href="#project-{n}">{for_html(answer.student)}</a>', *_levels(rows), _to_look_at(answer))
        for n, (answer, rows) in enumerate(found)
    ]
    heads = ("student", *criteria(), "total", "look at")
    contents = grid(heads, lines, tuple(range(1, len(heads) - 1)))
    sheets = [_sheet(n, answer, rows, work) for n, (answer, rows) in enumerate(found)]
    top = f'<section class="sheet" id="contents"><h1>Projects</h1>{said}{contents}</section>'
    return page("Projects", _STYLE + top + "\n".join(sheets))


def _levels(rows: Sequence[Row]) -> list[str]:
    """A cell for each criterion, a proposed level in brackets, and their sum once all are given."""
    cells = [number(r.final) or (f"({number(r.judged)})" if r.judged is not None else "–") for r in rows]
    given = [r.final for r in rows if r.final is not None]
    return [*cells, number(sum(given)) if len(given) == len(rows) else ""]


def _to_look_at(answer: Answer) -> str:
    """What is not right or missing, in a few words each."""
    wrong = [x["step"] for x in answer.judged.verdict["lines"] if x["verdict"] != "right"]
    return for_html(", ".join(wrong), 300)


def _sheet(n: int, answer: Answer, rows: Sequence[Row], work: Class) -> str:
    by_criterion = {row.criterion: row for row in rows}
    parts = [f'<section class="sheet" id="project-{n}"><h2>{for_html(answer.student)} · {TITLE}']
    parts.append('<a class="back" href="#contents">all projects</a></h2><div class="written">')
    if answer.judged.picture:
        parts.append(with_own_ids(answer.judged.picture, f"p{n}"))
    parts += [f"<p>{for_html(note, 600)}</p>" for note in rows[0].notes if note in answer.notes]
    parts += _typed(answer.record.typed)
    parts.append(f"{_photographs(answer, work)}</div>")
    levels = [f"{level} {words}" for level, words in enumerate(CALLED)]
    lines = [
        (
            f"<strong>{for_html(c.title)}</strong> <span class='soft'>{for_html(c.published)}</span>"
            f"{_given(by_criterion[c.id])}{_found(answer, c.id, aside=True)}",
            *_boxes(c, by_criterion[c.id]),
        )
        for c in criteria().values()
    ]
    parts.append(
        f'<div class="levels">{grid((f"{for_html(answer.student)}: criterion", *levels), lines)}</div>'
    )
    return "\n".join((*parts, "</section>"))


def _typed(typed: Mapping[str, str]) -> Iterator[str]:
    for title, rows in as_lines(typed):
        cells = "".join(f"<tr><td>{for_html(w)}</td><td>{for_html(said, 900)}</td></tr>" for w, said in rows)
        yield f"<h3>{for_html(title)}</h3><table>{cells}</table>"


def _photographs(answer: Answer, work: Class) -> str:
    """Which of the photographs that the form names lie beside the notebook, or in a folder there."""
    names = [v for k, v in sorted(answer.record.typed.items()) if k.startswith("photographs|")]
    if not names:
        return "<p>No photographs are named.</p>"
    beside = _as_path(answer.where).rpartition("/")[0]
    came = (_as_path(without_names(where, work.register)) for where, _ in work.came_in)
    there = {where.rpartition("/")[2] for where in came if where.startswith(f"{beside}/" if beside else "")}
    lacking = [name for name in names if one_line(name) not in there]
    said = f"{len(names) - len(lacking)} of {len(names)} photographs that are named came in."
    return f"<p>{said}{' Not: ' + for_html(', '.join(lacking), 900) + '.' if lacking else ''}</p>"


def _as_path(where: str) -> str:
    return where.replace(": ", "/")


def _found(answer: Answer, criterion: str, *, aside: bool) -> str:
    items = []
    for line in answer.judged.verdict["lines"]:
        if line["criterion"] == criterion:
            more = f" {line['aside']}" if aside and line["aside"] else ""
            words = SAID.get(line["verdict"], line["verdict"])
            shown = "" if line["verdict"] == "right" else f'<span class="off">{words}:</span> '
            items.append(f"<li>{shown}{for_html(line['text'] + more, 600)}</li>")
    if items:
        return f"<ul>{''.join(items)}</ul>"
    said = "Look at the paper." if aside else "Your instructor looks at the paper."
    return f'<p class="soft">{said}</p>'


def _boxes(criterion: Criterion, row: Row) -> list[str]:
    """A cell for each level in words; the one that is given, or else proposed, is marked."""
    cells = []
    for level, words in enumerate(criterion.levels):
        given = row.final is not None and abs(row.final - level) < 0.01
        proposed = row.final is None and row.judged is not None and row.judged == level
        said = f"{'☒' if given else '☐'} {for_html(words, 400)}"
        if given or proposed:
            said = f'<span class="chosen">{said}{" <em>proposed</em>" if proposed else ""}</span>'
        cells.append(said)
    return cells


def _given(row: Row) -> str:
    return "" if row.final is None else f"<br><strong>Your level: {number(row.final)}</strong>"


def student_project(answer: Answer, rows: Sequence[Row]) -> str:
    """The project on its learner's page: the levels in words, and what the form alone showed."""
    parts = [f'<section class="project" id="{anchor(PROJECT)}"><h2>{TITLE}</h2>']
    given = [r for r in rows if r.final is not None]
    if len(given) == len(rows):
        total = sum(r.final or 0.0 for r in rows)
        parts.append(
            f"<p><strong>Mark: {number(total)} of {number(sum(r.out_of or 0.0 for r in rows))}</strong></p>"
        )
    else:
        parts.append(f"<p><strong>{len(given)} of {len(rows)} levels are given.</strong></p>")
    if answer.judged.picture:
        parts.append(with_own_ids(answer.judged.picture, "project"))
    lines = []
    for row in rows:
        criterion = criteria()[row.criterion]
        level = "not&nbsp;yet" if row.final is None else _in_words(criterion, row.final)
        remark = f"<br>{for_html(row.own_remark, 2000)}" if row.own_remark else ""
        lines.append((for_html(criterion.title), level + remark, _found(answer, row.criterion, aside=False)))
    parts.append(grid(("criterion", "level", "calculated from your form"), lines))
    parts.append(f'<p class="soft">From {for_html(rows[0].file)}</p></section>')
    return "\n".join(parts)


def _in_words(criterion: Criterion, level: float) -> str:
    """A level as it is told: half levels stand between two."""
    near = min(max(int(level), 0), len(criterion.levels) - 1)
    return f"<strong>{number(level)}, {CALLED[near]}.</strong> {for_html(criterion.levels[near], 400)}"


def class_projects(work: Class) -> str:
    """The projects on the page of the class: who has which level, and what many forms lack."""
    found = projects_of(work)
    if not found:
        return ""
    lines, lacking = [], Counter[str]()
    for n, (answer, rows) in enumerate(found):
        link = f'<a href="project.html#project-{n}">{for_html(answer.student)}</a>'
        lines.append((link, *_levels(rows)))
        lacking.update(
            {
                f"{criteria()[x['criterion']].title}: {x['step']}"
                for x in answer.judged.verdict["lines"]
                if x["verdict"] != "right"
            }
        )
    heads = ("student", *criteria(), "total")
    often = [(for_html(what), str(count)) for what, count in lacking.most_common(8) if count > 1]
    return (
        "<h2>Projects</h2><p>A level that you gave, or in brackets the one that is proposed; – where only "
        "the paper tells. The sheets of criteria, with all that was written, are "
        f'<a href="project.html">project.html</a>. {LIBRARY}</p>'
        + grid(heads, lines, tuple(range(1, len(heads))))
        + (
            f"<p>Not right, or missing, in several:</p>{grid(('what', 'projects'), often, (1,))}"
            if often
            else ""
        )
    )


# -- criteria in words of the instructor's own exercises


def criteria_sheets(work: Class, titles: Mapping[str, str]) -> str:
    """The page of all criteria in words, a sheet an exercise, to be printed and filled in beside the papers;
    '' where there are none."""
    sheets = []
    for id, exercise in exercises().items():
        mine = [r for r in work.rows if r.criterion and column(r.exercise) == id]
        if not exercise.in_words or not mine:
            continue
        judged = {folded(r.student): r for r in work.rows if r.exercise == id and r.final is not None}
        students: dict[str, dict[str, Row]] = {}
        for row in mine:
            students.setdefault(row.student, {})[row.criterion] = row
        lines = [
            (
                for_html(student),
                number(judged[folded(student)].final) if folded(student) in judged else "–",
                *(_to_circle(criterion, given.get(criterion.name)) for criterion in exercise.in_words),
            )
            for student, given in students.items()
        ]
        heads = ("student", "draft", *(for_html(c.name) for c in exercise.in_words))
        levels = "".join(map(_told, exercise.in_words))
        sheets.append(
            f'<section class="sheet"><h2>{for_html(titles.get(id, id))}</h2>{levels}'
            f"{grid(heads, lines, (1,))}</section>"
        )
    if not sheets:
        return ""
    said = (
        "<p>Circle a level for each learner, with the paper in your hand. Then write its marks into the "
        "column <em>own mark</em> of marks.csv, in the line of the criterion, such as "
        f"<em>{for_html(next(r.exercise for r in work.rows if r.criterion and not r.of_project))}</em>. What "
        "stands here in bold is given already. <em>Draft</em> is the mark that was calculated.</p>"
    )
    return page("Criteria in words", f"<h1>Criteria in words</h1>{said}" + "\n".join(sheets))


def _told(criterion: InWords) -> str:
    levels = "".join(f"<li>{number(lv.marks)}: {for_html(lv.words, 400)}</li>" for lv in criterion.levels)
    return f"<h3>{for_html(criterion.name)}</h3><ul>{levels}</ul>"


def _to_circle(criterion: InWords, row: Row | None) -> str:
    if row is not None and row.final is not None:
        return f"<strong>{number(row.final)}</strong>"
    return " ".join(f"☐&nbsp;{number(level.marks)}" for level in criterion.levels)


def levels_that_wait(rows: Iterable[Row], titles: Mapping[str, str]) -> str:
    """Whose levels in words are still to be given, a line for each criterion of an own exercise."""
    found: dict[str, list[str]] = {}
    for row in rows:
        if row.criterion and not row.of_project and row.counts and row.final is None:
            found.setdefault(row.exercise, []).append(row.student)
    if not found:
        return ""
    order = [*titles, *found]
    lines = [
        (for_html(titles.get(exercise, exercise)), str(len(who)), for_html(", ".join(who), 900))
        for exercise, who in sorted(found.items(), key=lambda pair: order.index(pair[0]))
    ]
    return (
        "<h2>Criteria in words</h2><p>Only you can judge these, at the paper. The levels stand in "
        '<a href="criteria.html">criteria.html</a>, to be printed.</p>'
        + grid(("criterion", "students", "who waits"), lines, (1,))
    )
