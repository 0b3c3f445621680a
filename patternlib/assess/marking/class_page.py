"""class.html: first what to teach on Monday; then causes, progress, marks, void drafts, all that came in."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from statistics import median

from ..hand_ins.students import without_names
from ..project.levels import column
from ..safe_text import folded, for_html
from .causes import Cause, Trouble, explained, find_causes, listed, progress, telling, troubles
from .class_marking import Class, by_student
from .evidence import TO_TAP, WAITS, Answer
from .marks import number
from .pages import grid, page
from .project_page import class_projects, levels_that_wait

TEACH = 5
"""How many things to teach again are named at the top."""
SHARE = 0.1
"""What went wrong for a smaller share of those who drew it is not named at the top."""
_PHOTOGRAPH = re.compile(r"[/ ]photographs/[^/]+\.(jpe?g|png)$", re.IGNORECASE)
MOST_NAMED = 12
"""students named beside a cause."""


def page_of_class(work: Class, titles: Mapping[str, str], pages: Mapping[str, str], protection: str) -> str:
    """The whole page; titles: of exercises; pages: folded student name -> file name of their page."""
    answers, apart = telling(work)
    found, steps = find_causes(answers), troubles(answers)
    asked = {folded(a.student) for a in work.answers if a.owner.asked}
    students = {folded(r.student) for r in work.rows} - asked | set(work.register.students)
    judged = sum(r.judged is not None and not r.criterion for r in work.rows)
    projects = len({folded(r.student) for r in work.rows if r.of_project})
    handed = f"{judged} answers judged, {projects} projects" if projects else f"{judged} answers judged"
    to_do = {
        "waiting": (_waiting(work), "Give your word where a mark waits for it"),
        "projects": (class_projects(work), "Print project.html and give the levels of the projects"),
        "levels": (levels_that_wait(work.rows, titles), "Print criteria.html and give the levels"),
        "copies": (_copies(work, titles), "Talk with learners whose work may be a copy"),
        "unread": (_unread(work), "Ask again for work that was not read"),
        "notes": (_to_decide(work), "Read the notes on single answers"),
        "missing": (_missing(work, titles), "Ask for what is missing"),
        "late": (_late(work), "Decide about late work"),
        "appeals": (_appeals(work), "Answer the appeals"),
    }
    levels = any(r.of_project and r.counts and r.final is None for r in work.rows)
    part = {id: f'<div id="{id}">{section}</div>' for id, (section, _) in to_do.items() if section}
    parts = [
        "<h1>The class</h1>",
        f"<p>{len(students)} students, {handed}, {len(work.unread)} not read.</p>",
        _teach(found, titles),
        _left({id: to_do[id][1] for id in part if id != "projects" or levels}),
        _causes(found, titles),
        _steps(steps, titles),
        _progress(answers),
        part.pop("projects", ""),
        _void(apart, titles),
        _spread(work),
        *part.values(),
        _everyone(work, pages),
        _came_in(work),
        f"<h2>How it was read</h2><p>{for_html(protection, 4000)}</p>",
    ]
    return page("The class", "\n".join(p for p in parts if p))


def _teach(found: list[Cause], titles: Mapping[str, str]) -> str:
    """Up to TEACH causes, by how many students have them."""
    items = [c for c in found if len(c.students) > 1 and len(c.students) >= SHARE * c.drew][:TEACH]
    if items:
        told = f'<ol class="big">{"".join(f"<li>{_sentence(c, titles)}</li>" for c in items)}</ol>'
    else:
        told = "<p>Nothing stands out: no cause has more than one student in ten.</p>"
    return f'<div class="first"><h2 class="plain">Teach again on Monday</h2>{told}</div>'


def _left(to_do: Mapping[str, str]) -> str:
    """What the teacher has to do next, each with a link to its place on the page."""
    if not to_do:
        return ""
    items = "".join(f'<li><a href="#{id}">{said}</a></li>' for id, said in to_do.items())
    said = "Write into <em>own mark</em> and <em>own remark</em> in marks.csv, then run the command again."
    return (
        f'<div class="first"><h2 class="plain">What is left for you</h2><ul>{items}</ul><p>{said}</p></div>'
    )


def _sentence(cause: Cause, titles: Mapping[str, str]) -> str:
    """One line: what, for how many, where, with one remark as an example."""
    exercise, step = cause.commonest
    where = f"{for_html(step)} in {for_html(titles.get(exercise, exercise))}"
    others = len(cause.places) - 1
    if others:
        where += f" and {others} other place{'s' if others > 1 else ''}"
    many = f"{len(cause.students)} of {cause.drew} students"
    if not cause.slip:
        named = where[:1].upper() + where[1:]
        return (
            f"<strong>{named}</strong>: {many}. No one slip explains it; look at some of the drafts together."
        )
    return (
        f"<strong>{for_html(_called(cause)).capitalize()}</strong>: {many}, at {where}. "
        f"<em>{for_html(_bare(cause.remark), 400)}</em>"
    )


def _bare(remark: str) -> str:
    """A remark without how far off it was, and without the second guess.

    >>> _bare("off by 1.2 cm (too large); 1.1 mm is allowed. Take a quarter of it. Or: look again.")
    'Take a quarter of it.'
    """
    return re.sub(r"^off by .*?is allowed\. |\s*Or: .*$", "", remark)


def _causes(found: list[Cause], titles: Mapping[str, str]) -> str:
    """Each cause with who has it, where, how the solution explains it, and a drill to give."""
    lines = []
    for cause in [c for c in found if c.slip][:12]:
        names = sorted(cause.students.values())
        who = ", ".join(names[:MOST_NAMED]) + (
            f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        )
        where = "; ".join(f"{e} {step}" for e, step in _places(cause)[:4])
        exercise = cause.commonest[0]
        said = [_bare(cause.remark), *_about(cause)]
        lines.append(
            (
                for_html(_called(cause)),
                f"{len(names)}: {for_html(who, 900)}",
                for_html(where, 600),
                "<br>".join(for_html(s, 600) for s in said),
                for_html(exercise),
            )
        )
    if not lines:
        return ""
    heads = ("cause", "who has it", "where", "how to explain it", "drill")
    return (
        "<h2>Causes</h2><p>One cause over all exercises. A drill is a sheet of the exercise in the last "
        "column, on numbers that nobody has; for 02a: <code>python -m patternlib worksheet 02a --student "
        "drill-1 --key drill --out drill.pdf</code></p>" + grid(heads, lines)
    )


def _about(cause: Cause) -> list[str]:
    """How the solutions explain a cause, at the place where most students show it; else where to look."""
    for exercise, step in _places(cause):
        for mistake in listed(exercise, cause.slip, step):
            own = (said for said in explained(exercise) if said.startswith(mistake.title))
            return [f"Solution: {next(own, f'{mistake.title}. {mistake.explain}')}"]
        asked = {word for word in words(cause.slip).split() if len(word) > 3}
        for said in explained(exercise):
            if asked and asked <= set(folded(said.partition(".")[0]).split()):
                return [f"Solution: {said}"]
    exercise = cause.commonest[0]
    return [f"See the remarks to {exercise} in the solutions."] if explained(exercise) else []


def _places(cause: Cause) -> list[tuple[str, str]]:
    return sorted(cause.places, key=lambda p: (-cause.places[p], p))


def _called(cause: Cause) -> str:
    """A cause's name: as the exercise lists it, where its own list has it, else the words of its code."""
    own = {m.title for place in cause.places for m in listed(place[0], cause.slip, place[1])}
    return own.pop() if len(own) == 1 else words(cause.slip)


def _progress(answers: Sequence[Answer]) -> str:
    lines = [
        (
            for_html(x.number),
            str(x.students),
            f"{100 * x.share:.0f} %",
            f"{x.full} of {x.answers}",
            f"{x.off:.1f}",
            for_html(words(x.commonest)),
        )
        for x in progress(answers)
    ]
    if len(lines) < 2:
        return ""
    heads = ("lesson", "students", "share of the marks", "drafts all right", "steps wrong in a draft")
    return "<h2>Progress over the lessons</h2>" + grid((*heads, "commonest slip"), lines, (1, 2, 3, 4))


def _void(apart: list[tuple[Answer, str]], titles: Mapping[str, str]) -> str:
    """Drafts that say nothing about what was understood; they are in no figure above."""
    lines = [
        (for_html(a.student), for_html(titles.get(a.record.exercise, a.record.exercise)), for_html(why))
        for a, why in sorted(
            apart, key=lambda pair: (pair[1], folded(pair[0].student), pair[0].record.exercise)
        )
    ]
    if not lines:
        return ""
    said = "<h2>Void drafts</h2><p>They are in none of the figures above. Their marks stand in the table.</p>"
    return said + grid(("student", "exercise", "why"), lines)


def _waiting(work: Class) -> str:
    """What counts only by the instructor's word, one line for each student and reason."""
    found: dict[tuple[str, str], list[str]] = {}
    for row in work.rows:
        if row.final is None and row.judged is not None and "waits" in row.state and not row.criterion:
            why = row.evidence if row.evidence in WAITS else "whose is it?"
            found.setdefault((row.student, why), []).append(f"{row.exercise} ({number(row.judged)})")
    if not found:
        return ""
    lines = [(for_html(w), for_html(why), for_html(", ".join(e), 900)) for (w, why), e in found.items()]
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


def _appeals(work: Class) -> str:
    lines = [
        (for_html(r.student), for_html(r.exercise), number(r.final), for_html(r.appeal, 2000))
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


def words(slip: str) -> str:
    """A slip's code as words.

    >>> words("half-forgotten")
    'half forgotten'
    """
    return slip.replace("-", " ")


def _steps(found: list[Trouble], titles: Mapping[str, str]) -> str:
    lines = [
        (
            for_html(titles.get(t.exercise, t.exercise)),
            for_html(t.step),
            for_html(t.said),
            f"{t.count} of {t.drew}",
            for_html(", ".join(f"{words(s)} ({n})" for s, n in t.named()[:3])),
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


def _unread(work: Class) -> str:
    lines = [(for_html(u.place), for_html(u.where), for_html(u.why, 600)) for u in work.unread]
    failed = (r for r in work.rows if r.state == "not judged")
    lines += [(for_html(r.student), for_html(r.file), for_html(" ".join(r.notes), 900)) for r in failed]
    if not lines:
        return ""
    return "<h2>Not read or not judged</h2>" + grid(("whose", "file", "why"), lines)


def _to_decide(work: Class) -> str:
    """Rows with notes; exercises of one student with the same notes stand together."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    for row in work.rows:
        if row.notes and row.exercise and not row.criterion:
            found.setdefault((row.student, " ".join(row.notes)), {})[row.exercise] = None
    lines = [
        (for_html(who), for_html(", ".join(exercises), 900), for_html(notes, 1200))
        for (who, notes), exercises in found.items()
    ]
    return "<h2>Look at these</h2>" + grid(("student", "exercise", "why"), lines) if lines else ""


def _missing(work: Class, titles: Mapping[str, str]) -> str:
    """For each exercise that is due, or that somebody handed in, who of the register did not."""
    given = (r for r in work.rows if r.judged is not None or r.criterion)
    there = {(folded(r.student), column(r.exercise)) for r in given}
    lines = []
    for exercise in sorted({e for _, e in there} | {d.exercise for d in work.register.due}):
        names = [s.id for who, s in work.register.students.items() if (who, exercise) not in there]
        if names:
            title = for_html(titles.get(exercise, exercise))
            lines.append((title, str(len(names)), for_html(", ".join(names), 900)))
    if not lines:
        return ""
    return "<h2>Missing</h2>" + grid(("exercise", "students", "who"), lines, (1,))


def _late(work: Class) -> str:
    lines = [
        (for_html(r.student), for_html(r.exercise), for_html(r.late))
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
        place = pages.get(folded(student) or student)
        link = f'<a href="{for_html(place)}">{for_html(student)}</a>' if place else for_html(student)
        looks = sum(bool(r.notes) for r in rows)
        lines.append(
            (
                link,
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
