"""Free reeds: facets and rules."""
