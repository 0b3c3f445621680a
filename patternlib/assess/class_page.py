"""class.html: what to teach again, before everything else; then slips, marks, copies and what was not read."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from .classwork import Answer, Class, by_student
from .drawing import bars
from .marks import number
from .pages import grid, page
from .plain import folded, for_html

TEACH = 3
"""How many things to teach again are named at the top."""
SHARE = 0.15
"""A step that went wrong for a smaller share of those who drew it is not named at the top."""


@dataclass
class Trouble:
    """One step of one exercise over the whole class; examples: slip code -> (remark, student)."""

    exercise: str
    step: str
    drew: int
    wrong: int = 0
    missing: int = 0
    slips: Counter = field(default_factory=Counter)
    said: str = ""
    examples: dict[str, str] = field(default_factory=dict)

    @property
    def share(self) -> float:
        return (self.wrong + self.missing) / self.drew


def troubles(answers: Iterable[Answer]) -> list[Trouble]:
    """Steps by how many students they went wrong for; a carried step is no trouble of its own."""
    counted = [a for a in answers if a.row is not None and a.row.mark is not None]
    drew = Counter(a.record.exercise for a in counted)
    found: dict[tuple[str, str], Trouble] = {}
    for answer in counted:
        exercise = answer.record.exercise
        for line in answer.judged.verdict["lines"]:
            if line["verdict"] not in ("off", "missing"):
                continue
            key = exercise, line["step"]
            trouble = found.setdefault(key, Trouble(exercise, line["step"], drew[exercise]))
            trouble.said = trouble.said or answer.judged.steps.get(line["step"], "")
            if line["verdict"] == "missing":
                trouble.missing += 1
            else:
                trouble.wrong += 1
                trouble.slips[line["slip"] or ""] += 1
                trouble.examples.setdefault(line["slip"] or "", line["text"])
    return sorted(found.values(), key=lambda t: (-(t.wrong + t.missing), -t.share, t.exercise, t.step))


def class_page(work: Class, titles: Mapping[str, str], pages: Mapping[str, str], protection: str) -> str:
    """The whole page; titles: of exercises; pages: folded student name -> file name of their page."""
    found = troubles(work.answers)
    students = {folded(r.student) for r in work.rows}
    judged = sum(r.mark is not None for r in work.rows)
    parts = [
        "<h1>The class</h1>",
        f"<p>{len(students)} students, {judged} answers judged, {len(work.unread)} hand-ins with something not read.</p>",
        _teach(found, titles),
        _steps(found, titles),
        _slips(work.answers),
        _spread(work),
        _copies(work, titles),
        _unread(work),
        _to_decide(work),
        _everyone(work, titles, pages),
        f"<h2>How it was read</h2><p>{for_html(protection, 4000)}</p>",
    ]
    return page("The class", "\n".join(p for p in parts if p))


def _teach(found: list[Trouble], titles: Mapping[str, str]) -> str:
    top = [t for t in found if t.share >= SHARE and t.wrong + t.missing > 1][:TEACH]
    if not top:
        return (
            '<div class="first"><h2 style="border:0;margin:0;padding:0">Teach again tomorrow</h2>'
            "<p>Nothing stands out: no step went wrong for more than one student in seven.</p></div>"
        )
    items = "".join(f"<li>{_sentence(t, titles)}</li>" for t in top)
    return (
        '<div class="first"><h2 style="border:0;margin:0;padding:0">Teach again tomorrow</h2>'
        f'<ol class="big">{items}</ol></div>'
    )


def _sentence(trouble: Trouble, titles: Mapping[str, str]) -> str:
    """What went wrong, for how many, by which slip, with one remark as an example."""
    title = for_html(titles.get(trouble.exercise, trouble.exercise))
    about = f" ({for_html(trouble.said)})" if trouble.said else ""
    said = f"<strong>{for_html(trouble.step)}</strong>{about} in {title}: "
    said += f"{trouble.wrong + trouble.missing} of {trouble.drew} went wrong here"
    if trouble.missing:
        said += f", {trouble.missing} of them did not draw it"
    said += "."
    named = [(slip, n) for slip, n in trouble.slips.most_common() if slip]
    if named:
        slip, count = named[0]
        said += f" Commonest slip: {for_html(words(slip))} ({count}). <em>{for_html(trouble.examples[slip], 400)}</em>"
    elif trouble.wrong:
        said += " No one slip explains it; look at a few of their drafts together."
    return said


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
            f"{t.wrong + t.missing} of {t.drew}",
            for_html(", ".join(f"{words(s)} ({n})" for s, n in t.slips.most_common(3) if s)),
        )
        for t in found[:12]
    ]
    if not lines:
        return ""
    heads = ("exercise", "step", "what it is for", "went wrong", "slips")
    return "<h2>Where drafts went wrong</h2>" + grid(heads, lines, figures=(3,))


def _slips(answers: Iterable[Answer]) -> str:
    who: dict[str, set[str]] = defaultdict(set)
    for answer in answers:
        if answer.row is None or answer.row.mark is None:
            continue
        for line in answer.judged.verdict["lines"]:
            if line["slip"]:
                who[line["slip"]].add(folded(answer.student))
    if not who:
        return ""
    ranked = sorted(who.items(), key=lambda item: (-len(item[1]), item[0]))
    lines = [(for_html(words(slip)), str(len(students))) for slip, students in ranked[:12]]
    return "<h2>Commonest slips</h2>" + grid(("slip", "students"), lines, figures=(1,))


def _spread(work: Class) -> str:
    shares = []
    for _, rows in by_student(work.rows):
        marked = [r for r in rows if r.final is not None and r.out_of]
        if marked:
            shares.append(sum(r.final for r in marked) / sum(r.out_of for r in marked))
    if not shares:
        return ""
    counts = {f"{low}–{low + 10} %": 0 for low in range(0, 100, 10)}
    names = list(counts)
    for share in shares:
        counts[names[min(max(int(share * 10 + 1e-9), 0), 9)]] += 1
    middle = sorted(shares)[len(shares) // 2]
    return (
        "<h2>Spread of marks</h2>"
        f"<p>Students by their share of the marks of what they handed in; half of them reach {middle:.0%} or more.</p>"
        + bars(counts, "Number of students by share of the marks")
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
    if not work.unread:
        return ""
    lines = [(for_html(u.place), for_html(u.where), for_html(u.why, 600)) for u in work.unread]
    return "<h2>Not read</h2>" + grid(("whose", "file", "why"), lines)


def _to_decide(work: Class) -> str:
    lines = [
        (for_html(r.student), for_html(r.exercise), for_html(" ".join(r.notes), 1200)) for r in work.rows
        if r.notes and r.exercise
    ]  # fmt: skip
    return "<h2>Look at these</h2>" + grid(("student", "exercise", "why"), lines) if lines else ""


def _everyone(work: Class, titles: Mapping[str, str], pages: Mapping[str, str]) -> str:
    lines = []
    for student, rows in by_student(work.rows):
        marks = "; ".join(
            f"{titles.get(r.exercise, r.exercise)} "
            + (r.own_mark or (f"{number(r.mark)} of {number(r.out_of)}" if r.mark is not None else r.state))
            for r in rows
        )
        lines.append(
            (
                f'<a href="{for_html(pages[folded(student) or student])}">{for_html(student)}</a>',
                for_html(marks, 900),
            )
        )
    return "<h2>Everyone</h2>" + grid(("student", "marks"), lines) if lines else ""
