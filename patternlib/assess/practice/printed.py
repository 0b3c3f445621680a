"""Drafts with a slip in each on paper: a page or two a draft, the answers on the last page."""

from __future__ import annotations

import io
import random
from collections.abc import Iterator

from ...errors import ValueAtFault, unknown
from ...geometry import Curve, Point
from ...output.items import Command, Stroke, Text, item_box, join_boxes
from ...output.paper.pen import new_canvas, printable
from ...output.paper.tiles import SHEETS, Paper, read_paper
from ...output.styles import LETTERINGS, LINES
from ..answers.sketch import Sketch
from ..answers.writing import PLAIN, SMALL, TITLE, Writing, save_pdf
from ..judging import deviation
from ..table.laying import write_quantity
from .cards import cards_of, lessons
from .rounds import Round, make_round
from .shown import Shown

TIMES = (1, 2, 4, 5, 8, 10, 20)
"""A draft is drawn so many times smaller than it is, as large as the page allows."""
HIGHEST = 12.0
"""cm: of a drawing."""
RULER = 0.1
"""cm on the page: a slip that moves its step by less cannot be measured there."""
LETTERS = 0.24
"""cm: names on a drawing."""
MOST = 60


def slips_pdf(lesson: str, *, count: int = 10, seed: str = "", paper: str = "a4") -> tuple[bytes, int]:
    """PDF bytes of drafts of a lesson ('02') with a slip in each, and how many there are.

    The same seed gives the same drafts. Raises UnknownName for a lesson or paper that does not exist,
    ValueAtFault for a count that is not between 1 and 60.

    >>> slips_pdf("02", count=1)[0][:5]
    b'%PDF-'
    """
    known = {f"{n:02}": n for n in lessons()}
    if lesson.zfill(2) not in known:
        raise unknown("lesson with exercises", lesson[:20], known)
    if not 1 <= count <= MOST:
        raise ValueAtFault("--count", f"{count}", f"must be between 1 and {MOST}", "10 fill a lesson.")
    sheet = read_paper(paper)
    if sheet.large:
        raise unknown("paper", paper, [name for name in SHEETS if name != "a0"])
    out = io.BytesIO()
    canvas = new_canvas(out)
    canvas.setTitle(printable(f"Find the slip, lesson {lesson}"))
    canvas.setCreator("patternlib")
    canvas.setViewerPreference("PrintScaling", "None")
    drafts = list(_rounds(known[lesson.zfill(2)], count, seed))
    for number, (made, shown, times) in enumerate(drafts, 1):
        times = _on_one_page(made, shown, times, sheet)
        page = Writing(canvas, sheet, f"Find the slip, lesson {lesson} · draft {number}")
        _draft(page, number, made, shown, times)
        page.end()
    page = Writing(canvas, sheet, f"Find the slip, lesson {lesson} · answers, for the instructor")
    page.text("Answers", TITLE, bold=True)
    for number, (made, shown, _) in enumerate(drafts, 1):
        page.text(_answer(number, made, shown), SMALL)
    page.end()
    canvas.save()
    return out.getvalue(), len(drafts)


def save_slips(
    lesson: str, path: str, *, count: int = 10, seed: str = "", paper: str = "a4"
) -> tuple[int, int]:
    """Write `slips_pdf` to a file; gives the number of drafts and of pages.

    Raises ValueAtFault where the file cannot be written.
    """
    data, drafts = slips_pdf(lesson, count=count, seed=seed, paper=paper)
    return drafts, save_pdf(data, path)


def _rounds(lesson: int, count: int, seed: str) -> Iterator[tuple[Round, Shown, int]]:
    """Drafts whose slips can be measured on the page, the cards of the lesson in a shuffled order."""
    keys = list(cards_of(lesson))
    random.Random(f"{seed} {lesson}").shuffle(keys)
    made = tried = 0
    while made < count and tried < 4 * count + len(keys):
        one = make_round((keys[tried % len(keys)],), f"paper {seed} {lesson:02} {tried}")
        tried += 1
        shown = one.shown()
        times = _times(shown)
        if _measurable(one, times):
            made += 1
            yield one, shown, times


def _drawing(shown: Shown, times: int) -> list[Stroke | Text]:
    sketch = Sketch(LETTERS * times)
    sketch.draw(shown.given, "block")
    sketch.draw(shown.drawn, "own", names=1)
    return sketch.items()


def _times(shown: Shown) -> int:
    """How many times smaller it is drawn; 1 where there is nothing to draw."""
    things = [v for v in (*shown.given.values(), *shown.drawn.values()) if isinstance(v, Point | Curve)]
    if not things:
        return 1
    for times in TIMES:
        x0, y0, x1, y1 = join_boxes([item_box(item) for item in _drawing(shown, times)])
        if (x1 - x0) / times <= 17.0 and (y1 - y0) / times <= HIGHEST:
            return times
    return TIMES[-1]


def _measurable(made: Round, times: int) -> bool:
    for card in made.cards:
        if card.mistake.finish:
            continue
        for at in made.places(card):
            gap = deviation.gap(made.draft.made[at], made.draft.should(at))
            number = isinstance(made.draft.made[at], int | float)
            if number or gap.distance >= RULER * times or gap.turn > 10:
                break
        else:
            return False
    return True


def _on_one_page(made: Round, shown: Shown, times: int, sheet: Paper) -> int:
    """How many times smaller it is drawn so that all stands on one page; where nothing helps, as given."""
    for smaller in TIMES[TIMES.index(times) : TIMES.index(times) + 3]:
        if not _measurable(made, smaller):
            break
        page = Writing(new_canvas(io.BytesIO()), sheet, "")
        _draft(page, 1, made, shown, smaller)
        if page.count == 1:
            return smaller
    return times


def _draft(page: Writing, number: int, made: Round, shown: Shown, times: int) -> None:
    page.text(f"{number} · {made.work.id} · {made.work.title}", TITLE, bold=True)
    page.text("Name: ______________________      Date: ______________", PLAIN)
    page.text(
        "An imaginary hand drew this on the measures given. One step went wrong; all that follows was drawn "
        "on from there. Measure, tick the step that went wrong, and tick what happened there.", PLAIN,
    )  # fmt: skip
    items = _drawing(shown, times)
    if items:
        scale = (
            f"Drawn {times} times smaller: 1 cm on this page is {times} cm of the draft. " if times > 1
            else "Drawn at full size. "
        )  # fmt: skip
        page.text(f"{scale}Print at 100 %; the line under the drawing is then 5 cm long.", PLAIN)
        _place(page, items, times)
    said = [f"{name} {write_quantity(n, 'cm')}" for name, n in shown.numbers.items()]
    if said:
        page.text("Measures: " + "; ".join(said) + ".", PLAIN)
    for told in shown.told:
        page.text(told, PLAIN)
    page.heading("Which step went wrong?")
    for count, step in enumerate(shown.steps, 1):
        noted = f" ({step.name}: {step.noted})" if step.noted else ""
        page.step(count, f"{step.said}{noted}")
    page.choices("What happened there?", [*made.choices.values()])


def _place(page: Writing, items: list[Stroke | Text], times: int) -> None:
    """The drawing in the middle of the page, and a line of 5 cm under it."""
    x0, y0, x1, y1 = join_boxes([item_box(item) for item in items])
    k = 1 / times
    page.need((y1 - y0) * k + 1.2)
    dx = page.left + (page.wide - (x1 - x0) * k) / 2 - x0 * k
    dy = page.y - 0.2 - y1 * k
    for item in items:
        if isinstance(item, Stroke):
            page.pen.line(_moved(item.d, k, dx, dy), LINES[item.style])
        else:
            page.pen.words(
                item.x * k + dx, item.y * k + dy, item.text, item.size_cm * k, anchor=item.anchor,
                bold=LETTERINGS[item.style].bold,
            )  # fmt: skip
    page.y = y0 * k + dy - 0.5
    left = page.left
    page.pen.line((("M", left, page.y), ("L", left + 5, page.y)), LINES["measure"])
    page.pen.words(left + 5.2, page.y - 0.1, "5 cm", SMALL)
    page.y -= 0.5


def _moved(d: tuple[Command, ...], k: float, dx: float, dy: float) -> list[Command]:
    return [(op, *(v * k + (dx if n % 2 == 0 else dy) for n, v in enumerate(numbers))) for op, *numbers in d]


def _answer(number: int, made: Round, shown: Shown) -> str:
    order = {step.name: count for count, step in enumerate(shown.steps, 1)}
    parts = []
    for card in made.cards:
        places = ", ".join(f"step {order[at]}" for at in made.places(card) if at in order)
        parts.append(f"{places}. {card.mistake.title}. {made.explain(card)}")
    return f"{number} · {made.work.id}: " + " ".join(parts)
