"""What a learner meets in an exercise notebook: the name card, and each exercise on the table or on paper."""
