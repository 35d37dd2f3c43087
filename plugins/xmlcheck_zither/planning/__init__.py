"""Tunings, retunings, pedals and levers chosen from the notes: pure functions over numbers, no score and no profile.

Pitches are cents (6000 is middle C), times are seconds. Costs are compared in the order: what cannot be played, what has to be
pressed, what has to be moved.
"""
