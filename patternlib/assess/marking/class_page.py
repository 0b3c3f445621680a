"""class.html: first what to teach again; then slips, marks, copies and what was not read."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from statistics import median

from ..safe_text import folded, for_html
from .class_marking import Class, by_student
from .evidence import Answer
from .marks import number
from .pages import grid, page

TEACH = 3
"""How many things to teach again are named at the top."""
SHARE = 0.15
"""A step that went wrong for a smaller share of those who drew it is not named at the top."""


@dataclass
class Trouble:
    """One step of one exercise over the whole class, with the students for whom it went wrong.

    drew: how many handed the exercise in; wrong, missing: students; slips: slip -> students; said: what
    the step is for; remarks: slip -> one remark as an example.
    """

    exercise: str
    step: str
    drew: int
    wrong: set[str] = field(default_factory=set)
    missing: set[str] = field(default_factory=set)
    slips: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    said: str = ""
    remarks: dict[str, str] = field(default_factory=dict)

    @property
    def count(self) -> int:
        return len(self.wrong | self.missing)

    def named(self) -> list[tuple[str, int]]:
        """Slips by how many students made them."""
        return sorted(((s, len(who)) for s, who in self.slips.items()), key=lambda pair: (-pair[1], pair[0]))


def troubles(answers: Iterable[Answer]) -> list[Trouble]:
    """Steps by how many students they went wrong for; a carried step is no trouble of its own."""
    answers = list(answers)
    drew = Counter(a.record.exercise for a in answers)
    found: dict[tuple[str, str], Trouble] = {}
    for answer in answers:
        exercise, who = answer.record.exercise, folded(answer.student)
        for line in answer.judged.verdict["lines"]:
            if line["verdict"] not in ("off", "missing"):
                continue
            step = line.get("at") or line["step"]
            trouble = found.setdefault((exercise, step), Trouble(exercise, step, drew[exercise]))
            trouble.said = trouble.said or answer.judged.steps.get(step, "")
            (trouble.missing if line["verdict"] == "missing" else trouble.wrong).add(who)
            if line["slip"]:
                trouble.slips[line["slip"]].add(who)
                trouble.remarks.setdefault(line["slip"], line["text"].removeprefix(f"{line['step']}: "))
    return sorted(found.values(), key=lambda t: (-t.count, t.exercise, t.step))


def telling(work: Class) -> list[Answer]:
    """The answers that tell what a class has understood: those that count, without likely copies."""
    copied = {(folded(c.students[0]), c.exercise) for c in work.copies}
    counting = (a for a in work.answers if a.row is not None and a.row.mark is not None)
    return [a for a in counting if (folded(a.student), a.record.exercise) not in copied]


def page_of_class(work: Class, titles: Mapping[str, str], pages: Mapping[str, str], protection: str) -> str:
    """The whole page; titles: of exercises; pages: folded student name -> file name of their page."""
    answers = telling(work)
    found = troubles(answers)
    students = {folded(r.student) for r in work.rows}
    judged = sum(r.mark is not None for r in work.rows)
    parts = [
        "<h1>The class</h1>",
        f"<p>{len(students)} students, {judged} answers judged, {len(work.unread)} not read.</p>",
        _teach(found, answers, titles),
        _steps(found, titles),
        _slips(answers),
        _spread(work),
        _copies(work, titles),
        _unread(work),
        _to_decide(work),
        _everyone(work, pages),
        f"<h2>How it was read</h2><p>{for_html(protection, 4000)}</p>",
    ]
    return page("The class", "\n".join(p for p in parts if p))


def _teach(found: list[Trouble], answers: list[Answer], titles: Mapping[str, str]) -> str:
    """Up to TEACH things, steps or slips made in several places, by how many students they concern."""
    items = [(t.count, _sentence(t, titles)) for t in found if t.count > 1 and t.count >= SHARE * t.drew]
    everyone = {folded(a.student) for a in answers}
    for slip, (who, steps, remark) in _by_slip(answers).items():
        if len(steps) > 1 and len(who) > 1 and len(who) >= SHARE * len(everyone):
            said = f"<strong>{for_html(words(slip)).capitalize()}</strong>, in several places "
            said += f"({for_html(', '.join(sorted(steps)[:4]))}): {len(who)} of {len(everyone)} students. "
            items.append((len(who), f"{said}<em>{for_html(remark, 400)}</em>"))
    items.sort(key=lambda item: -item[0])
    if items:
        told = f'<ol class="big">{"".join(f"<li>{said}</li>" for _, said in items[:TEACH])}</ol>'
    else:
        told = "<p>Nothing stands out: no step went wrong for more than one student in seven.</p>"
    return f'<div class="first"><h2 class="plain">Teach again tomorrow</h2>{told}</div>'


def _by_slip(answers: Iterable[Answer]) -> dict[str, tuple[set[str], set[str], str]]:
    """slip -> (students who made it, steps at which, one remark)."""
    found: dict[str, tuple[set[str], set[str], str]] = {}
    for answer in answers:
        for line in answer.judged.verdict["lines"]:
            if line["slip"]:
                remark = line["text"].removeprefix(f"{line['step']}: ")
                who, steps, _ = found.setdefault(line["slip"], (set(), set(), remark))
                who.add(folded(answer.student))
                steps.add(line.get("at") or line["step"])
    return found


def _sentence(trouble: Trouble, titles: Mapping[str, str]) -> str:
    """What went wrong, for how many, by which slip, with one remark as an example."""
    title = for_html(titles.get(trouble.exercise, trouble.exercise))
    about = f" ({for_html(trouble.said)})" if trouble.said else ""
    said = f"<strong>{for_html(trouble.step)}</strong>{about} in {title}: "
    said += f"it went wrong for {trouble.count} of {trouble.drew}"
    said += f", {len(trouble.missing)} of them did not draw it." if trouble.missing else "."
    if trouble.slips:
        slip, count = trouble.named()[0]
        remark = for_html(trouble.remarks[slip], 400)
        said += f" Commonest slip: {for_html(words(slip))} ({count}). <em>{remark}</em>"
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
            f"{t.count} of {t.drew}",
            for_html(", ".join(f"{words(s)} ({n})" for s, n in t.named()[:3])),
        )
        for t in found[:12]
    ]
    if not lines:
        return ""
    heads = ("exercise", "step", "what it is for", "went wrong", "slips")
    return "<h2>Where drafts went wrong</h2>" + grid(heads, lines, figures=(3,))


def _slips(answers: Iterable[Answer]) -> str:
    found = _by_slip(answers)
    if not found:
        return ""
    ranked = sorted(((s, who) for s, (who, _, _) in found.items()), key=lambda item: (-len(item[1]), item[0]))
    lines = [(for_html(words(slip)), str(len(students))) for slip, students in ranked[:12]]
    return "<h2>Commonest slips</h2>" + grid(("slip", "students"), lines, figures=(1,))


def _spread(work: Class) -> str:
    shares = []
    for _, rows in by_student(work.rows):
        marked = [r for r in rows if r.final is not None and r.out_of]
        if marked:
            shares.append(sum(r.final or 0.0 for r in marked) / sum(r.out_of for r in marked))
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
    lines = [
        (for_html(r.student), for_html(r.exercise), for_html(" ".join(r.notes), 1200)) for r in work.rows
        if r.notes and r.exercise
    ]  # fmt: skip
    return "<h2>Look at these</h2>" + grid(("student", "exercise", "why"), lines) if lines else ""


def _everyone(work: Class, pages: Mapping[str, str]) -> str:
    heads = ("student", "exercises", "marks", "to look at")
    lines = []
    for student, rows in by_student(work.rows):
        marked = [r for r in rows if r.final is not None and r.out_of]
        total, most = sum(r.final or 0.0 for r in marked), sum(r.out_of for r in marked)
        link = f'<a href="{for_html(pages[folded(student) or student])}">{for_html(student)}</a>'
        looks = sum(bool(r.notes) for r in rows)
        lines.append(
            (link, str(len(marked)), f"{number(total)} of {number(most)}" if marked else "", str(looks or ""))
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
