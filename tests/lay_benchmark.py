"""How well lays use the cloth: against the packing engine called directly, and against boxes laid in rows.

    python tests/lay_benchmark.py [--seconds 10] [--runs 3] [--instances FOLDER]

FOLDER holds instances of irregular strip packing as JSON (name, strip_height, items with id, demand,
allowed_orientations and shape.data), the form in which the garment instances of the ESICUP collection (CC0)
are published. No package carries them and none are made up here: without a folder the pieces of the course's
own garments are packed instead. Prints densities in percent; nothing here is a test.
"""

from __future__ import annotations

import argparse
import json
import math
import time
from pathlib import Path

from shapely import Polygon

from patternlib import PatternError, chart, garment_names, make
from patternlib.geometry import Move
from patternlib.laying import Lay, Shape, Strip, Way, engine, lay, pack
from patternlib.laying.parts import parts_to_lay


def instance(path: Path) -> tuple[str, float, list[Shape]]:
    """(name, width, shapes) of one published instance."""
    record = json.loads(path.read_text(encoding="utf-8"))
    shapes = []
    for item in record["items"]:
        ring = [(float(x), float(y)) for x, y in item["shape"]["data"]]
        ring = ring[:-1] if ring[0] == ring[-1] else ring
        shapes.append(turned(str(item["id"]), ring, item["allowed_orientations"] or [0.0], item["demand"]))
    return record["name"], float(record["strip_height"]), shapes


def turned(name: str, ring, turns, count: int) -> Shape:
    ways = []
    for turn in turns:
        move = Move.turn((0.0, 0.0), turn)
        ways.append(Way(tuple(tuple(move(p)) for p in ring), float(turn)))
    return Shape(name, tuple(ways), count)


def area(shapes) -> float:
    return sum(Polygon(shape.ways[0].ring).area * shape.count for shape in shapes)


def direct(shapes, width: float, seconds: float, seed: int) -> float:
    """Density of the engine called without this library's help: the rings as they are."""
    import spyrrow

    items = [
        spyrrow.Item(str(k), list(s.ways[0].ring), s.count, [w.turn for w in s.ways])
        for k, s in enumerate(shapes)
    ]
    settings = spyrrow.StripPackingConfig(total_computation_time=round(seconds), seed=seed)
    found = spyrrow.StripPackingInstance("direct", width, items).solve(settings)
    return 100 * area(shapes) / (width * found.width)


def ours(shapes, width: float, seconds: float, seed: int) -> tuple[float, str]:
    places, by = pack(shapes, Strip(width), seconds=seconds, seed=seed)
    length = max(x + p.dx for p in places for x, _ in shapes[p.shape].ways[p.way].ring)
    return 100 * area(shapes) / (width * length), by


def against_the_engine(named, seconds: float, runs: int) -> None:
    print(f"engine called directly, and pack(), {seconds:g} s each, {runs} run(s)")
    for name, width, shapes in named:
        pairs = []
        for seed in range(1, runs + 1):
            pairs.append((direct(shapes, width, seconds, seed), *ours(shapes, width, seconds, seed)))
        a, b = (sum(pair[k] for pair in pairs) / runs for k in (0, 1))
        print(f"  {name:<34} direct {a:6.2f}   pack {b:6.2f} ({pairs[-1][2]})   difference {b - a:+.2f}")


def boxes_in_rows(made: Lay) -> float:
    """Use of cloth when the boxes round the same pieces are laid row by row, the longest first.

    A row starts at the fold with a piece that lies there, if one is left, and is filled across the cloth.
    """
    low, high = made.usable
    room = (high - low) if not made.closed else made.width / 2 - 2 * made.selvedge
    boxes = []
    for piece in made.pieces:
        x0, y0, x1, y1 = Polygon(piece.outline).bounds
        boxes.append((x1 - x0, y1 - y0, piece.on_fold))
    boxes.sort(key=lambda box: (-box[0], -box[1]))
    length = 0.0
    while boxes:
        first = next((box for box in boxes if box[2]), boxes[0])
        boxes.remove(first)
        used, long = first[1], first[0]
        for box in list(boxes):
            if not box[2] and used + box[1] <= room:
                boxes.remove(box)
                used, long = used + box[1], max(long, box[0])
        length += long
    return made.use * made.length / length


def against_boxes(seconds: float) -> None:
    print(f"use of cloth, {seconds:g} s each, and the same pieces as boxes laid row by row")
    for name in garment_names():
        for size in ("8", "12", "20"):
            one = make(name, chart("course").body(size), size=size)
            for words, settings in (
                ("flat, 150 cm", {"width": 150}),
                ("flat, 115 cm", {"width": 115}),
                ("folded, 150 cm", {"width": 150, "folded": True}),
                ("folded twice, 160 cm", {"width": 160, "folded": "twice"}),
            ):
                start = time.monotonic()
                try:
                    made = lay(one, seconds=seconds, **settings)
                except PatternError as refused:
                    print(f"  {name} {size:<3} {words:<22} {refused}")
                    continue
                took = time.monotonic() - start
                rows = boxes_in_rows(made)
                print(
                    f"  {name} {size:<3} {words:<22} lay {made.use:5.1f} ({made.engine}, {took:.1f} s)   "
                    f"boxes {rows:5.1f}   gain {made.use - rows:+.1f}"
                )


def own_pieces() -> list[tuple[str, float, list[Shape]]]:
    """The pieces of garments, opened out for flat cloth, as they are laid."""
    named = []
    for sizes in (("12",), ("10", "14")):
        made = [make("pinafore", chart("course").body(size), size=size) for size in sizes]
        shapes = [
            part.shape for part in parts_to_lay(made, "main cloth", folds=0, one_way=False, room=math.inf)
        ]
        named.append((f"pinafore, sizes {' and '.join(sizes)}, 147 cm", 147.0, shapes))
    return named


def main() -> None:
    reads = argparse.ArgumentParser(description="How well lays use the cloth.")
    reads.add_argument("--seconds", type=float, default=10.0)
    reads.add_argument("--runs", type=int, default=3)
    reads.add_argument("--instances", type=Path)
    given = reads.parse_args()
    named = (
        [instance(path) for path in sorted(given.instances.glob("*.json"))]
        if given.instances
        else own_pieces()
    )
    if engine.installed():
        against_the_engine(named, given.seconds, given.runs)
    else:
        print("The packing engine spyrrow is not installed: pip install spyrrow.")
    if not given.instances:
        against_boxes(given.seconds)


if __name__ == "__main__":
    main()
