"""Bowed strings: what one bow can sound, and how fast."""
