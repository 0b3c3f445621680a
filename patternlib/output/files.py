"""All files of a garment in one folder, written whole or not at all."""

from __future__ import annotations

import datetime
import json
import os
import tempfile
from collections import Counter
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from ..body import Body, chart, load_body
from ..errors import PatternError, ValueAtFault
from ..garments import make, style_values
from ..garments.base import Garment
from ..making import cutting_list_csv
from ..units import read_length
from ..walk import SEVERITIES, report
from .dxf import dxf
from .pdf import pdf
from .scene import garment_scene
from .svg import svg
from .tiles import read_paper


def read_settings(garment: str, settings: Sequence[str]) -> dict[str, float]:
    """Style values written as NAME=VALUE; a bare value is cm, others say their unit.

    >>> read_settings("pinafore", ["yoke_depth=7.5", "bib_height=10 in"])
    {'yoke_depth': 7.5, 'bib_height': 25.4}
    """
    style_values(garment)
    style = {}
    for text in settings:
        name, sign, value = text.partition("=")
        if not sign:
            raise ValueAtFault("--set", text, "is not of the form NAME=VALUE", "For example yoke_depth=7.5.")
        style[name.strip()] = read_length(value.strip(), name=name.strip())
    return style


def garment_files(
    garment: Garment,
    *,
    papers: Sequence[str] = ("a4",),
    pieces: Sequence[str] | None = None,
    layers: Sequence[str] | None = None,
    say: Callable[[str], None] = lambda text: None,
) -> dict[str, bytes]:
    """File name -> contents.

    papers, pieces, layers: of the PDFs, one for each paper, see pdf.py; say: is told each name before its
    file is made.
    """
    scene = garment_scene(garment)
    sheets = {read_paper(paper).name: paper for paper in papers}
    make = {
        "garment.json": lambda: json.dumps(garment.to_dict(), indent=1, allow_nan=False) + "\n",
        "pattern.svg": lambda: svg(scene),
        "pattern.dxf": lambda: dxf(garment, scene=scene),
        **{
            f"pattern-{name}.pdf": partial(pdf, scene, paper=paper, pieces=pieces, layers=layers)
            for name, paper in sheets.items()
        },
        "cutting-list.csv": lambda: cutting_list_csv(garment),
        "checks.txt": lambda: report(garment.findings, pieces=garment.pieces, seams=garment.seams) + "\n",
    }
    files = {}
    for name, contents in make.items():
        say(f"{name} ...")
        made = contents()
        files[name] = made if isinstance(made, bytes) else made.encode("utf-8")
    return files


def _body(chart_name: str, size: str | None, body_file: str | None) -> Body:
    if (size is None) == (body_file is None):
        raise ValueAtFault(
            "body", "none" if size is None else "two", "given",
            "Name either a size (--size 12) or a file of measures (--body me.toml).",
        )  # fmt: skip
    return chart(chart_name).body(size) if size is not None else load_body(body_file)


def write_files(
    garment: str,
    *,
    chart_name: str,
    size: str | None,
    body_file: str | None,
    settings: Sequence[str],
    out: str,
    **options: Any,
) -> list[str]:
    """Make the garment and write its files to the folder `out`; gives the lines to print.

    options: as for garment_files. The files are written to a folder beside it first, so that a refusal
    leaves nothing behind. Only files of these names are ever replaced.
    """
    body = _body(chart_name, size, body_file)
    made = make(
        garment, body, size=size or "", date=datetime.date.today().isoformat(),
        **read_settings(garment, settings),
    )  # fmt: skip
    target = Path(out)
    if target.exists() and not target.is_dir():
        raise ValueAtFault("--out", out, "is a file", "Name a folder.")
    files = garment_files(made, **options)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".writing-", dir=target.parent) as folder:
            for name, contents in files.items():
                (Path(folder) / name).write_bytes(contents)
            target.mkdir(exist_ok=True)
            for name in files:
                os.replace(Path(folder) / name, target / name)
    except OSError as error:
        text = f"--out: {out} cannot be written ({error.strerror}). Name another folder."
        raise PatternError(text) from None
    counts = Counter(SEVERITIES[finding.severity] for finding in made.findings)
    said = ", ".join(f"{n} {what}" for what, n in counts.items()) or "nothing to mend"
    lines = [f"{garment}: {len(made.pieces)} pieces, {len(made.seams)} seams walked; {said} (checks.txt)."]
    lines += [f"  {f.where}: {f.text}" for f in made.findings if f.severity != "note"]
    lines += [f"estimated measures: {', '.join(body.estimated)}."] if body.estimated and body_file else []
    lines.append(f"written to {target}: {', '.join(files)}.")
    return lines
