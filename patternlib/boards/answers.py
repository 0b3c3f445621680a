"""Boards on which a reader answers a question of a lesson: a number on a slider, or words to choose from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..checking import Finding
from ..output.scene import Scene
from .board import Board
from .picture import Picture
from .slider import Slider, choice

OPEN = "choose"
"""What stands in a field of which nothing has been chosen yet."""


def number_board(
    scene: Scene, slider: Slider, right: float, *, within: float, hint: str, title: str = "Your answer"
) -> Board:
    """A board with a drawing and one number to set; the panel says whether it is right.

    right: the number asked for; within: how far off it may be; hint: what is said while it is not right.

    >>> from patternlib import make
    >>> from patternlib.output.scene import piece_scene
    >>> bib = piece_scene(make("pinafore", "12")["bib"])
    >>> board = number_board(bib, Slider("mine", "Cut", 0, 4, 1, 0, ""), 1, within=0, hint="Count again.")
    >>> [board.draw({"mine": n}).findings[0].text for n in (0, 2, 1)]
    ['set your answer', 'not yet. Count again.', 'right']
    """

    def redraw(values: Mapping[str, float]) -> Picture:
        mine = values[slider.name]
        if mine == slider.start:
            said = _said("note", "set your answer")
        elif abs(mine - right) <= within + 1e-9:
            said = _said("right", "right")
        else:
            said = _said("warning", f"not yet. {hint}")
        return Picture(scene, [said])

    return Board(redraw, [slider], title=title)


def choice_board(
    scene: Scene, asked: Mapping[str, tuple[Sequence[str], str]], *, title: str = "Your answer"
) -> Board:
    """A board with a drawing and questions, each answered by choosing words; the panel counts the right ones.

    asked: for each question its words to choose from and the right one. Which answer is wrong is said when
    every question has an answer.

    >>> from patternlib import make
    >>> from patternlib.output.scene import piece_scene
    >>> strap = piece_scene(make("pinafore", "12")["strap"])
    >>> board = choice_board(strap, {"strap": (("single", "as a pair"), "as a pair")})
    >>> board.draw({"q1": "as a pair"}).findings[0].text
    '1 of 1 right'
    """
    fields = {f"q{k}": question for k, question in enumerate(asked, 1)}
    sliders = [
        choice(name, question[:1].upper() + question[1:], (OPEN, *asked[question][0]))
        for name, question in fields.items()
    ]

    def redraw(values: Mapping[str, float]) -> Picture:
        words = {q: (OPEN, *asked[q][0])[round(values[name])] for name, q in fields.items()}
        open_yet = [q for q, word in words.items() if word == OPEN]
        wrong = [q for q, word in words.items() if word not in (OPEN, asked[q][1])]
        if open_yet:
            return Picture(scene, [_said("note", f"still to choose: {', '.join(open_yet)}")])
        found = [_said("warning" if wrong else "right", f"{len(words) - len(wrong)} of {len(words)} right")]
        return Picture(scene, found + [_said("warning", f"look again at: {q}") for q in wrong])

    return Board(redraw, sliders, title=title)


def _said(severity: str, text: str) -> Finding:
    return Finding(100, severity, "your answer", None, None, None, text)
