"""Reading the needed parts of a notebook as typed data, without running anything.

Only the code cells' text and the outputs that carry a draft's record are taken; everything else in the
file is passed over. Format: the Jupyter notebook file, major version 4 [nbformat documentation].
"""

from __future__ import annotations

import codecs
from dataclasses import dataclass
from typing import Any

import msgspec

from ..safe_text import one_line, too_deep
from ..tasks.record import MIME
from .files import Refused

CARD = "application/vnd.patternlib.card+json"
"""The kind of output that says whose notebook it is: {"student": ..., "key": ...}."""
MOST_CELLS = 2000
MOST_RECORDS = 60
ONE = "Hand in each lesson as a file of its own."
AGAIN = "Open it in JupyterLab, save it and hand it in again."


class _Output(msgspec.Struct):
    output_type: str = ""
    data: dict[str, msgspec.Raw] = {}


class _Cell(msgspec.Struct):
    cell_type: str
    source: str | list[str] = ""
    outputs: list[_Output] = []


class _File(msgspec.Struct):
    nbformat: int
    cells: list[_Cell] = []


@dataclass(frozen=True)
class Notebook:
    """cells: the text of each code cell; records: each draft record as the JSON text it came in; card: name
    and class key on the name card, '' where there is none."""

    cells: tuple[str, ...]
    records: tuple[bytes, ...]
    card: tuple[str, str] = ("", "")


def read_notebook(data: bytes) -> Notebook:
    """Return the code and the records of a notebook's bytes; raises Refused with a sentence."""
    data = _utf8(data)
    if not data.strip():
        raise Refused("The file is empty. Save the notebook and hand it in again.")
    if too_deep(data):
        raise Refused(f"The notebook is nested too deeply to read. {AGAIN}")
    file = _decoded(data)
    if file.nbformat != 4:
        raise Refused(f"The notebook is of file version {file.nbformat}; version 4 is read. {AGAIN}")
    if len(file.cells) > MOST_CELLS:
        raise Refused(f"The notebook has {len(file.cells)} cells; at most {MOST_CELLS} are read. {ONE}")
    code = [cell for cell in file.cells if cell.cell_type == "code"]
    records = [bytes(o.data[MIME]) for cell in code for o in cell.outputs if MIME in o.data]
    if len(records) > MOST_RECORDS:
        raise Refused(f"The notebook has {len(records)} drafts; at most {MOST_RECORDS} are read. {ONE}")
    cards = [bytes(o.data[CARD]) for cell in code for o in cell.outputs if CARD in o.data]
    cells = tuple("".join(cell.source) for cell in code)
    return Notebook(cells, tuple(map(_record_text, records)), _card(cards[-1]) if cards else ("", ""))


def outputs_of(data: bytes, kind: str) -> tuple[bytes, ...]:
    """The outputs of one kind in a notebook's bytes, as JSON text; raises Refused with a sentence."""
    file = _decoded(_utf8(data))
    found = [o.data[kind] for c in file.cells[:MOST_CELLS] for o in c.outputs if kind in o.data]
    return tuple(_record_text(bytes(raw)) for raw in found[:MOST_RECORDS])


class _Card(msgspec.Struct):
    student: str = ""
    key: str = ""


def _card(raw: bytes) -> tuple[str, str]:
    try:
        card = msgspec.json.decode(_record_text(raw), type=_Card)
    except (msgspec.DecodeError, UnicodeError, RecursionError):
        return "", ""
    return card.student[:80], card.key[:80]


def _decoded(data: bytes) -> _File:
    try:
        return msgspec.json.decode(data, type=_File)
    except msgspec.ValidationError:
        raise Refused(
            "This is not a notebook. Hand in the file that JupyterLab saves; its name ends in .ipynb."
        ) from None
    except msgspec.DecodeError as error:
        text = one_line(error, 160)
        if "truncated" in text:
            raise Refused(
                "The notebook is cut short; it was not saved or uploaded wholly. Hand it in again."
            ) from None
        if any(word in data for word in (b"NaN", b"Infinity")):
            raise Refused(
                f"The notebook has a number without end in it, so it cannot be read. {AGAIN}"
            ) from None
        raise Refused(f"The notebook is damaged. {AGAIN}") from None
    except (RecursionError, MemoryError, UnicodeError, ValueError):
        raise Refused(f"The notebook cannot be read. {AGAIN}") from None


def _record_text(raw: bytes) -> bytes:
    """A record kept as text inside the notebook (a string, or lines) is the JSON it spells."""
    if raw.lstrip()[:1] not in (b'"', b"["):
        return raw
    try:
        lines: Any = msgspec.json.decode(raw, type=str | list[str])
        return "".join(lines).encode()
    except (msgspec.DecodeError, UnicodeError, RecursionError):
        return raw


def _utf8(data: bytes) -> bytes:
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if data.startswith(mark):
            try:
                return data.decode(encoding).lstrip("\ufeff").encode()
            except UnicodeError:
                raise Refused(f"The letters of the file are damaged. {AGAIN}") from None
    try:
        data.decode()
        return data
    except UnicodeDecodeError:
        if b"\0" in data:
            raise Refused("This is not a text file, so not a notebook.") from None
        return data.decode("cp1252", "replace").encode()
