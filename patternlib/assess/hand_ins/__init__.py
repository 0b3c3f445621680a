"""What comes in from a class: files opened safely, notebooks read, and whose each one is."""
