"""Rules for any part: who plays it, whether its notes lie in the compass, its transposition, its techniques."""
