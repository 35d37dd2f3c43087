"""Strings, hand and tuning: on which string, in which position, in which tuning."""
