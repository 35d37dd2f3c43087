"""Instruments of Africa and the Americas as data."""
