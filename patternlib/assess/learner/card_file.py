"""The name on the card, kept in a small file beside the notebooks and found again in the notebook itself."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

import msgspec

from ..hand_ins.intake import Refused
from ..hand_ins.notebook import read_notebook
from ..table.kept import FOLDER

FILE = "name card.json"
MOST_BYTES = 30_000_000


class Name(msgspec.Struct, frozen=True):
    """student: the name or id, '' where none is written; key: the class's."""

    student: str = ""
    key: str = ""


def write_card(name: Name, folder: Path) -> str:
    """Keep the name for every notebook of a folder. Returns '' or a sentence that says why it cannot be."""
    path = folder / FOLDER / FILE
    try:
        path.parent.mkdir(exist_ok=True)
        beside = path.with_suffix(".part")
        beside.write_bytes(msgspec.json.encode(name))
        os.replace(beside, path)
    except OSError as fault:
        return (
            f"The name cannot be kept in the folder '{path.parent}' ({fault.strerror}): write it again there."
        )
    return ""


def find_card(folder: Path, notebook: Path | None = None) -> Name:
    """The name that was written last in a folder, else in the saved notebook, else beside the exercises."""
    with contextlib.suppress(OSError, msgspec.DecodeError, UnicodeError):
        return msgspec.json.decode((folder / FOLDER / FILE).read_bytes(), type=Name)
    with contextlib.suppress(OSError, Refused):
        if notebook is not None and notebook.stat().st_size <= MOST_BYTES:
            found = Name(*read_notebook(notebook.read_bytes()).card)
            if found.student:
                return found
    with contextlib.suppress(OSError, msgspec.DecodeError, UnicodeError):
        beside = folder.parent / "exercises" / FOLDER / FILE
        return msgspec.json.decode(beside.read_bytes(), type=Name)
    return Name()
