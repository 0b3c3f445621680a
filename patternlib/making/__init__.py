"""The cutting list, and the order of sewing found from the seams.

Which step waits for which is read off the pieces:

- a patch (a piece that no seam names) is sewn on while the piece under it lies flat;
- copies of one piece that are sewn to each other come before anything else is sewn to them;
- layers that are caught in one seam are joined to each other first;
- a seam that ends inside another one is sewn before the one that crosses it;
- a hem that runs on over a seam comes after the seam; a turned edge that ends in a seam comes before it, and
  so do both sides of a strip before its end is sewn in;
- a second layer is closed when all seams of its piece are sewn.

Of the steps that wait for nothing the one that joins the fewest pieces comes first, so that the garment lies
flat as long as it can (common practice, no source).
"""

from .cutting import CuttingRow, cutting_list, cutting_list_csv, making_page, sewing_order_csv, thread
from .edges import hem_depth, is_folded
from .order import SewingStep, sewing_order
from .terms import BEFORE, CARE, STANDARD, TOOLS, WORN, finish_of

__all__ = [
    "BEFORE",
    "CARE",
    "STANDARD",
    "TOOLS",
    "WORN",
    "CuttingRow",
    "SewingStep",
    "cutting_list",
    "cutting_list_csv",
    "finish_of",
    "hem_depth",
    "is_folded",
    "making_page",
    "sewing_order",
    "sewing_order_csv",
    "thread",
]
