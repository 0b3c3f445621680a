"""A draft on paper, photographed: printed markers, and the flat picture that is calculated from them."""
