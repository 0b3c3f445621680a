"""Garments: one module each. A module draws the plans, takes the pieces from them and names the seams."""
