"""The drafting table: an exercise drafted step by step as on paper, with pointer, pen, touch or keys."""
