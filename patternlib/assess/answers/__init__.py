"""The ways to answer an exercise: the sheet of calls, the board, the paper form; and the feedback."""
