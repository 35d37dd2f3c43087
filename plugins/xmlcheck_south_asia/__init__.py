"""Instruments of South Asia as data."""
