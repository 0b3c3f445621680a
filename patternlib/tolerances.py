"""Every tolerance of the library, in cutting-table terms. Lengths in cm, angles in degrees."""

from __future__ import annotations

FLATTEN = 0.004
"""cm: a drawn polyline stays this close to its curve."""

POINT = 1e-6
"""cm: two points closer than this are one point (rounding of the arithmetic, not of the ruler)."""

SEAM = 0.05
"""cm: two seam lines agree (half a millimetre, the width of a sharp pencil's line)."""

NOTCH = 0.1
"""cm: two notches meet (one millimetre)."""

CORNER = 0.1
"""cm: the cut corners of two sewn edges meet."""

SQUARE = 0.5
"""degrees: an angle counts as a right angle."""

SMOOTH = 3.0
"""degrees: two edges run into each other without a visible corner."""

FOLDED = 0.05
"""cm: a folded-back allowance may stand over the piece by this much."""

HAND = 0.2
"""cm: a careful hand with ruler and pencil on full-size paper."""

HAND_SPREAD = 0.05
"""cm: standard deviation, each way, of a point marked by a careful hand."""

HAND_NUMBER = 0.15
"""cm: a length calculated, or read off a ruler or a tape on its edge."""

HAND_CURVE = 0.3
"""cm: a curve drawn by hand stays this close to the rule's curve."""

HAND_ANGLE = 1.0
"""degrees: an angle calculated or measured on paper."""

HAND_DIRECTION = 6.0
"""degrees: the end of a curve drawn by hand."""

ENTERED = 0.05
"""In a slider's unit: a value typed to one decimal is the one asked for, whether cm or inches were typed."""

HAND_SPREADS = 4.2
"""A mark may lie this many standard deviations off: two in 10,000 careful marks lie farther."""
