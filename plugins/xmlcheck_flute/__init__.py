"""Flutes: facets and rules."""
