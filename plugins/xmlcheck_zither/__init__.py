"""Zithers, harps and hammered strings: facets and rules."""
