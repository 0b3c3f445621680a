"""Which step of the making waits for which, read off pieces and seams; see the package for the rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import NamedTuple

from ..checking import DESIGNED
from ..garments.base import Garment
from ..pieces import TURNED_OVER, Edge, Piece, Seam
from .edges import as_folded, is_folded, layers, passes_fitting, self_sewn

STRIP = 1 / 3
"""A seam this short against both turned edges beside it is the end of a strip (no source)."""

Place = tuple[str, str]
"""(piece, edge)."""


@dataclass
class Node:
    kind: str
    edges: tuple[Place, ...]
    seams: tuple[Seam, ...] = ()
    bases: tuple[str, ...] = ()
    caught: set[Place] = field(default_factory=set)
    after: set[int] = field(default_factory=set)

    @property
    def pieces(self) -> list[str]:
        return list(dict.fromkeys((*(p for p, _ in self.edges), *self.bases)))


class End(NamedTuple):
    """One end of a seam: on each side the edge beyond the corner, and the angle inside the piece, degrees."""

    next_a: tuple[str, Edge]
    next_b: tuple[str, Edge]
    angles: tuple[float, float]


class Graph:
    """The steps as nodes and what each waits for."""

    def __init__(self, garment: Garment):
        self.garment = garment
        self.by_name: Mapping[str, Piece] = {piece.name: piece for piece in garment.pieces}
        self.sewn: dict[Place, list[int]] = {}
        self.nodes: list[Node] = []
        for group in self._seam_groups():
            places = tuple(dict.fromkeys(p for seam in group for side in (seam.a, seam.b) for p in side))
            self._add(Node("seam", places, group))
            for place in places:
                self.sewn.setdefault(place, []).append(len(self.nodes) - 1)
        self._layers_first()
        self._ends()
        self._patches()
        self._tacked()
        self._closings()
        self._turned_corners()
        self._flat_first()
        self._merge_turns()

    def _add(self, node: Node) -> int:
        self.nodes.append(node)
        return len(self.nodes) - 1

    def edge(self, place: Place) -> Edge:
        return self.by_name[place[0]].edge(place[1])

    # -- what is one step

    def _seam_groups(self) -> list[tuple[Seam, ...]]:
        """Seams sewn in one go: those that share an edge, those that run on between the same two pieces."""
        seams = self.garment.seams
        named = [place for s in seams if not self_sewn(s) for side in (s.a, s.b) for place in side]
        self.between = {place for place in named if named.count(place) > 1}
        group = list(range(len(seams)))
        for i, j in combinations(range(len(seams)), 2):
            if self._one_go(seams[i], seams[j]):
                old, new = group[j], group[i]
                group = [new if g == old else g for g in group]
        return [tuple(s for s, h in zip(seams, group, strict=True) if h == g) for g in dict.fromkeys(group)]

    def _one_go(self, s: Seam, t: Seam) -> bool:
        sides = [{*s.a}, {*s.b}], [{*t.a}, {*t.b}]
        if any(x & y for x in sides[0] for y in sides[1]) and not self_sewn(s) and not self_sewn(t):
            return True
        if any(self._ends_of_layers(*pair) for pair in ((s, t), (t, s))):
            return True
        pieces = [{p for p, _ in (*seam.a, *seam.b)} for seam in (s, t)]
        if pieces[0] == pieces[1] and is_folded(s, self.by_name) and is_folded(t, self.by_name):
            return True
        layered = s.a == s.b and t.a == t.b
        if pieces[0] != pieces[1] or len(pieces[0]) != (1 if layered else 2):
            return False
        theirs = {*t.a, *t.b}
        beside = (
            {(end.next_a[0], end.next_a[1].name), (end.next_b[0], end.next_b[1].name)}
            for end in self.seam_ends(s)
        )
        return any(places <= theirs for places in beside)

    def _ends_of_layers(self, s: Seam, t: Seam) -> bool:
        """Whether s closes the end of two layers beside an edge where t is caught between them."""
        caught = [place for side in (t.a, t.b) for place in side if place in self.between]
        return s.a == s.b and any((end.next_a[0], end.next_a[1].name) in caught for end in self.seam_ends(s))

    def seam_ends(self, seam: Seam) -> Iterator[End]:
        for last in (False, True):
            (next_a, angle_a), (next_b, angle_b) = (
                self._corner(side, against, last)
                for side, against in ((seam.a, seam.against_a), (seam.b, seam.against_b))
            )
            yield End(next_a, next_b, (angle_a, angle_b))

    def _corner(self, side: tuple[Place, ...], against: bool, last: bool) -> tuple[tuple[str, Edge], float]:
        place = side[-1 if last else 0]
        edges = self.by_name[place[0]].edges
        i = next(k for k, edge in enumerate(edges) if edge.name == place[1])
        at_end = against != last
        before, after = (edges[i], edges[(i + 1) % len(edges)]) if at_end else (edges[i - 1], edges[i])
        turn = after.curve.start_direction.angle - before.curve.end_direction.angle
        return (place[0], after if at_end else before), 180.0 - ((turn + 180.0) % 360.0 - 180.0)

    # -- what waits for what

    def _layers_first(self) -> None:
        for i, j in combinations(range(len(self.nodes)), 2):
            for first, second in ((i, j), (j, i)):
                a, b = self.nodes[first], self.nodes[second]
                own, whole = set(a.pieces), set(b.pieces)
                copies = all(map(self_sewn, a.seams)) and not all(map(self_sewn, b.seams)) and own & whole
                # what several seams of one step sew to one edge is joined to each other first
                caught = len(own & (whole - self._under(b))) > 1 and not self._under(b) & own
                if copies or caught:
                    b.after.add(first)

    @staticmethod
    def _under(node: Node) -> set[str]:
        """The pieces whose edges several seams of a step share; all of its pieces where none are shared."""
        sides = [place for seam in node.seams for side in (seam.a, seam.b) for place in side]
        return {piece for piece, edge in sides if sides.count((piece, edge)) > 1} or set(node.pieces)

    def _ends(self) -> None:
        """At each end of each seam: crossing seams, and turned edges."""
        runs: list[set[Place]] = []
        before: dict[Place, set[int]] = {}
        waits: dict[int, set[Place]] = {}
        for k, node in enumerate(list(self.nodes)):
            for seam in node.seams:
                strip = self._is_strip(seam)
                for end in self.seam_ends(seam):
                    (pa, ea), (pb, eb) = end.next_a, end.next_b
                    na, nb = (pa, ea.name), (pb, eb.name)
                    for t in {*self.sewn.get(na, ()), *self.sewn.get(nb, ())} - {k}:
                        for side in (side for s in self.nodes[t].seams for side in (s.a, s.b)):
                            if {na, nb} in [set(pair) for pair in pairwise(side)]:
                                self.nodes[t].after.add(k)  # it crosses this seam
                    self._star(k, end)
                    for own, place, other in ((ea, na, nb), (eb, nb, na)):
                        if own.turn == "caught":  # it lies in the seam of the edge beside it
                            for t in self.sewn.get(other, ()):
                                self.nodes[t].after.add(k)
                                self.nodes[t].caught.add(place)
                    turned = [n for n, e in ((na, ea), (nb, eb)) if e.turn in TURNED_OVER]
                    if len(turned) == 2 and abs(sum(end.angles) - 180.0) <= DESIGNED and not strip:
                        runs.append({na, nb})
                        for n in turned:
                            before.setdefault(n, set()).add(k)
                        continue
                    waits.setdefault(k, set()).update(turned)
                    if len(turned) == 1:  # what ends with a finished edge is sewn on over the other seam
                        node.after.update(t for n in (na, nb) for t in self.sewn.get(n, ()) if t != k)
        holding = {p.name for p in self.garment.pieces if any(e.turn == "caught" for e in p.edges)}
        for run in self._joined(runs):
            number = self._add(Node("turn", run))
            self.nodes[number].after = {k for place in run for k in before.get(place, ())}
            if {p for p, _ in run} <= holding:  # a small piece is finished before it is sewn on
                for place, seams in self.sewn.items():
                    if place[0] == run[0][0]:
                        for k in seams:
                            self.nodes[k].after.add(number)
            for k, places in waits.items():
                if places & set(run):
                    self.nodes[k].after.add(number)

    def _star(self, k: int, end: End) -> None:
        """Where four seams meet in a point of two straight lines, as at the foot of an opening.

        The two that sew a small piece to a large one come before the two that join pieces alike.
        """
        if any(abs(angle - 180.0) > DESIGNED for angle in end.angles):
            return
        others = [t for p, e in (end.next_a, end.next_b) for t in self.sewn.get((p, e.name), ()) if t != k]
        if len(set(others)) == 2 and min(map(self._unlike, others)) > 2 * self._unlike(k):
            self.nodes[k].after.update(others)

    def _unlike(self, k: int) -> float:
        """The largest piece of a step against its smallest."""
        areas = [self.by_name[p].outline.area for p in self.nodes[k].pieces]
        return max(areas) / min(areas)

    def _is_strip(self, seam: Seam) -> bool:
        """Whether the seam closes the end of a strip whose two sides are turned."""
        ends = list(self.seam_ends(seam))
        if passes_fitting(self.garment, [p for p, _ in seam.a]):
            return True
        for side, beside in ((seam.a, [e.next_a[1] for e in ends]), (seam.b, [e.next_b[1] for e in ends])):
            width = sum(self.edge(place).curve.length for place in side)
            if all(e.turn in TURNED_OVER and width < STRIP * e.curve.length for e in beside):
                return True
        return False

    def _joined(self, runs: list[set[Place]]) -> list[tuple[Place, ...]]:
        """Every turned edge of a piece that seams name, those that run on over a seam together."""
        found: list[set[Place]] = []
        named = {piece for piece, _ in self.sewn}
        every = [{(p.name, e.name)} for p in self.garment.pieces if p.name in named for e in p.edges
                 if e.turn in TURNED_OVER]  # fmt: skip
        for run in (*every, *runs):
            touching = [other for other in found if other & run]
            found = [other for other in found if not other & run] + [run.union(*touching)]
        every_edge = [(p.name, e.name) for p in self.by_name.values() for e in p.edges]
        return sorted(
            (tuple(sorted(run, key=every_edge.index)) for run in found),
            key=lambda run: every_edge.index(run[0]),
        )

    def _turned_corners(self) -> None:
        """Of two turned edges that meet in a corner: the one named by the corner first, or else the hem."""
        at = {place: k for k, node in enumerate(self.nodes) if node.kind == "turn" for place in node.edges}
        for piece in self.garment.pieces:
            for before, after in pairwise((*piece.edges, piece.edges[0])):
                i, j = at.get((piece.name, before.name)), at.get((piece.name, after.name))
                named = piece.folds.get((before.name, after.name))
                if i is None or j is None or i == j or (named is None and before.turn == after.turn):
                    continue
                first = named == before.name if named else before.turn == "hem"
                self.nodes[j if first else i].after.add(i if first else j)

    def _flat_first(self) -> None:
        """The inner edge of a facing is folded while the facing still lies flat, before it is sewn on."""
        for number, turn in enumerate(self.nodes):
            own = set(turn.pieces)
            folded = all(self.edge(place).turn == "fold-back" for place in turn.edges)
            if turn.kind != "turn" or not folded or passes_fitting(self.garment, own):
                continue
            earlier = self._earlier(number)
            for k, node in enumerate(self.nodes):
                if (
                    node.kind == "seam"
                    and own & set(node.pieces)
                    and set(node.pieces) - own
                    and k not in earlier
                ):
                    node.after.add(number)

    def _earlier(self, number: int) -> set[int]:
        """All that a step waits for, and what that waits for."""
        found: set[int] = set()
        left = [number]
        while left:
            new = self.nodes[left.pop()].after - found
            found |= new
            left += new
        return found

    def _patches(self) -> None:
        """What is laid on a piece goes there first; what joins two pieces is laid on when both are sewn."""
        named = {piece for piece, _ in self.sewn}
        for piece in self.garment.pieces:
            if piece.name in named:
                continue
            marked = ((p.name, hole.purpose) for p in self.garment.pieces for hole in p.drill_holes)
            under = tuple(dict.fromkeys(name for name, purpose in marked if purpose == piece.name))
            places = tuple((piece.name, e.name) for e in as_folded(piece))
            number = self._add(Node("patch", places, bases=under))
            for k, node in enumerate(self.nodes[:number]):
                if len(under) > 1 and set(under) & set(node.pieces):
                    self.nodes[number].after.add(k)
                elif node.kind == "seam" and set(under) & set(node.pieces):
                    node.after.add(number)

    def _tacked(self) -> None:
        """What is tacked on a piece where a mark bears its name is made before that piece is sewn."""
        for piece in self.garment.pieces:
            on = {mark.name for mark in piece.marks} & {name for name, _ in self.sewn}
            made = {k for k, node in enumerate(self.nodes) if node.kind == "seam" and set(node.pieces) & on}
            for node in self.nodes:
                if node.kind == "seam" and piece.name in node.pieces:
                    node.after |= made

    def _closings(self) -> None:
        steps = [(k, node) for k, node in enumerate(self.nodes) if node.kind == "seam"]
        bagged = {p for _, node in steps if all(map(self_sewn, node.seams)) for p in node.pieces}
        for piece in self.garment.pieces:
            seams = {k for k, node in steps if piece.name in node.pieces}
            if layers(piece) > 1 and piece.name not in bagged and seams:
                ends = {p for s in self.garment.seams if s.a == s.b for p in s.a}
                places = tuple(
                    place for place in self.sewn
                    if place[0] == piece.name and place not in self.between | ends
                )  # fmt: skip
                self._add(Node("close", places, after=seams))

    def _merge_turns(self) -> None:
        """Turned edges of one piece that wait for the same and are waited for by the same are one step."""
        same: dict[tuple, list[int]] = {}
        for k, node in enumerate(self.nodes):
            followers = frozenset(j for j, other in enumerate(self.nodes) if k in other.after)
            deep = frozenset(self.edge(place).turn for place in node.edges)
            if node.kind == "turn":
                key = frozenset(node.pieces), frozenset(node.after), followers, deep
                same.setdefault(key, []).append(k)
        gone = {}
        for first, *others in same.values():
            for k in others:
                self.nodes[first].edges += self.nodes[k].edges
                gone[k] = first
        kept = [k for k in range(len(self.nodes)) if k not in gone]
        for k in kept:
            self.nodes[k].after = {kept.index(gone.get(j, j)) for j in self.nodes[k].after} - {kept.index(k)}
        self.nodes = [self.nodes[k] for k in kept]

    # -- in which order

    def _is_free(self, node: Node) -> bool:
        """Whether turned edges have only turned edges beside them, as the end of a tie has."""
        for name, edge in node.edges:
            edges = self.by_name[name].edges
            i = next(k for k, e in enumerate(edges) if e.name == edge)
            if any(e.turn not in TURNED_OVER for e in (edges[i - 1], edges[(i + 1) % len(edges)])):
                return False
        return not passes_fitting(self.garment, node.pieces)

    def sorted(self) -> list[int]:
        """The numbers of the nodes, each after all it waits for.

        Where steps wait for one another, the one that waits for the fewest goes first.
        """
        part = {name: frozenset({name}) for name in self.by_name}
        followed = {j for node in self.nodes for j in node.after}
        left, done = set(range(len(self.nodes))), []
        last: frozenset[str] | set[str] = set()

        def key(k: int):
            node = self.nodes[k]
            parts = {part[p] for p in node.pieces}
            early = {
                "patch": 0,
                "seam": 1,
                "turn": 0 if k in followed or self._is_free(node) else 3,
                "close": 2,
            }[node.kind]
            closes = node.kind == "seam" and len(parts) == 1 and not all(map(self_sewn, node.seams))
            apart = not last & set(node.pieces)
            least = min(self.by_name[p].outline.area for p in node.pieces)
            length = sum(self.edge(place).curve.length for place in node.edges)
            return early, closes, len(frozenset().union(*parts)), apart, -least, length, k

        while left:
            waiting = {k: len(self.nodes[k].after & left) for k in left}
            least = min(waiting.values())
            k = min((k for k in left if waiting[k] == least), key=key)
            left.remove(k)
            done.append(k)
            last = set(self.nodes[k].pieces)
            joined = frozenset().union(*(part[p] for p in last))
            part |= dict.fromkeys(joined, joined)
        return done
