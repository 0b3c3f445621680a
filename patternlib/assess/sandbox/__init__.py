"""Running a hand-in again, closed in: limits, the process that runs it, and what protects the machine."""
