"""All files of a garment in one folder, written whole or not at all."""

from __future__ import annotations

import datetime
import json
import os
import tempfile
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Any

from ..alterations import NONE, load_changes
from ..body import Body, chart, load_body
from ..checking import SEVERITIES, check, report
from ..errors import PatternError, ValueAtFault
from ..garments import make, style_values, to_cut
from ..garments.base import Garment
from ..laying import Lay, cloths, lay
from ..making import cutting_list, cutting_list_csv, making_page, sewing_order_csv
from ..sizes import size_range
from ..units import read_length
from .dxf import as_dxf
from .paper.booklet import making_pdf
from .paper.fitting_sheet import changes_pdf
from .paper.pdf import as_pdf
from .paper.tiles import read_paper
from .scene import Scene, garment_scene
from .scene.lays import lay_scene
from .scene.nests import nest_scene
from .scene.worn import worn_scene
from .svg import as_svg


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


@dataclass(frozen=True)
class Wanted:
    """What the files of a garment are to hold.

    papers, pieces, layers: of the PDFs, one for each paper, see paper/pdf.py; cloth_width, folded, one_way,
    seconds: of the lay, see laying.lay; sizes: drawn together as a nest, none for no nest, of chart_name.
    """

    papers: Sequence[str] = ("a4",)
    pieces: Sequence[str] | None = None
    layers: Sequence[str] | None = None
    cloth_width: float = 150.0
    folded: bool = False
    one_way: bool = False
    seconds: float = 0.0
    sizes: Sequence[str] = ()
    chart_name: str = "course"


def garment_files(
    garment: Garment, wanted: Wanted | None = None, *, say: Callable[[str], None] = lambda text: None
) -> dict[str, bytes]:
    """File name -> contents. say: is told each name before its file is made."""
    wanted, garment = wanted or Wanted(), to_cut(garment)
    scene = garment_scene(garment)
    print_all, laid = partial(_pdfs, wanted=wanted), cache(partial(_lay, garment, wanted))
    make_file: dict[str, Callable[[], str | bytes]] = {
        "garment.json": lambda: json.dumps(garment.to_dict(), indent=1, allow_nan=False) + "\n",
        "drawing.svg": lambda: as_svg(worn_scene(garment), true_size=False),
        "pattern.svg": lambda: as_svg(scene),
        "pattern.dxf": lambda: as_dxf(garment, scene=scene),
        **print_all("pattern", scene),
        "cutting-list.csv": lambda: cutting_list_csv(garment),
        "sewing-order.csv": lambda: sewing_order_csv(garment),
        "making.txt": lambda: making_page(garment),
        "making.pdf": lambda: making_pdf(
            garment,
            paper="letter" if "letter" in wanted.papers else "a4",
            lays=[laid(cloth) for cloth in cloths(garment)],
        ),
        "checks.txt": lambda: _checks(garment),
        **_changed(garment, wanted.papers),
        **{
            "lay.svg" if k == 0 else f"lay-{k + 1}.svg": partial(_lay_svg, laid, cloth)
            for k, cloth in enumerate(cloths(garment))
        },
    }
    if wanted.sizes:
        given: Mapping[str, Any] = garment.given  # the other values follow each size
        sizes = size_range(garment.name, wanted.chart_name, wanted.sizes, **given)
        nest = nest_scene(sizes, wanted.pieces)
        make_file |= {"nest.svg": lambda: as_svg(nest), **print_all("nest", nest)}
        make_file["grade-table.csv"] = sizes.grade_csv
    files: dict[str, bytes] = {}
    for name, contents in make_file.items():
        say(f"{name} ...")
        made = contents()
        files[name] = made if isinstance(made, bytes) else made.encode("utf-8")
    return files


def _checks(garment: Garment) -> str:
    """The checks as text, the cutting list among them."""
    listed = [row.piece for row in cutting_list(garment) if row.cloth]  # the others are fittings and thread
    found = check(garment.pieces, garment.seams, limits=garment.limits, cutting_list=listed)
    said = report((*found, *garment.remarks), pieces=garment.pieces, seams=garment.seams) + "\n"
    return said + "".join(
        ["On the body\n", *(f"  {fact}\n" for fact in garment.facts)] if garment.facts else ""
    )


def _changed(garment: Garment, papers: Sequence[str]) -> dict[str, Callable[[], bytes]]:
    """The sheet of changes where there are any."""
    if not garment.changes:
        return {}
    title = f"{garment.name.capitalize()}: changes after the toile"
    paper = "letter" if "letter" in papers else "a4"
    return {"changes.pdf": lambda: changes_pdf(garment.changes, title=title, paper=paper)}


def _pdfs(stem: str, scene: Scene, *, wanted: Wanted) -> dict[str, Callable[[], bytes]]:
    pieces, layers = (wanted.pieces, wanted.layers) if stem == "pattern" else (None, None)
    return {
        f"{stem}-{read_paper(paper).name}.pdf": partial(
            as_pdf, scene, paper=paper, pieces=pieces, layers=layers
        )
        for paper in wanted.papers
    }


OPTIONS = {"width": "--cloth", "seconds": "--lay-seconds"}
"""Values of a lay, and the options that give them."""


def _lay(garment: Garment, wanted: Wanted, cloth: str) -> Lay:
    try:
        return lay(
            garment,
            width=wanted.cloth_width,
            cloth=cloth,
            folded=wanted.folded,
            one_way=wanted.one_way,
            seconds=wanted.seconds,
        )
    except ValueAtFault as fault:
        name = OPTIONS.get(fault.name, fault.name)
        raise ValueAtFault(name, fault.got, fault.rule, fault.advice) from None


def _lay_svg(laid: Callable[[str], Lay], cloth: str) -> str:
    return as_svg(lay_scene(laid(cloth)))


def _body(chart_name: str, size: str | None, body_file: str | None) -> Body:
    if (size is None) == (body_file is None):
        raise ValueAtFault(
            "body", "none" if size is None else "two", "given",
            "Name either a size (--size 12) or a file of measures (--body me.toml).",
        )  # fmt: skip
    return load_body(body_file) if body_file is not None else chart(chart_name).body(size or "")


def write_files(
    garment: str,
    *,
    chart_name: str,
    size: str | None,
    body_file: str | None,
    settings: Sequence[str],
    out: str,
    changes_file: str | None = None,
    wanted: Wanted | None = None,
    say: Callable[[str], None] = lambda text: None,
) -> list[str]:
    """Make the garment and write its files to the folder `out`; gives the lines to print.

    changes_file: the sheet of changes, where there is one. The files are written to a folder beside it first,
    so that a refusal leaves nothing behind. Only files of these names are ever replaced.
    """
    body = _body(chart_name, size, body_file)
    style: Mapping[str, Any] = read_settings(garment, settings)
    changes = load_changes(changes_file) if changes_file else NONE
    today = datetime.date.today().isoformat()
    made = to_cut(make(garment, body, size=size or "", date=today, changes=changes, **style))
    target = Path(out)
    if target.exists() and not target.is_dir():
        raise ValueAtFault("--out", out, "is a file", "Name a folder.")
    files = garment_files(made, wanted, say=say)
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
    said = ", ".join(f"{n} {what}" for what, n in counts.items()) or "nothing to put right"
    lines = [f"{garment}: {len(made.pieces)} pieces, {len(made.seams)} seams walked; {said} (checks.txt)."]
    lines += [f"  {f.where}: {f.text}" for f in made.findings if f.severity != "note"]
    lines += [f"estimated measures: {', '.join(body.estimated)}."] if body.estimated and body_file else []
    lines.append(f"written to {target}: {', '.join(files)}.")
    return lines
