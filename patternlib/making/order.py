"""The order of sewing as steps with words, for a page and as data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ..garments.base import Garment
from ..pieces import Piece
from ..tolerances import SEAM
from ..units import in_unit, write_length
from .edges import as_folded, hem_depth, is_folded, layers, passes_fitting, self_sewn
from .graph import Graph, Node, Place


@dataclass(frozen=True)
class SewingStep:
    """One step of the making.

    kind: 'patch', 'seam', 'turn' (a hem or a folded edge), 'close' (a second layer) or 'fit'; edges: (piece,
    edge) that are sewn or caught; seams: names; after: numbers of the steps it waits for; length: sewn, cm,
    left and right together.
    """

    number: int
    kind: str
    text: str
    edges: tuple[Place, ...] = ()
    seams: tuple[str, ...] = ()
    after: tuple[int, ...] = ()
    length: float = 0.0

    @property
    def pieces(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(piece for piece, _ in self.edges))


def sewing_order(garment: Garment, *, unit: str = "cm") -> tuple[SewingStep, ...]:
    """The steps of making a garment, each after those it waits for; lengths in the text in `unit`.

    >>> from patternlib import chart, make
    >>> steps = sewing_order(make("pinafore", chart("course").body("12")))
    >>> by_seam = {name: step.number for step in steps for name in step.seams}
    >>> by_seam["front opening"] < by_seam["waistband to front skirt"] < by_seam["side seam"]
    True
    """
    garment = garment.half or garment
    graph = Graph(garment)
    numbers = {k: n for n, k in enumerate(graph.sorted(), 1)}
    steps = []
    for k, number in numbers.items():
        node = graph.nodes[k]
        steps.append(
            SewingStep(
                number,
                node.kind,
                _Words(graph, unit).tell(node),
                (*node.edges, *sorted(node.caught)),
                tuple(seam.name for seam in node.seams),
                tuple(sorted(numbers[j] for j in node.after)),
                _length(graph, node),
            )
        )
    if garment.fittings and not any(
        step.kind == "turn" and passes_fitting(garment, step.pieces) for step in steps
    ):
        steps.append(SewingStep(len(steps) + 1, "fit", f"Sew on the fittings: {_and(garment.fittings)}."))
    for text in garment.closings:
        steps.append(SewingStep(len(steps) + 1, "fit", in_unit(text, unit)))
    return tuple(steps)


def _length(graph: Graph, node: Node) -> float:
    """Sewn length, cm: one side of a seam, of every copy; left and right together."""
    if node.kind == "seam":
        runs = [seam.a for seam in node.seams if seam.a not in [other.b for other in node.seams]]
    else:
        runs = [(place,) for place in node.edges]
    total = 0.0
    for run in runs:
        doubled = any(graph.by_name[p].on_fold or graph.by_name[p].pair for p, _ in run)
        total += sum(graph.edge(place).curve.length for place in run) * (2 if doubled else 1)
    return total


class _Words:
    """Says what is done in a step."""

    def __init__(self, graph: Graph, unit: str):
        self.graph, self.unit = graph, unit

    def tell(self, node: Node) -> str:
        if node.kind == "seam":
            told = self._layers(node) if all(map(self_sewn, node.seams)) else self._seam(node)
        else:
            told = {"turn": self._turn, "patch": self._patch, "close": self._close}[node.kind](node)
        making = self.graph.garment.making
        places: list[tuple[str, str] | str] = [*(seam.name for seam in node.seams), *node.edges]
        more = [making[what] for what in places if what in making]
        sewn = [self._allowances(node)] if node.kind == "seam" else []
        return " ".join((told, *sewn, *(in_unit(text, self.unit) for text in dict.fromkeys(more))))

    def _allowances(self, node: Node) -> str:
        """How far from the raw edge a seam is sewn, edge by edge where they differ."""
        edges = {place: self.graph.edge(place).allowance for place in node.edges}
        by_name: dict[str, set[float]] = {}
        for (_, name), cm in edges.items():
            by_name.setdefault(name, set()).add(cm)
        by_cm: dict[float, list[str]] = {}
        for (piece, name), cm in edges.items():
            by_cm.setdefault(cm, []).append(name if len(by_name[name]) == 1 else f"{piece} ({name})")
        if len(by_cm) == 1:
            (cm,) = by_cm
            return f"Sew {write_length(cm, self.unit)} from the raw edges."
        parts = [f"{_and(names)} {write_length(cm, self.unit)}" for cm, names in by_cm.items()]
        return f"Sew {', '.join(parts)} from the raw edges."

    def _piece(self, name: str) -> Piece:
        return self.graph.by_name[name]

    def _sides(self, node: Node) -> str:
        """Whether it is sewn once across the centre, or on both sides of the body."""
        if not any(self._piece(p).on_fold or self._piece(p).pair for p in node.pieces):
            return ""
        ends = (end for seam in node.seams for end in self.graph.seam_ends(seam))
        centred = any(end.next_a[1].turn == end.next_b[1].turn == "fold" for end in ends)
        return ", from side to side" if centred else ", left and right"

    def _layers(self, node: Node) -> str:
        """A seam that joins copies of one piece, or two edges of one piece."""
        name, seam = node.pieces[0], node.seams[0]
        edges, sides = _and(edge for _, edge in node.edges), self._sides(node)
        if is_folded(seam, self.graph.by_name):
            ends = _and(f"{s.a[0][1]} to {s.b[0][1]}" for s in node.seams)
            return f"Fold each {name} along its fold, right sides together, and sew {ends}{sides}."
        if seam.a != seam.b:
            first, second = (_and(edge for _, edge in side) for side in (seam.a, seam.b))
            if passes_fitting(self.graph.garment, [name]):
                return f"Pass each {name} through {self._fitting([name])} and stitch {first} to {second}."
            return f"Close each {name} to a round: {first} to {second}{sides}."
        if layers(self._piece(name)) > 1:
            return f"Sew the layers of each {name} together along the {edges}{sides}; turn right side out."
        return f"Sew the two pieces {name} together along the {edges}."

    def _seam(self, node: Node) -> str:
        sides = [side for seam in node.seams if not self_sewn(seam) for side in (seam.a, seam.b)]
        ends = _and(edge for seam in node.seams if self_sewn(seam) for _, edge in seam.a)
        caught = next((side for side in sides if sides.count(side) > 1), None)
        extra = ""
        twin = self._faced(node, caught)
        if caught and twin:
            name = caught[0][0]
            edges = [e.name for e in self._piece(name).edges if (name, e.name) in node.edges]
            between = self._side(place for place in node.edges if place[0] not in (name, twin))
            text = (
                f"Lay {between} between {name} and {twin} at the {_and(e for _, e in caught)}; sew {name} "
                f"and {twin} together along {_and(edges)} in one go"
            )
        elif caught:
            name, under = caught[0][0], {p for p, _ in caught}
            others = _and(p for p in node.pieces if p not in under)
            where = self._side(caught)
            if layers(self._piece(name)) > 1:
                where = f"between the layers of the {name} along the {_and(e for _, e in caught)}"
            text = f"Sew {others}, edge on edge, {'' if where.startswith('between') else 'to '}{where}"
            if ends:
                text += f", and in the same go the layers to each other at both ends ({ends})"
                extra = "; turn right side out"
        else:
            first = node.seams[0].a[0][0]
            a: list[tuple[str, str]] = []
            b: list[tuple[str, str]] = []
            for seam in node.seams:
                a += seam.a if any(p == first for p, _ in seam.a) else seam.b
                b += seam.b if any(p == first for p, _ in seam.a) else seam.a
            text = f"Sew {self._side(a)} to {self._side(b)}"
            if len(node.seams) > 1:
                text += " in one go, turning the work at the corners"
                extra = "; turn right side out"
        ease = [seam.ease for seam in node.seams if abs(seam.ease) > SEAM]
        if ease:
            text += f"; ease in {write_length(ease[0], self.unit)}"
        notched = "; match the notches" if any(seam.notches for seam in node.seams) else ""
        return f"{text}{self._sides(node)}{notched}{extra}."

    @staticmethod
    def _faced(node: Node, caught: tuple[Place, ...] | None) -> str:
        """The piece that is sewn to the caught one along several edges, '' where there is none."""
        if not caught:
            return ""
        name = caught[0][0]
        met: dict[str, set[str]] = {}
        for seam in node.seams:
            sides = (seam.a, seam.b) if any(p == name for p, _ in seam.a) else (seam.b, seam.a)
            for other in {p for p, _ in sides[1]} - {name}:
                met.setdefault(other, set()).update(e for p, e in sides[0] if p == name)
        return next((other for other, edges in met.items() if len(edges) > 1), "")

    def _side(self, side: Iterable[Place]) -> str:
        by_piece: dict[str, list[str]] = {}
        for piece, edge in side:
            by_piece.setdefault(piece, []).append(edge)
        return _and(f"{self._layer(piece)} ({_and(edges)})" for piece, edges in by_piece.items())

    def _layer(self, name: str) -> str:
        """The piece, or its outer layer where the inner one is closed later."""
        closed = any(node.kind == "close" and name in node.pieces for node in self.graph.nodes)
        return f"the outer {name}" if closed else name

    def _turn(self, node: Node) -> str:
        fitting = self._fitting(node.pieces)
        by_turn: dict[tuple[str, float], list[Place]] = {}
        for name in node.pieces:
            for edge in as_folded(self._piece(name)):
                if (name, edge.name) in node.edges:
                    by_turn.setdefault((edge.turn, edge.allowance), []).append((name, edge.name))
        said, notes = [], {f.where: f.text for f in self.graph.garment.findings if f.code == 407}
        for (turn, depth), places in by_turn.items():
            deep, where = write_length(depth, self.unit), self._side(places)
            one = " as one edge" if len({p for p, _ in places}) > 1 else ""
            if turn == "hem":
                texts = [notes.get(f"{piece}, {edge}", "") for piece, edge in places]
                more = ""
                if any("too short" in text for text in texts):
                    more = "; in the hollow the raw edge is too short: stretch it in pressing, or bind it"
                elif any("too long" in text for text in texts):
                    more = "; the raw edge is too long: ease it in evenly"
                half = write_length(hem_depth(depth), self.unit, decimals=2)
                said.append(f"Hem {where}{one}: turn in {half} twice (allowance {deep}) and stitch{more}.")
            elif fitting:
                said.append(f"Pass {where} through {fitting}, turn back {deep} and stitch the layers.")
            else:
                said.append(f"Fold {where}{one} to the inside, {deep}, and stitch.")
        return " ".join(said)

    def _fitting(self, pieces: Iterable[str]) -> str:
        """What pieces pass through whose width a fitting limits, '' where none does."""
        garment = self.graph.garment
        if not passes_fitting(garment, pieces):
            return ""
        named = [garment.through[name] for name in pieces if name in garment.through]
        return _and(named) if named else f"the fitting ({_and(garment.fittings)})"

    def _patch(self, node: Node) -> str:
        name = node.edges[0][0]
        edges = as_folded(self._piece(name))
        folded = ", ".join(
            f"{e.name} {write_length(hem_depth(e.allowance), self.unit, decimals=2)} twice"
            if e.turn == "hem"
            else f"{e.name} {write_length(e.allowance, self.unit)}"
            for e in edges
        )
        hems = [e.name for e in edges if e.turn == "hem"]
        stitch = f"stitch the {_and(hems)}; " if hems else ""
        where = f"on the {_and(node.bases)} at the drill holes" if node.bases else "where it is marked"
        if len(node.bases) > 1:
            where = f"by its ends {where}"
        return f"Press back the edges of each {name} in this order: {folded}; {stitch}sew it {where}."

    def _close(self, node: Node) -> str:
        return (
            f"Close the {node.edges[0][0]}: fold in what is still open of its inner layer "
            f"({_and(edge for _, edge in node.edges)}) and stitch it down over the seams."
        )


def _and(words: Iterable[str]) -> str:
    words = list(dict.fromkeys(words)) or [""]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
