"""Brass: facets and rules."""
