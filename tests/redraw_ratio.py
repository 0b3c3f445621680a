"""Runs in a notebook of the course's page: a board redrawn, and the same garment drawn by matplotlib.

`python -m tests.course_page_benchmark --against-matplotlib` sends it there.
"""

import io
import statistics
import time

import matplotlib.pyplot as plt
from board_usual import BODY, draw

from patternlib.boards import garment_board

plt.switch_backend("agg")


class Shown:
    """Gives a figure as a PNG, as the notebook's own backend does, and keeps none."""

    subplots = staticmethod(plt.subplots)

    @staticmethod
    def show() -> None:
        plt.savefig(io.BytesIO(), format="png", bbox_inches="tight")
        plt.close("all")


def milliseconds(do, values) -> float:
    do(values[0])
    took = []
    for value in values[1:]:
        start = time.perf_counter()
        do(value)
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)


board = garment_board("pinafore", BODY, ("yoke_depth", "skirt_length", "flare"))


def by_board(cm: float) -> None:
    board.values = {**board.values, "skirt_length": cm}
    board.draw()


values = [60 + k / 2 for k in range(16)]
fast = milliseconds(by_board, values)
slow = milliseconds(lambda cm: draw(Shown, "pinafore", skirt_length=cm), values)
print(f"board {fast:.0f} ms, matplotlib {slow:.0f} ms: {slow / fast:.1f} times as fast")
