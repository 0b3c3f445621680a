"""The web pages: one for each student, self-contained; no scripts, nothing loaded, everything escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from ..project.levels import column
from ..safe_text import folded, for_html
from ..tasks.catalogue import exercises
from .evidence import Answer
from .marks import Row, number

POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"

_STYLE = """
:root{color-scheme:light}
body{font:16px/1.5 system-ui,sans-serif;color:#1d1d1b;background:#fbfaf7;max-width:60rem;margin:2rem auto;
  padding:0 1rem}
h1{font-size:1.6rem;margin:0 0 .3rem}h2{font-size:1.2rem;margin:2rem 0 .4rem;border-top:1px solid #c9c6bd;
  padding-top:1rem}
h2.plain{border:0;margin:0;padding:0}
table{border-collapse:collapse;width:100%;margin:.5rem 0}
th,td{text-align:left;vertical-align:top;padding:.3rem .7rem .3rem 0;border-bottom:1px solid #e3e0d8}
th{font-weight:600}td.n,th.n{text-align:right}td.n{white-space:nowrap}
svg{max-width:100%;height:auto;border:1px solid #e3e0d8;background:#fff}
.first{background:#fff;border-left:4px solid #4a6b7c;padding:.6rem 1rem;margin:1rem 0}
.off,.missing{font-weight:600}.soft{color:#5c5c58}ol.big{font-size:1.08rem}ol.big li{margin:.5rem 0}
.cause{background:#fff;border:1px solid #e3e0d8;padding:.5rem 1rem;margin:.8rem 0;break-inside:avoid}
.cause h3{margin:.2rem 0}.cause p{margin:.35rem 0}
ul{margin:.2rem 0;padding-left:1.2rem}tr{break-inside:avoid}
@page{margin:12mm}
@media print{body{margin:0;max-width:none;padding:0;background:#fff;font-size:12px;line-height:1.35}
  section.sheet{break-after:page}.exercises{columns:2;column-gap:8mm;font-size:10px}
  .project{font-size:10px;line-height:1.28}.project svg{max-height:20vh}
  .project td,.project th{padding:.15rem .5rem .15rem 0}.project,.exercise{break-inside:avoid}
  .exercise h2{margin-top:.5rem;padding-top:.4rem;font-size:1.15em}
  .exercise p{margin:.25rem 0}.exercise svg{max-height:22vh}.exercise th,.exercise td{padding-right:.4rem}
  h2,h3,h2+p{break-after:avoid}h2,h3{margin-top:1rem}
  svg{max-height:32vh;break-inside:avoid}}
"""

MOST_UNREAD = 10
"""Files of one student that were not read are shown one by one, so many."""
WORDS = {
    "carried": "off, but costs nothing more",
    "near": "nearly right",
    "off": "off",
    "missing": "not drawn",
}
"""What is said of a step that has a line of its own."""
_KEY = "Solid lines are the draft. Dotted ones show where the rule has it, given the points before."


def page(title: str, body: str, *, pictures: bool = False) -> str:
    """A whole page round a body of HTML that is escaped already; pictures: it holds some as data."""
    policy = f"{POLICY}; img-src data:" if pictures else POLICY
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{for_html(title)}</title><style>{_STYLE}</style></head><body>\n{body}\n</body></html>\n"
    )


def grid(heads: Sequence[str], lines: Iterable[Sequence[str]], figures: Sequence[int] = ()) -> str:
    """An HTML table; cells are escaped already; figures: columns that hold numbers."""

    def cells(tag: str, texts: Sequence[str]) -> str:
        opens = [f'<{tag} class="n">' if i in figures else f"<{tag}>" for i in range(len(texts))]
        return "".join(f"{opened}{text}</{tag}>" for opened, text in zip(opens, texts, strict=True))

    body = "".join(f"<tr>{cells('td', line)}</tr>" for line in lines)
    return f"<table><thead><tr>{cells('th', heads)}</tr></thead><tbody>{body}</tbody></table>"


def anchor(exercise: str) -> str:
    """The name of an exercise's place on its student's page.

    >>> anchor("02a"), anchor("16 walks")
    ('e-02a', 'e-16')
    """
    return f"e-{re.sub('[^0-9a-z]', '', column(exercise).casefold())}"


def linked(pages: Mapping[str, str], student: str, exercise: str = "", words: str = "") -> str:
    """A student's name, or other words, as a link to their page, at an exercise; the bare words where there
    is no page. pages: folded student name -> file name."""
    place, shown = pages.get(folded(student) or student), for_html(words or student)
    at = f"#{anchor(exercise)}" if exercise else ""
    return f'<a href="{for_html(place)}{at}">{shown}</a>' if place else shown


def student_page(
    student: str, rows: Sequence[Row], answers: Sequence[Answer], titles, projects=(), lacking=()
) -> str:
    """The page of one student: each exercise with its mark, its picture and a line for every step."""
    return page(f"Marks of {student}", student_part(student, rows, answers, titles, projects, lacking))


def all_students(parts: Iterable[str]) -> str:
    """The parts of all students on one page, to be printed at once: each begins a new sheet."""
    sheets = (
        f'<section class="sheet">{with_own_ids(part, f"n{i}")}</section>' for i, part in enumerate(parts)
    )
    return page("All students", "\n".join(sheets))


def student_part(
    student: str,
    rows: Sequence[Row],
    answers: Sequence[Answer],
    titles,
    projects: Iterable[str] = (),
    lacking: Iterable[str] = (),
) -> str:
    """What stands on the page of one student. projects: the part of their project, written already; lacking:
    exercises that were not handed in."""
    parts = [f"<h1>{for_html(student)}</h1>"]
    marked = [r for r in rows if r.final is not None and r.out_of]
    if marked:
        total, most = sum(r.final or 0.0 for r in marked), sum(r.out_of or 0.0 for r in marked)
        many = len({column(r.exercise) for r in marked})
        exercises = "exercise" if many == 1 else "exercises"
        parts.append(f"<p>{number(total)} of {number(most)} marks in {many} {exercises}.</p>")
    if lacking:
        parts.append(f"<p>Not handed in: {for_html(_listed([titles.get(e, e) for e in lacking]), 4000)}.</p>")
    by_row = {id(a.row): a for a in answers}
    levels = _levels([r for r in rows if r.criterion and not r.of_project])
    if any(a.judged.picture and not a.is_project for a in answers):
        parts.append(f'<p class="soft">{_KEY}</p>')
    parts.append('<div class="exercises">')
    unread = [row for row in rows if not row.exercise]
    shown = [row for row in rows if row.exercise] + unread[:MOST_UNREAD]
    for row in sorted(shown, key=lambda r: (not r.exercise, r.exercise, not r.counts)):
        if not row.criterion:  # what counts stands before its other attempts, what was not read last
            given = levels.pop(row.exercise, "") if row.counts or row.judged is not None else ""
            parts.append(_exercise(row, by_row.get(id(row)), titles, given))
    if len(unread) > MOST_UNREAD:
        parts.append(f"<p>And {len(unread) - MOST_UNREAD} more files that were not read.</p>")
    for exercise, given in levels.items():
        head = for_html(titles.get(exercise, exercise))
        parts.append(f'<section class="exercise" id="{anchor(exercise)}"><h2>{head}</h2>{given}</section>')
    return "\n".join((*parts, "</div>", *projects))


def _listed(names: Sequence[str]) -> str:
    """Names one after the other, so that a comma in a name parts no names."""
    return ("; " if any("," in name for name in names) else ", ").join(names)


def _exercise(row: Row, answer: Answer | None, titles, levels: str = "") -> str:
    title = titles.get(row.exercise, row.exercise) or row.file
    attempt = f" · attempt {row.attempt}" if row.attempt else ""
    place = f' id="{anchor(row.exercise)}"' if row.exercise and (row.counts or not row.attempt) else ""
    parts = [f'<section class="exercise"{place}><h2>{for_html(title)}{attempt}</h2>']
    if row.attempt and not row.counts and row.judged is not None and not row.own_mark:
        of = f"{number(row.judged)} of {number(row.out_of)}"
        parts.append(f"<p>{of}; another attempt counts.</p>")
        answer = None
    elif row.own_mark:
        judged = f" (judged: {number(row.mark)})" if row.mark is not None else ""
        parts.append(
            f"<p><strong>Mark: {for_html(row.own_mark)}</strong>, given by the instructor{judged}</p>"
        )
    elif row.mark is not None:
        parts.append(f"<p><strong>Mark: {number(row.mark)} of {number(row.out_of)}</strong></p>")
    else:
        said = row.state.replace("waits for your word", "waits for your instructor")
        parts.append(f"<p><strong>{for_html(said)}</strong></p>")
    if row.own_remark:
        parts.append(f'<p class="first">{for_html(row.own_remark, 2000)}</p>')
    parts += [f"<p>{for_html(note, 600)}</p>" for note in row.notes if note not in row.aside]
    if answer is not None and answer.judged.verdict:
        judged = answer.judged
        lines = judged.verdict["lines"]
        if judged.picture:
            parts.append(with_own_ids(judged.picture, row.exercise))
        right = [line["step"] for line in lines if line["verdict"] == "right"]
        after = [line["step"] for line in lines if line["verdict"] == "carried" and not line["slip"]]
        for said, steps in (("Right", right), ("Right for what was drawn before", after)):
            if steps:
                parts.append(f"<p>{said}: {for_html(_listed(steps), 4000)}.</p>")
        if answer.unread:
            left = _listed([line["step"] for line in lines if line["verdict"] == "missing"])
            parts.append(f"<p>Not read from the photographs yet: {for_html(left, 4000)}.</p>" if left else "")
            lines = [line for line in lines if line["verdict"] != "missing"]
        rest = [line for line in lines if line["step"] not in (*right, *after)]
        if rest:
            parts.append(grid(("step", "verdict", "remark"), map(_line, rest)))
    parts.append(levels)
    parts.append(f'<p class="soft">From {for_html(row.file)}</p>' if row.file and row.file != title else "")
    return "\n".join((*parts, "</section>"))


def _levels(rows: Sequence[Row]) -> dict[str, str]:
    """Tables of what the instructor judged in words, by exercise."""
    found: dict[str, list[tuple[str, str]]] = {}
    known = {c.row(id): c for id, work in exercises().items() for c in work.in_words}
    order = list(known)
    for row in sorted((r for r in rows if r.exercise in known), key=lambda r: order.index(r.exercise)):
        id, criterion = column(row.exercise), known[row.exercise]
        told = "not given yet"
        if row.final is not None:
            told = f"<strong>{number(row.final)} of {number(row.out_of)}.</strong> "
            told += for_html(criterion.said(row.final), 400)
        remark = f"<br>{for_html(row.own_remark, 2000)}" if row.own_remark else ""
        found.setdefault(id, []).append((for_html(criterion.name), told + remark))
    return {id: grid(("looked at by your instructor", "level"), lines) for id, lines in found.items()}


def _line(line: dict) -> tuple[str, str, str]:
    verdict = line["verdict"]
    said = WORDS.get(verdict, verdict)
    return (
        for_html(line["step"]),
        f'<span class="{for_html(verdict)}">{for_html(said)}</span>',
        for_html(line["text"].removeprefix(f"{line['step']}: "), 600),
    )


def with_own_ids(drawn: str, name: str) -> str:
    """Drawings with ids of their own, since several stand on one page."""
    count = 0

    def own(match: re.Match) -> str:
        nonlocal count
        count += match[0] == "<svg"
        if match[0] == "<svg":
            return match[0]
        ids = " ".join(f"d{name}-{count}-{id}" for id in match[2].split())
        return f'{match[1]}="{ids}"'

    return re.sub(r'<svg|\b(id|aria-labelledby)="([^"]*)"', own, drawn)
