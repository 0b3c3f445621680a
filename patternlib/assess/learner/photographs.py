"""The photographs on a paper form while its notebook runs: taken in, enlarged, crossings and lines found.

Nothing that photographs need is imported before one is chosen. Nothing here looks at the rule's own draft.
"""

from __future__ import annotations

import contextlib
import importlib.util
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ...errors import PatternError
from ...geometry import Point
from ...not_here import extra_needed
from ...output.items import Box
from ...photo.decoding import MOST_BYTES
from ...photo.layouts import QUIET, sheet_layout
from ...units import read_length
from ..answers.paper_form import SCALES
from ..photographed.flags import FRAME, by_name, frame_flags, in_doubt, line_places
from ..photographed.label import Label, read_label
from ..tasks.exercise import Exercise
from ..tasks.own_numbers import OwnNumbers, spelled
from .read_off import DISTANCES

if TYPE_CHECKING:
    from ...photo.reading import Flat

MOST_PARTS = 64
MOST_KEPT = 12
"""Photographs that are held ready at once; the oldest goes first."""
WIDEST = 1800
"""Pixels of the longer side of a picture that is shown."""
FINEST = 60.0
"""Pixels a cm."""
ENLARGED = 3.0
"""cm: side of an enlargement."""
NEAR = 0.3
"""cm: crossings so near to a tap are offered."""
MOST_CROSSINGS = 200
"""In one part of a picture."""

NEEDED = ("cv2", "scipy")
ONLY_LAB = (
    "Photographs are read in JupyterLab on a computer only, not on this page in the browser. Here, measure "
    "your draft with the ruler and type the measures below."
)
GONE = "This photograph is no longer held ready. Choose its file again; what you confirmed is kept."
CUT_SHORT = "The file did not come whole. Choose the photograph again."
NO_CODE = (
    "The code in the corner of the page cannot be read, so it is not known which page this is. Take the "
    "photograph again, nearer, with light from the side and no shadow on the code."
)
UNREAD = (
    "This cannot be read from the photograph ({}). Take the photograph again, or type the measures below."
)
TWO_LENGTHS = (
    "With strips, two distances decide the size of everything. Measure from cross to cross with the ruler "
    "that drew the draft, type both lengths here, and read the photograph again."
)


def missing() -> str:
    """'' where photographs can be read, else a sentence with what to do. Imports nothing."""
    if sys.platform == "emscripten":
        return ONLY_LAB
    lacks = next((name for name in NEEDED if importlib.util.find_spec(name) is None), "")
    return f"{extra_needed('Reading a photograph', lacks)} Then start the notebook again." if lacks else ""


class Photographs:
    """The photographs of one form, of a student's own numbers; held: those that lie on it from the start."""

    def __init__(self, work: Exercise, of: OwnNumbers, student: str, held: Sequence[Flat] = ()) -> None:
        self.held = tuple(held)
        self.work, self.of, self.student = work, of, student
        self.flats: dict[str, Flat] = {}
        self.printed: dict[str, list[Box]] = {}
        self._parts: dict[int, bytes] = {}
        self._data = b""

    def answer(
        self, said: Mapping[str, Any], buffers: Sequence[Any] = ()
    ) -> tuple[dict[str, Any], list[bytes]]:
        """What is answered to a page's message, and the pictures with it; {} where there is nothing to say.

        A photograph that cannot be used is answered with its sentence: {"fault": ...}.
        """
        does: dict[Any, Callable[..., tuple[dict[str, Any], list[bytes]]]] = {
            "part": self._part, "again": self._again, "look": self._look, "trace": self._trace,
            "crossings": self._crossings, "held": self._held,
        }  # fmt: skip
        act = does.get(said.get("do"))
        if act is None:
            return {}, []
        try:
            answer, pictures = act(said, buffers)
        except PatternError as fault:
            return {"fault": str(fault), "lengths": getattr(fault, "kind", "") in _BY_LENGTHS}, []
        except Exception as fault:  # a page that hears nothing would wait for ever
            return {"fault": UNREAD.format(type(fault).__name__)}, []
        return (answer | {"do": said["do"], "ask": said.get("ask")} if answer else {}), pictures

    # -- taken in

    def _part(self, said: Mapping[str, Any], buffers: Sequence[Any]) -> tuple[dict[str, Any], list[bytes]]:
        part, of = int(said["part"]), int(said["of"])
        if not 0 <= part < of <= MOST_PARTS or not buffers:
            raise PatternError(CUT_SHORT)
        if part == 0:
            self._parts = {}
        self._parts[part] = bytes(buffers[0])
        if part < of - 1:
            return {}, []
        data = b"".join(self._parts.get(k, b"") for k in range(of))
        whole = len(self._parts) == of
        self._parts = {}
        if not whole or len(data) > MOST_BYTES:
            raise PatternError(CUT_SHORT)
        self._data = data
        return self._read(said)

    def _held(self, said: Mapping[str, Any], _buffers: Any) -> tuple[dict[str, Any], list[bytes]]:
        answer, pictures = self.take(self.held[int(said["n"])])
        answer["taken"]["held"] = True
        return answer, pictures

    def _again(self, said: Mapping[str, Any], _buffers: Any) -> tuple[dict[str, Any], list[bytes]]:
        if not self._data:
            raise PatternError("Choose the photograph first.")
        return self._read(said)

    def _read(self, said: Mapping[str, Any]) -> tuple[dict[str, Any], list[bytes]]:
        if lacks := missing():
            raise PatternError(lacks)
        from ...photo.reading import read_photograph

        distances = [
            (str(a), str(b), read_length(str(cm), name=f"distance from cross {a} to cross {b}"))
            for a, b, cm in said.get("distances", ())[:DISTANCES]
        ]
        line = str(said.get("line", "")).strip()
        flat = read_photograph(
            self._data, distances=distances, test_line=read_length(line, name="test line") if line else None
        )
        if flat.kind == "strips" and len(distances) < DISTANCES:
            raise _LengthsNeeded(TWO_LENGTHS)
        return self.take(flat)

    def take(self, flat: Flat) -> tuple[dict[str, Any], list[bytes]]:
        """Hold a photograph ready, and say what the page needs. Raises PatternError for another's sheet."""
        label = self._mine(flat)
        self.flats.pop(flat.sha256, None)
        self.flats[flat.sha256] = flat
        self.printed[flat.sha256] = _printed(label) if label is not None and not label.loose else []
        while len(self.flats) > MOST_KEPT:
            gone = next(iter(self.flats))
            del self.flats[gone], self.printed[gone]
        x0, y0, x1, y1 = flat.box
        px = min(FINEST, WIDEST / max(x1 - x0, y1 - y0))
        taken: dict[str, Any] = {
            "kind": flat.kind, "sha256": flat.sha256, "residual": f"{flat.residual:.2f}",
            "tilt": round(flat.tilt, 1), "box": list(flat.box), "page": "", "scale": "", "frame": "",
        }  # fmt: skip
        if label is not None:
            taken["scale"] = _SCALES[label.scale]
        if label is not None and not label.loose:
            x, y = label.origin
            taken["page"], taken["frame"] = str(label.page), f"{x:.4f} {y:.4f} 0 1 {label.scale}"
        return {"taken": taken | self._flagged(flat)}, [flat.picture(px)]

    def _mine(self, flat: Flat) -> Label | None:
        """What the sheet says of itself; strips without their slip say nothing."""
        if not flat.label:
            if flat.kind == "sheet":
                raise PatternError(NO_CODE)
            return None
        label = read_label(flat.label)
        if label.exercise != self.work.id:
            raise PatternError(
                f"This is a page of exercise {label.exercise}, and this is the form of {self.work.id}. "
                f"Choose a photograph of a page of {self.work.id}, or go to the form of {label.exercise}."
            )
        if spelled(label.student) != spelled(self.student):
            raise PatternError(
                f"This page was printed for '{label.student}', and this form is for '{self.student}'. "
                "Each name has its own measures: photograph your own sheet, or write the right name on the "
                "card."
            )
        return label

    def _flagged(self, flat: Flat) -> dict[str, Any]:
        """What is read from flags: points, the frame of a draft between strips, and lines between flags."""
        seen = by_name(flat.flags, self.work, self.of) if flat.flags else {}
        tapped = [[*place] for place in frame_flags(seen) or ()]
        lines = {}
        for name, places in line_places(self.work, self.of).items() if seen else ():
            if all(place in seen for place in places):
                with contextlib.suppress(PatternError):  # a line that cannot be followed is tapped
                    lines[name] = [[*p] for p in flat.trace([seen[place] for place in places])]
        points = {name: [*place] for name, place in seen.items() if name not in FRAME}
        doubtful = in_doubt(flat.doubtful, self.work, self.of) if flat.doubtful else []
        return {"flags": points, "lines": lines, "tapped": tapped, "doubtful": doubtful}

    # -- looked at

    def _flat(self, said: Mapping[str, Any]) -> Flat:
        flat = self.flats.get(str(said.get("sha256", "")))
        if flat is None:
            raise PatternError(GONE)
        return flat

    def _look(self, said: Mapping[str, Any], _buffers: Any) -> tuple[dict[str, Any], list[bytes]]:
        flat, at = self._flat(said), _place(said["at"])
        crossings = [[[*c.point], c.strength] for c in flat.crossings(at, NEAR)]
        return {"at": [*at], "cm": ENLARGED, "crossings": crossings}, [flat.enlarged(at, ENLARGED)]

    def _crossings(self, said: Mapping[str, Any], _buffers: Any) -> tuple[dict[str, Any], list[bytes]]:
        x0, y0, x1, y1 = map(float, said["box"])
        flat = self._flat(said)
        drawn = [c.point for c in flat.all_crossings((x0, y0, x1, y1))]
        for a, b, c, d in self.printed[flat.sha256]:
            drawn = [p for p in drawn if not (a < p.x < c and b < p.y < d)]
        return {"crossings": [[*p] for p in drawn[:MOST_CROSSINGS]]}, []

    def _trace(self, said: Mapping[str, Any], _buffers: Any) -> tuple[dict[str, Any], list[bytes]]:
        line = self._flat(said).trace([_place(place) for place in said["places"]])
        return {"line": [[*p] for p in line]}, []


class _LengthsNeeded(PatternError):
    kind = "lengths"


_BY_LENGTHS = ("lengths", "other scale", "wrong distances")
_SCALES = {times: name for name, times in SCALES.items()}


def _printed(label: Label) -> list[Box]:
    """Where markers and code of a page lie: their edges are no crossings of lines."""
    layout = sheet_layout(label.paper, label.page - 1, across=label.across)
    boxes = [(min(p.x for p in m), min(p.y for p in m), max(p.x for p in m), max(p.y for p in m))
             for m in layout.markers.values()]  # fmt: skip
    boxes += [layout.code] if layout.code else []
    return [(a - QUIET / 2, b - QUIET / 2, c + QUIET / 2, d + QUIET / 2) for a, b, c, d in boxes]


def _place(said: Any) -> Point:
    x, y = said
    return Point(float(x), float(y))
