"""What is asked: exercises as data, each student's own numbers, and the record that is handed in."""
