"""Reeds: facets and rules."""
