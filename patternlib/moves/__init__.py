"""The cutter's moves on outlines: close a dart and open it elsewhere, slash and spread, carry a level over.

Paper is turned and shifted, never stretched: areas and all edges that are not cut stay as they are.
A dart is two edges of an outline that follow each other, its legs, and meet in the dart point. A cut edge
is named in parts, 'side, part 1' and 'side, part 2', in the order of the outline.
"""

from .darts import close_dart, dart_angle, split_dart
from .joining import align, carry_level, joined_angle
from .outlines import block_outline, sleeve_outline
from .panels import panel_seam
from .slashing import slash_and_spread, spread_into_flare

__all__ = [
    "align", "block_outline", "carry_level", "close_dart", "dart_angle", "joined_angle", "panel_seam",
    "slash_and_spread", "sleeve_outline", "split_dart", "spread_into_flare",
]  # fmt: skip
