"""Every photograph of a class is looked at in a process of its own, some at once; what was seen is kept."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Collection, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from threading import BoundedSemaphore, get_ident

import msgspec

from ...errors import PatternError
from ..hand_ins.files import HandIn, Refused, read_file
from ..photographed.label import read_label
from ..safe_text import one_line
from ..sandbox.runner import Runner
from ..sandbox.ways import can_wrap
from .seen import Asked, Seen, checked, whose

SECONDS = 30.0
"""seconds by the clock for one photograph."""
FOLDER = "photographs"
"""Beside the marks: what was kept of each photograph, and a folder for each draft that is tapped."""
DRAFT_FILE = "draft.json"
"""In the folder of a draft: whose it is, and which photographs."""
CHILD = f"{__name__.rpartition('.')[0]}.child"
LARGEST_KEPT = 40_000_000
"""bytes of what is kept of one photograph."""
AGAIN = "The picture could not be read{}. Take it again in the camera's usual setting, as JPEG."


class Looking:
    """Looks at photographs in closed-in processes, as many at once as there are workers.

    kept: the folder in which what was seen is kept, with a stamp of the library and the keys; None keeps
    nothing.
    """

    def __init__(self, asked: Asked, *, workers: int = 2, kept: Path | None = None, stamp: str = "") -> None:
        self.asked, self.kept, self.stamp = asked, kept, stamp
        self.pool = ThreadPoolExecutor(workers)
        self.room = BoundedSemaphore(2 * workers)  # files that are in memory at once
        self._runner: Runner | None = None
        self.taken: list[tuple[HandIn, Future[Seen]]] = []

    def take(self, handin: HandIn) -> None:
        """Have a photograph looked at; waits while too many are waiting."""
        self.room.acquire()
        done = self.pool.submit(self._look, handin.data or b"")
        done.add_done_callback(lambda _: self.room.release())
        self.taken.append((replace(handin, data=None), done))

    def looked(self, told: Callable[[int, int], None]) -> list[tuple[HandIn, Seen]]:
        """What was seen of each, in the order in which they came; told: how many are done, of how many."""
        found = []
        for n, (handin, done) in enumerate(self.taken, 1):
            found.append((handin, done.result()))
            told(n, len(self.taken))
        self.pool.shutdown()
        return found

    @property
    def words(self) -> str:
        """What protects this machine from the files, in plain words; '' where no photograph came in."""
        if not self.taken:
            return ""
        said = "Each photograph was opened in a process of its own"
        if self._runner is not None and self._runner.wrapped:
            said += " inside bubblewrap, without network and without a sight of your files"
        said += ", with limits on time, memory, bytes and pixels."
        return f"{said} What is kept of it holds no place, no time and no camera."

    def _look(self, data: bytes) -> Seen:
        sha256 = hashlib.sha256(data).hexdigest()
        known = self._known(sha256)
        if known is not None:
            return known
        if self._runner is None:
            self._runner = Runner(wrapped=can_wrap(), seconds=SECONDS)
        ended = self._runner.give(msgspec.json.encode(self.asked) + b"\n" + data, CHILD)
        seen = checked(ended.data, sha256)
        if seen is None:
            why = {"time": ": it took too long", "memory": ": it took too much memory"}.get(ended.why, "")
            return Seen(sha256, fault=AGAIN.format(why), kind_of_fault="ended", settled=False)
        seen = msgspec.structs.replace(seen, fault=one_line(seen.fault, 900))
        if seen.settled:
            self._keep(seen)
        return seen

    def _known(self, sha256: str) -> Seen | None:
        if self.kept is None:
            return None
        with suppress(Refused, msgspec.MsgspecError, ValueError):
            found = msgspec.json.decode(read_file(kept_file(self.kept, sha256), LARGEST_KEPT), type=_Kept)
            if found.stamp == self.stamp and self._as_measured(found.seen):
                return checked(msgspec.json.encode(found.seen), sha256)
        return None

    def _as_measured(self, seen: Seen) -> bool:
        """Whether its size rests on the distances that the table of lengths gives now."""
        try:
            label = read_label(seen.label)
        except PatternError:  # nothing was measured for it
            return not seen.distances
        mine = self.asked.distances.get(whose(label.student, label.exercise), ()) if label.loose else ()
        return seen.distances == mine

    def _keep(self, seen: Seen) -> None:
        if self.kept is not None:
            self.kept.mkdir(exist_ok=True)
            path = kept_file(self.kept, seen.sha256)
            aside = path.with_suffix(f".{get_ident()}.part")  # two may send the same picture at once
            aside.write_bytes(msgspec.json.encode(_Kept(self.stamp, seen)))
            os.replace(aside, path)


class _Kept(msgspec.Struct):
    stamp: str
    seen: Seen


def kept_file(folder: Path, sha256: str) -> Path:
    """Where what was seen of a photograph is kept."""
    return folder / f"{sha256[:24]}.json"


def kept_seen(folder: Path, sha256: str) -> Seen | None:
    """What was kept of a photograph by the last run, or None."""
    with suppress(Refused, msgspec.MsgspecError, ValueError):
        found = msgspec.json.decode(read_file(kept_file(folder, sha256), LARGEST_KEPT), type=_Kept)
        return checked(msgspec.json.encode(found.seen), sha256)
    return None


def sweep(folder: Path, used: Iterable[str], drafts: Collection[str]) -> None:
    """Remove what was kept of photographs that are gone, and folders of drafts on which nothing was tapped.

    used: hashes of the photographs among the hand-ins; drafts: names of the folders of their drafts.
    """
    for path in folder.glob(f"*/{DRAFT_FILE}"):
        if path.parent.name not in drafts and not path.parent.is_symlink():
            with suppress(OSError):
                if len(os.listdir(path.parent)) == 1:
                    path.unlink()
                    path.parent.rmdir()
    stay = {kept_file(folder, sha256).name for sha256 in used}
    for path in folder.glob("*.json"):
        if path.name not in stay and len(path.stem) == 24 and path.is_file() and not path.is_symlink():
            with suppress(OSError):
                path.unlink()
