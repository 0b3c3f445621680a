"""What a class has not understood yet, and how the teacher explains it."""
