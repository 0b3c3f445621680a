"""Common mistakes of every exercise, as data: what is done wrongly, and what the remark should lead to."""

from . import in_blocks, in_fittings, in_pieces, in_plans, in_workwear

MISTAKES = (
    in_blocks.MISTAKES | in_plans.MISTAKES | in_pieces.MISTAKES | in_fittings.MISTAKES | in_workwear.MISTAKES
)
