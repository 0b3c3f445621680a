"""A whole class: marks, a page for each student, a page of the class, the portfolio, the command."""
