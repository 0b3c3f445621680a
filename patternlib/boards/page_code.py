"""The page's own code: ES modules in a folder, joined to the one text that a widget takes.

A module imports with `import {a, b as c} from "./other.js";` and exports functions, classes and constants
where they are declared; only the first module has an `export default`. Each module keeps its own names.
There is no build step: the files in the tree are what is tested and what runs.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from ..output.styles import LETTERINGS, LINES, PX_DASH, PX_WIDTH

_IMPORT = re.compile(r'^import \{([^}]*)\} from "(\.{1,2}/[^"]+\.js)";$', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async function|function|class|const) (\w+))", re.MULTILINE)
_DEFAULT = re.compile(r"^export default ", re.MULTILINE)
_OTHER = re.compile(r"^(?:import|export)\b.*", re.MULTILINE)


@cache
def join_page(first: Path) -> str:
    """Return a module and all it imports as the text of one module, each after those it needs.

    first: path of the module with the default export. Raises ValueError, with the file's name, for a circle
    of imports, a name that is not exported and a form of import or export that this joiner does not know.

    >>> text = join_page(Path(__file__).with_name("page") / "board.js")
    >>> text.count("export default"), "import" in text.split("export default")[1]
    (1, False)
    """
    modules: dict[Path, tuple[str, list[str]]] = {}
    _take(first.resolve(), modules, ())
    parts = []
    for number, (path, (body, names)) in enumerate(modules.items()):
        if path == first.resolve():
            parts.append(body)
        elif _DEFAULT.search(body):
            raise ValueError(f"{path.name}: only {first.name} may have a default export")
        else:
            parts.append(
                f"const module{number} = (() => {{\n{body}\nreturn {{ {', '.join(names)} }};\n}})();\n"
            )
    return "\n".join(parts)


def _take(path: Path, modules: dict[Path, tuple[str, list[str]]], asking: tuple[Path, ...]) -> None:
    """Put a module into `modules` after those it imports; asking: who is being read just now."""
    if path in asking:
        raise ValueError(f"{path.name} imports itself by way of {asking[-1].name}")
    if path in modules:
        return
    text = path.read_text(encoding="utf-8")
    for _, source in _IMPORT.findall(text):
        _take((path.parent / source).resolve(), modules, (*asking, path))
    order = list(modules)

    def bound(found: re.Match) -> str:
        source = (path.parent / found[2]).resolve()
        wanted = [name.strip() for name in found[1].split(",") if name.strip()]
        for name in wanted:
            if name.split(" as ")[0] not in modules[source][1]:
                raise ValueError(f"{path.name}: {source.name} does not export {name}")
        return f"const {{ {', '.join(wanted).replace(' as ', ': ')} }} = module{order.index(source)};"

    body = _EXPORT.sub("", _IMPORT.sub(bound, text))
    for line in _OTHER.findall(body):
        if not line.startswith("export default "):
            raise ValueError(
                f"{path.name}: '{line}' cannot be joined; see page_code.py for the forms it takes"
            )
    modules[path] = body, _EXPORT.findall(text)


@cache
def board_css() -> str:
    """Return the style rules of a board: those of lines and letterings, then `page/*.css`."""
    rules = []
    for style, look in LINES.items():
        dashes = " ".join(f"{d * PX_DASH:g}" for d in look.dashes) or "none"
        rules.append(
            f'.db-line[data-style="{style}"] {{ stroke: {_ink(look.grey, look.colour)}; '
            f"stroke-width: {look.width * PX_WIDTH:.2f}px; stroke-dasharray: {dashes}; }}"
        )
    for style, letters in LETTERINGS.items():
        weight, slant = 600 if letters.bold else 400, "italic" if letters.slanted else "normal"
        rules.append(
            f'.db-texts text[data-style="{style}"] {{ fill: {_ink(letters.grey, letters.colour)}; '
            f"font-weight: {weight}; font-style: {slant}; }}"
        )
    own = sorted(Path(__file__).with_name("page").glob("*.css"), reverse=True)  # the board's come last
    return "\n".join([*rules, *(path.read_text(encoding="utf-8") for path in own)])


def form_css(*sheets: Path) -> str:
    """Return the style rules of a form or table: the colours that all of them share, then these sheets."""
    colours = Path(__file__).with_name("form_colours.css")
    return "\n".join(path.read_text(encoding="utf-8") for path in (colours, *sheets))


def _ink(grey: int, colour: str) -> str:
    """A colour that stands out on a light and on a dark sheet: a share of the page's own ink."""
    red, green, blue = colour[1:3], colour[3:5], colour[5:7]
    if red == green == blue:
        return f"color-mix(in srgb, var(--ink) {round(100 - grey / 3.2)}%, var(--paper))"
    return f"color-mix(in srgb, {colour} var(--strong), var(--ink))"
