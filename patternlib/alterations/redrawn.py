"""Necklines and armholes drawn again where a shoulder has moved: square to it, as long as before."""

from __future__ import annotations

from collections.abc import Iterable

from ..draft import Draft
from .paper import Paper


def back_shoulder_angle(block: Draft) -> float:
    """The direction of the back shoulder at the neck, degrees."""
    foot = "back shoulder dart leg" if "back shoulder dart leg" in block else "back shoulder tip"
    return (block.point(foot) - block.point("back neck point")).angle


def tip_angle(block: Draft, part: str) -> float:
    """The direction in which the shoulder of the 'back' or 'front' arrives at its tip, degrees."""
    dart = "bust dart leg 2" if part == "front" else "back shoulder dart leg 2"
    start = dart if dart in block else f"{part} neck point"
    return (block.point(f"{part} shoulder tip") - block.point(start)).angle


def necklines(paper: Paper, parts: Iterable[str] = ("back", "front")) -> None:
    """Draw the necklines again, square to the shoulders and as long as before."""
    why = "it stands square on the shoulder and keeps its length"
    for part in parts:
        length = paper.before.curve(f"{part} neckline").length
        if part == "back":
            paper.draw(
                "back neckline", ["nape", "back neck point"], start="right",
                end=90 + back_shoulder_angle(paper.now), length=length, because=why,
            )  # fmt: skip
            continue
        now = paper.now
        closed = (now.point("shoulder tip, dart closed") - now.point("front neck point")).angle
        paper.draw(
            "front neckline", ["front neck point", "centre front neck"], start=90 + closed, end="right",
            length=length, because=why,
        )  # fmt: skip


def armholes(
    paper: Paper, parts: Iterable[str] = ("back", "front"), *, length: dict[str, float] | None = None
) -> None:
    """Draw the armholes again, square to shoulder and side; length: cm that one is to measure, if it can."""
    for part in parts:
        back = part == "back"
        through = "back width point" if back else "chest point"
        paper.draw(
            f"{part} armhole", [f"{part} shoulder tip", through, "underarm point"],
            start=tip_angle(paper.now, part) + (-90 if back else 90), end="right" if back else "left",
            length=(length or {}).get(part), because="it stands square on shoulder and side",
        )  # fmt: skip
