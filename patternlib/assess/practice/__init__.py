"""Practice without end: drafts by an imaginary hand with a slip in them, to be found by measuring."""
