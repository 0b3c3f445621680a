"""The packing engine spyrrow (MIT licence), where it is installed: called only here."""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence

from .shapes import Place, Shape, Strip, box, room_needed, widened


def installed() -> bool:
    """Whether the engine can be called; asking does not load it."""
    return importlib.util.find_spec("spyrrow") is not None


def pack(shapes: Sequence[Shape], strip: Strip, *, seconds: float, seed: int) -> list[Place]:
    """Lay shapes on a strip in about `seconds` (whole seconds, at least 1).

    Of each shape the ways that are not turned over are used. The engine knows neither folds nor stripes.
    The seed starts its random choices; how far it comes in the time depends on the machine.
    """
    import spyrrow

    by = room_needed([shape.ways[0].ring for shape in shapes], strip.gap)
    rings = [widened(shape.ways[0].ring, by, strip.gap) for shape in shapes]
    items = [
        spyrrow.Item(str(k), list(ring), shape.count, [way.turn for way in shape.ways if not way.over])
        for k, (shape, ring) in enumerate(zip(shapes, rings, strict=True))
    ]
    settings = spyrrow.StripPackingConfig(total_computation_time=max(1, round(seconds)), seed=seed)
    solved = spyrrow.StripPackingInstance("lay", strip.width + strip.gap, items).solve(settings)
    places = []
    for item in solved.placed_items:
        k = int(item.id)
        way = _nearest_way(shapes[k], item.rotation)
        turn = shapes[k].ways[way].turn
        # the engine turns about the origin; a way's ring may lie elsewhere: compare their boxes
        x0, y0, *_ = box(_turned(shapes[k].ways[0].ring, turn - shapes[k].ways[0].turn))
        w0, v0, *_ = box(shapes[k].ways[way].ring)
        dx, dy = item.translation
        places.append(Place(k, way, x0 + dx - w0, y0 + dy - strip.gap / 2 - v0))
    left = min(box(shapes[p.shape].ways[p.way].ring)[0] + p.dx for p in places)
    return [p._replace(dx=p.dx - left) for p in places]


def _nearest_way(shape: Shape, degrees: float) -> int:
    def off(k: int) -> float:
        way = shape.ways[k]
        return abs((way.turn - degrees + 180) % 360 - 180) + (1000 if way.over else 0)

    return min(range(len(shape.ways)), key=off)


def _turned(ring, degrees: float):
    from ..geometry import Move

    move = Move.turn((0.0, 0.0), degrees)
    return [tuple(move(p)) for p in ring]
