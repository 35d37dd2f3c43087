"""Voices: facets and rules."""
