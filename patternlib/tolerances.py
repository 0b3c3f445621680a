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

HAND_CURVE = 0.3
"""cm: a curve drawn by hand stays this close to the rule's curve."""

HAND_ANGLE = 1.0
"""degrees: an angle calculated or measured on paper."""

HAND_DIRECTION = 6.0
"""degrees: the end of a curve drawn by hand."""

ENTERED = 0.05
"""In a slider's unit: a value typed to one decimal is the one asked for, whether cm or inches were typed."""

SEWN = 0.3
"""cm: two seam lines that must agree may differ by this much on paper [Threads magazine, no. 200]."""

TAPE = 1.0
"""cm: two readings of one measure of a body agree; else it is measured a third time (common practice)."""
