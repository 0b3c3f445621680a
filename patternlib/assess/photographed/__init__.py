"""A draft on paper, photographed: what the printed page says of itself, and the record of what was read."""
