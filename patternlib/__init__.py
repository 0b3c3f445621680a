"""Flat pattern drafting, taught: from a body to blocks, plans, pieces, checks and full-size drawings.

>>> import patternlib as pl
>>> garment = pl.make("pinafore", pl.chart("course").body("12"), yoke_depth=7.5)
>>> [piece.name for piece in garment.pieces][:3]
['front skirt', 'waistband', 'bib']
"""

from .blocks import SkirtDart, bodice_block, skirt_block, sleeve_block
from .body import Body, Ease, chart, load_body
from .draft import Draft, Drafting, Step
from .errors import GeometryError, PatternError, UnknownName, ValueAtFault
from .garments import garment_names, make, style_values

__version__ = "0.2.0"

__all__ = [
    "Body",
    "Draft",
    "Drafting",
    "Ease",
    "GeometryError",
    "PatternError",
    "SkirtDart",
    "Step",
    "UnknownName",
    "ValueAtFault",
    "__version__",
    "bodice_block",
    "chart",
    "garment_names",
    "load_body",
    "make",
    "skirt_block",
    "sleeve_block",
    "style_values",
]


def __getattr__(name: str):
    """The parts that are loaded when first used: `patternlib.assess`, `patternlib.boards` and so on."""
    import importlib

    if name in ("assess", "boards", "laying", "making", "moves", "output", "sizes", "units", "walk"):
        return importlib.import_module(f".{name}", __name__)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
