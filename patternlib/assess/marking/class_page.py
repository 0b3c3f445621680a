"""class.html: first what to teach on Monday; then causes, progress, marks, void drafts, all that came in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from statistics import median

from ..hand_ins.register import Due
from ..hand_ins.students import without_names
from ..project.levels import column
from ..safe_text import folded, for_html
from .class_marking import Class, Unread
from .evidence import TO_TAP, WAITS, Answer
from .marks import by_student, missing, number, waiting
from .pages import MOST_UNREAD, grid, linked, page
from .project_page import class_projects, levels_that_wait
from .teaching.cards import Taught, cause_cards, teach_again
from .teaching.causes import Trouble, newest, progress, troubles
from .teaching.words import called, sayings

_PHOTOGRAPH = re.compile(r"[/ ]photographs/[^/]+\.(jpe?g|png)$", re.IGNORECASE)


def page_of_class(
    work: Class, told: Taught, titles: Mapping[str, str], pages: Mapping[str, str], protection: str
) -> str:
    """The whole page; titles: of exercises; pages: folded student name -> file name of their page."""
    answers, apart, found = told
    asked = {folded(a.student) for a in work.answers if a.owner.asked}
    students = {folded(r.student) for r in work.rows} - asked | set(work.students)
    judged = sum(r.judged is not None and not r.criterion for r in work.rows)
    projects = len({folded(r.student) for r in work.rows if r.of_project})
    handed = f"{judged} answers judged, {projects} projects" if projects else f"{judged} answers judged"
    to_do = {
        "waiting": (_waiting(work, pages), "Give your word where a mark waits for it"),
        "projects": (class_projects(work), "Print project.html and give the levels of the projects"),
        "levels": (levels_that_wait(work.rows, titles), "Print criteria.html and give the levels"),
        "copies": (_copies(work, titles), "Talk with learners whose work may be a copy"),
        "unread": (_unread(work, pages), "Ask again for work that was not read"),
        "notes": (_to_decide(work, pages), "Read the notes on single answers"),
        "missing": (_missing(work, titles, pages), "Ask for what is missing"),
        "late": (_late(work, pages), "Decide about late work"),
        "appeals": (_appeals(work, pages), "Answer the appeals"),
    }
    levels = any(r.of_project and r.counts and r.final is None for r in work.rows)
    part = {id: f'<div id="{id}">{section}</div>' for id, (section, _) in to_do.items() if section}
    parts = [
        "<h1>The class</h1>",
        f"<p>{len(students)} students, {handed}, {len(work.unread)} not read.</p>",
        teach_again(found, titles, newest(answers, work.register.due)),
        _left({id: to_do[id][1] for id in part if id != "projects" or levels}),
        cause_cards(found, titles, pages),
        _steps(troubles(answers), titles),
        _progress(answers, work.register.due),
        part.pop("projects", ""),
        _void(apart, titles, pages),
        _spread(work),
        *part.values(),
        _everyone(work, pages),
        _came_in(work),
        f"<h2>How it was read</h2><p>{for_html(protection, 4000)}</p>",
    ]
    return page("The class", "\n".join(p for p in parts if p))


def _left(to_do: Mapping[str, str]) -> str:
    """What the teacher has to do next, each with a link to its place on the page."""
    if not to_do:
        return ""
    items = "".join(f'<li><a href="#{id}">{said}</a></li>' for id, said in to_do.items())
    said = "Write into <em>own mark</em> and <em>own remark</em> in marks.csv, then run the command again."
    return (
        f'<div class="first"><h2 class="plain">What is left for you</h2><ul>{items}</ul><p>{said}</p></div>'
    )


def _progress(answers: Sequence[Answer], due: Iterable[Due]) -> str:
    lines = [
        (
            for_html(x.name),
            for_html(", ".join(x.exercises)),
            str(x.students),
            f"{100 * x.share:.0f} %",
            f"{x.full} of {x.answers}",
            f"{x.off:.1f}",
            for_html(called(x.commonest)),
        )
        for x in progress(answers, due)
    ]
    if len(lines) < 2:
        return ""
    heads = ("week", "exercises", "students", "share of the marks", "drafts all right")
    more = ("steps wrong in a draft", "commonest slip")
    said = "<h2>Progress over the weeks</h2><p>A week is named by the day on which its work was due.</p>"
    return said + grid((*heads, *more), lines, (2, 3, 4, 5))


def _void(apart: list[tuple[Answer, str]], titles: Mapping[str, str], pages: Mapping[str, str]) -> str:
    """Drafts that say nothing about what was understood; they are in no figure above."""
    lines = [
        (linked(pages, a.student, a.record.exercise), _title(titles, a.record.exercise), for_html(why))
        for a, why in sorted(
            apart, key=lambda pair: (pair[1], folded(pair[0].student), pair[0].record.exercise)
        )
    ]
    if not lines:
        return ""
    said = "<h2>Void drafts</h2><p>They are in none of the figures above. Their marks stand in the table.</p>"
    if any("millimetres" in why for _, why in apart):
        said += f"<p>To those who write millimetres: {for_html(sayings()['whole-in-mm'].say, 400)}</p>"
    return said + grid(("student", "exercise", "why"), lines)


def _waiting(work: Class, pages: Mapping[str, str]) -> str:
    """What counts only by the instructor's word, one line for each student and reason."""
    found: dict[tuple[str, str], list[str]] = {}
    for row in waiting(work.rows):
        why = row.evidence if row.evidence in WAITS else "whose is it?"
        found.setdefault((row.student, why), []).append(f"{row.exercise} ({number(row.judged)})")
    if not found:
        return ""
    lines = [(linked(pages, w), for_html(why), for_html(", ".join(e), 900)) for (w, why), e in found.items()]
    said = "<h2>Waiting for your word</h2>"
    if any(why == TO_TAP for _, why in found):
        said += (
            "<p>Photographs that wait to be tapped: look at <em>photographs.html</em> beside this page, "
            "and open <em>photographs to tap.ipynb</em>.</p>"
        )
    said += (
        "<p>Write <strong>ok</strong> into the column <em>own mark</em> of marks.csv and the proposed mark "
        "counts; or write a mark of your own.</p>"
    )
    return said + grid(("student", "evidence", "exercises, with the proposed mark"), lines)


def _appeals(work: Class, pages: Mapping[str, str]) -> str:
    lines = [
        (
            linked(pages, r.student, r.exercise),
            for_html(r.exercise),
            number(r.final),
            for_html(r.appeal, 2000),
        )
        for r in work.rows
        if r.appeal
    ]
    return "<h2>Appeals</h2>" + grid(("student", "exercise", "mark", "note"), lines, (2,)) if lines else ""


def _came_in(work: Class) -> str:
    """All that was not opened, with ids for names; photographs of projects stand on the projects' sheets."""
    if not work.came_in:
        return ""
    opened = sum(why == "opened" for _, why in work.came_in)
    pictures = [where for where, _ in work.came_in if _PHOTOGRAPH.search(where)]
    others = [
        (for_html(without_names(where, work.register), 600), for_html(why, 600))
        for where, why in work.came_in
        if why != "opened" and where not in pictures
    ]
    said = f"<h2>All that came in</h2><p>{len(work.came_in)} files and folders: {opened} opened as notebooks"
    said += f", {len(pictures)} photographs of projects" if pictures else ""
    said += ". The whole list, with all names as they came, is came-in.csv.</p>"
    return said + (grid(("file", "what became of it"), others[:60]) if others else "")


def _steps(found: list[Trouble], titles: Mapping[str, str]) -> str:
    lines = [
        (
            for_html(titles.get(t.exercise, t.exercise)),
            for_html(t.step),
            for_html(t.said),
            f"{t.count} of {t.drew}",
            for_html(", ".join(f"{called(s)} ({n})" for s, n in t.named()[:3])),
        )
        for t in found[:12]
    ]
    if not lines:
        return ""
    heads = ("exercise", "step", "what it is for", "went wrong", "slips")
    return "<h2>Where drafts went wrong</h2>" + grid(heads, lines, figures=(3,))


def _spread(work: Class) -> str:
    shares = []
    for _, rows in by_student(work.rows):
        marked = [r for r in rows if r.final is not None and r.out_of]
        if marked:
            shares.append(sum(r.final or 0.0 for r in marked) / sum(r.out_of or 0.0 for r in marked))
    if not shares:
        return ""
    counts = {f"{low}–{low + 10} %": 0 for low in range(0, 100, 10)}
    names = list(counts)
    for share in shares:
        counts[names[min(max(int(share * 10 + 1e-9), 0), 9)]] += 1
    return (
        "<h2>Spread of marks</h2>"
        "<p>Students by their share of the marks of what they handed in; "
        f"median {100 * median(shares):.0f} %.</p>"
        + _bars(counts, "Number of students by share of the marks")
    )


def _copies(work: Class, titles: Mapping[str, str]) -> str:
    if not work.copies:
        return ""
    items = "".join(
        f"<li>{for_html(titles.get(c.exercise, c.exercise))}: {for_html(c.why, 600)}</li>"
        for c in work.copies
    )
    return f"<h2>Likely copies</h2><p>A reason to ask, not a verdict.</p><ul>{items}</ul>"


def _unread(work: Class, pages: Mapping[str, str]) -> str:
    of: dict[str, list[Unread]] = {}
    for one in work.unread:
        of.setdefault(one.place, []).append(one)
    lines = []
    for place, files in of.items():
        whose = linked(pages, place)
        lines += [(whose, for_html(u.where), for_html(u.why, 600)) for u in files[:MOST_UNREAD]]
        if len(files) > MOST_UNREAD:
            lines.append((whose, f"and {len(files) - MOST_UNREAD} more", "They stand in came-in.csv."))
    failed = (r for r in work.rows if r.state == "not judged")
    lines += [(linked(pages, r.student), for_html(r.file), for_html(" ".join(r.notes), 900)) for r in failed]
    if not lines:
        return ""
    return "<h2>Not read or not judged</h2>" + grid(("whose", "file", "why"), lines)


def _to_decide(work: Class, pages: Mapping[str, str]) -> str:
    """Rows with notes; exercises of one student with the same notes stand together."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    for row in work.rows:
        if row.notes and row.exercise and not row.criterion:
            found.setdefault((row.student, " ".join(row.notes)), {})[row.exercise] = None
    lines = [
        (linked(pages, who), ", ".join(linked(pages, who, e, e) for e in exercises), for_html(notes, 1200))
        for (who, notes), exercises in found.items()
    ]
    return "<h2>Look at these</h2>" + grid(("student", "exercise", "why"), lines) if lines else ""


def _missing(work: Class, titles: Mapping[str, str], pages: Mapping[str, str]) -> str:
    """For each exercise that is due, or that somebody handed in, who of the register did not."""
    lines = []
    for exercise, who in missing(work.rows, work.register, work.students).items():
        if who:
            names = ", ".join(linked(pages, work.register.students[w].id) for w in who)
            lines.append((_title(titles, exercise), str(len(who)), names))
    if not lines:
        return ""
    return "<h2>Missing</h2>" + grid(("exercise", "students", "who"), lines, (1,))


def _title(titles: Mapping[str, str], exercise: str) -> str:
    return for_html(titles.get(exercise, exercise))


def _late(work: Class, pages: Mapping[str, str]) -> str:
    lines = [
        (linked(pages, r.student, r.exercise), for_html(r.exercise), for_html(r.late))
        for r in work.rows
        if r.counts and "late" in r.late and not r.criterion
    ]
    return "<h2>Late</h2>" + grid(("student", "exercise", "how late"), lines) if lines else ""


def _everyone(work: Class, pages: Mapping[str, str]) -> str:
    heads = ("student", "exercises", "marks of what was handed in", "notes in marks.csv")
    lines = []
    for student, rows in by_student(work.rows):
        marked = [r for r in rows if r.final is not None and r.out_of]
        total, most = sum(r.final or 0.0 for r in marked), sum(r.out_of or 0.0 for r in marked)
        looks = sum(bool(r.notes) for r in rows)
        lines.append(
            (
                linked(pages, student),
                str(len({column(r.exercise) for r in marked})),
                f"{number(total)} of {number(most)}" if marked else "",
                str(looks or ""),
            )
        )
    return "<h2>Everyone</h2>" + grid(heads, lines, (1, 2, 3)) if lines else ""


def _bars(counts: Mapping[str, int], alt: str) -> str:
    """Return a row of bars with their counts as SVG; the names stand below."""
    most = max(counts.values(), default=0) or 1
    step, high = 64, 120
    parts = []
    for i, (name, count) in enumerate(counts.items()):
        x, tall = i * step + 10, high * count / most
        parts.append(
            f'<rect x="{x}" y="{high + 20 - tall:.1f}" width="{step - 16}" height="{tall:.1f}" '
            'fill="#4a6b7c"/>'
        )
        for text, y in ((str(count), high + 14 - tall), (name, high + 38)):
            parts.append(
                f'<text x="{x + (step - 16) / 2}" y="{y:.1f}" font-family="sans-serif" font-size="13" '
                f'text-anchor="middle">{for_html(text)}</text>'
            )
    width, height = len(counts) * step + 10, high + 48
    size = f'viewBox="0 0 {width} {height}" width="{width}" height="{height}"'
    drawn = f"<title>{for_html(alt)}</title>{''.join(parts)}"
    return f'<svg xmlns="http://www.w3.org/2000/svg" role="img" {size}>{drawn}</svg>'
