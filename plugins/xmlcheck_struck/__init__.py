"""Percussion: mallets, ringing, kettledrums, drums without pitch, bars of fixed tuning."""
