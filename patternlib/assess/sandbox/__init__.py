"""Running a hand-in again, closed in: limits, a parent process, a runner."""
