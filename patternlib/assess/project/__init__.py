"""The project of lesson 16: its form, what can be calculated from it, and the sheet of criteria."""
