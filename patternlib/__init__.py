"""Flat pattern drafting, taught: from a body to blocks, plans, pieces, checks and full-size drawings.

>>> import patternlib as pl
>>> garment = pl.make("pinafore", "12", yoke_depth="7.5 cm")
>>> list(garment.keys())[:3], garment["bib"].cut
(['front skirt', 'waistband', 'bib'], 1)

Every name below has its own help, such as help(pl.make). In a notebook a garment, a piece, a draft or an
outline as the last line of a cell shows its picture. A length is a number of cm, or text with its unit:
62, "620 mm", "24 1/2 in".

A body
    Body            measures of one person; what is not measured is estimated
    load_body       read them from a file
    own_body        her own measures when they are saved in me.toml, else size 12
    own_unit, own_changes     the unit that she chose there; her sheet of changes, or none
    chart           a size chart: chart("course")["12"] is a body
Make
    make            a finished garment: make("pinafore", "12", skirt_length=70)
    own_garment     the same, but what a refusal advises is taken and said
    to_cut          the same as it is cut: whole pieces where right and left differ
    garment_names, style_values     the garments; what can be set on one, with ranges and reasons
Draft
    skirt_block, bodice_block, sleeve_block     the blocks; SkirtDart sets a dart of the skirt
    Drafting        write a draft of your own, step by step
    Draft, Step     a finished draft and its steps; draft["side hip"] is what a step made
What is refused
    PatternError    any refusal; ValueAtFault, UnknownName and GeometryError are the kinds of it
Rooms, loaded when they are first used
    geometry        points, curves, outlines
    pieces          pieces with named edges, their seams and cut lines
    checking        check the pieces, walk the seams
    moves           darts closed and turned, slash and spread
    sizes           a garment in several sizes
    laying, making  pieces on cloth; cutting list and order of making
    output, boards  drawings and files; live drafting boards for a notebook
    assess, units   exercises and their checks; read and write lengths
"""

from types import ModuleType as _ModuleType

from . import notebook
from .blocks import SkirtDart as SkirtDart
from .blocks import bodice_block as bodice_block
from .blocks import skirt_block as skirt_block
from .blocks import sleeve_block as sleeve_block
from .body import Body as Body
from .body import chart as chart
from .body import load_body as load_body
from .draft import Draft as Draft
from .draft import Drafting as Drafting
from .draft import Step as Step
from .errors import GeometryError as GeometryError
from .errors import PatternError as PatternError
from .errors import UnknownName as UnknownName
from .errors import ValueAtFault as ValueAtFault
from .garments import garment_names as garment_names
from .garments import make as make
from .garments import style_values as style_values
from .garments import to_cut as to_cut
from .own_measures import own_body as own_body
from .own_measures import own_changes as own_changes
from .own_measures import own_garment as own_garment
from .own_measures import own_unit as own_unit

__version__ = "0.2.0"

# There is no list of names to export: with one, help(patternlib) would print the help of every class in it.

_LATER = (
    "assess",
    "boards",
    "checking",
    "geometry",
    "laying",
    "making",
    "moves",
    "output",
    "pieces",
    "sizes",
    "units",
)
_NAMES = tuple(sorted(name for name, value in globals().items() if name[:1] != "_" and callable(value)))


def __getattr__(name: str) -> _ModuleType:
    """The rooms, each loaded when it is first used."""
    import importlib

    if name in _LATER:
        return importlib.import_module(f".{name}", __name__)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    """The names to use, for dir() and for completion with the tab key."""
    return sorted({*_NAMES, *_LATER, "__doc__", "__file__", "__name__", "__path__", "__version__"})


def _draw(value: object) -> str:
    from .output.cells import picture

    return picture(value)


notebook.draw_with(_draw)
