"""The contact sheet of a class: each draft, what was read from it and the verdict, side by side."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ...geometry import Point
from ..safe_text import for_html
from ..tasks.record import Record
from .drafts import Draft, Shot
from .seen import Seen

STYLE = """<style>
.draft{display:grid;grid-template-columns:minmax(0,4fr) minmax(0,3fr) minmax(0,4fr);gap:1.2rem}
.pages{display:flex;flex-wrap:wrap;gap:.6rem}.pages figure{flex:1 1 45%;min-width:11rem}
.draft h3{font-size:1rem;margin:.2rem 0}.draft figure{margin:0 0 .8rem}
.draft svg{width:100%;height:auto}.draft table{font-size:.85rem}
@media(max-width:46rem){.draft{grid-template-columns:1fr}}
body{max-width:90rem}</style>"""
COLOURS = {"right": "#0b6b3a", "carried": "#0b6b3a", "near": "#8a5a00"}
WRONG = "#b3261e"
NOWHERE = (-1e6, -1e6)
SIGNS = {
    "right": "right",
    "carried": "right for what was drawn before",
    "near": "nearly",
    "off": "off",
    "missing": "not read",
}


@dataclass(frozen=True)
class Shown:
    """One draft on the sheet. flagged: names that were read by themselves; said: its mark and what waits, in
    words; picture: the draft over the rule's, HTML of our own making."""

    student: str
    title: str
    record: Record
    draft: Draft
    lines: Sequence[Mapping[str, Any]]
    picture: str
    said: Sequence[str]


def sheet_of_drafts(drafts: Iterable[Shown], refused: Sequence[tuple[str, str]] = ()) -> str:
    """The body of the page, escaped; pictures are in it as data. refused: photographs that are not
    judged, and why."""
    parts = [STYLE, "<h1>Photographed drafts</h1>"]
    parts.append(
        "<p>Beside each photograph, laid flat, stands what was read from it and the verdict. A ring is a "
        "point and a coloured line a line as it was read: green is right, ochre nearly right, red off. Look "
        "whether each ring lies where you see the pencil's crossing.</p>"
        "<p>With each draft stands on which measured lengths its size rests. Where none was given, it rests "
        "on the printed squares: on a page printed at 99 %, what was drawn with a ruler seems 1 % too large. "
        "Where nearly all points of a draft are off by the same share, measure the test line on its paper "
        "and write it into the table of lengths.</p>"
    )
    if refused:
        rows = "".join(f"<li>{for_html(where)}: {for_html(why, 900)}</li>" for where, why in refused)
        parts.append(f"<p>These photographs are not judged:</p><ul>{rows}</ul>")
    parts += [_section(one) for one in drafts]
    return "\n".join(parts)


def _section(one: Shown) -> str:
    verdicts = {line["step"]: line["verdict"] for line in one.lines}
    pages = "".join(_figure(shot, one.record, verdicts) for shot in one.draft.shots)
    said = "".join(f"<p>{for_html(text, 600)}</p>" for text in one.said)
    return (
        f"<h2>{for_html(one.student)} · {for_html(one.title)}</h2>{said}"
        f'<div class="draft"><div><h3>The draft</h3><div class="pages">{pages}</div></div>'
        f"<div><h3>What was read</h3>{_read(one)}</div>"
        f"<div><h3>The verdict</h3>{one.picture}{_verdict(one.lines)}</div></div>"
    )


def _figure(shot: Shot, record: Record, verdicts: Mapping[str, str]) -> str:
    """The flat picture with what was read drawn over it."""
    seen = shot.seen
    x0, y0, x1, y1 = seen.box
    items = []
    for name, places in record.places.items() if shot.frame else ():
        spots = [shot.frame.on_page(Point(*place)) for place in places] if shot.frame else []
        if any(_inside(spot, seen) for spot in spots):
            d = " ".join(f"{x - x0:.3f},{y1 - y:.3f}" for x, y in spots)
            items.append(
                f'<polyline points="{d}" fill="none" stroke="{_colour(name, verdicts)}" stroke-width=".08" '
                f'stroke-opacity=".75"><title>{for_html(name)}</title></polyline>'
            )
    for name, place in record.points.items():
        x, y = shot.frame.on_page(Point(*place)) if shot.frame else NOWHERE
        if _inside((x, y), seen):
            colour = _colour(name, verdicts)
            side = 1 if x < (x0 + 2 * x1) / 3 else -1  # its name towards the middle of the page
            items.append(
                f'<circle cx="{x - x0:.3f}" cy="{y1 - y:.3f}" r=".22" fill="none" '
                f'stroke="{colour}" stroke-width=".07"/>'
                f'<text x="{x - x0 + side * 0.3:.3f}" y="{y1 - y - 0.18:.3f}" font-size=".42" '
                f'text-anchor="{"start" if side > 0 else "end"}" '
                f'fill="{colour}" stroke="#fff" stroke-width=".12" paint-order="stroke">'
                f"{for_html(name)}</text>"
            )
    data = base64.b64encode(seen.small).decode()
    words = f"page {shot.label.page} of {shot.label.pages}" if not shot.label.loose else "between strips"
    return (
        f'<figure><svg viewBox="0 0 {x1 - x0:.3f} {y1 - y0:.3f}" role="img" aria-label="{for_html(words)}">'
        f'<image href="data:image/jpeg;base64,{data}" width="{x1 - x0:.3f}" height="{y1 - y0:.3f}"/>'
        f'{"".join(items)}</svg><figcaption class="soft">{for_html(shot.handin.where)}: {for_html(words)}; '
        f"the printed markers fit within {seen.residual:.2f} mm, tilt {seen.tilt:.0f}°</figcaption></figure>"
    )


def _cm(cm: float) -> str:
    return f"{round(cm, 2) + 0.0:.2f}"


def _inside(spot: Sequence[float], seen: Seen) -> bool:
    x0, y0, x1, y1 = seen.box
    return x0 <= spot[0] <= x1 and y0 <= spot[1] <= y1


def _colour(name: str, verdicts: Mapping[str, str]) -> str:
    return COLOURS.get(verdicts.get(name, ""), WRONG)


def _read(one: Shown) -> str:
    rows = [
        f"<tr><td>{for_html(name)}</td><td class=n>{_cm(x)}</td><td class=n>{_cm(y)}</td></tr>"
        for name, (x, y) in one.record.points.items()
    ]
    rows += [
        f"<tr><td>{for_html(name)}</td><td class=n colspan=2>{len(places)} places</td></tr>"
        for name, places in one.record.places.items()
    ]
    rows += [
        f"<tr><td>{for_html(name)}</td><td class=n colspan=2>{number:.2f}</td></tr>"
        for name, number in one.record.numbers.items()
    ]
    read = "".join(rows) or '<tr><td colspan="3">nothing</td></tr>'
    left = [line["step"] for line in one.lines if line["verdict"] == "missing"]
    said = f"<p>Not read: {for_html(', '.join(left), 2000)}.</p>" if left else ""
    return f"<table><tr><th>what</th><th>across, cm</th><th>up, cm</th></tr>{read}</table>{said}"


def _verdict(lines: Sequence[Mapping[str, Any]]) -> str:
    rows = "".join(
        f"<tr><td>{for_html(line['step'])}</td>"
        f"<td>{for_html(SIGNS.get(line['verdict'], line['verdict']))}</td>"
        f"<td>{for_html(_remark(line), 600)}</td></tr>"
        for line in lines
    )
    return f"<table><tr><th>step</th><th>verdict</th><th>remark</th></tr>{rows}</table>"


def _remark(line: Mapping[str, Any]) -> str:
    if line["verdict"] in ("right", "carried", "missing"):
        return ""
    return str(line["text"]).removeprefix(f"{line['step']}: ")
