"""Plucked lutes: what can be plucked together, how fast, and how long it rings."""
