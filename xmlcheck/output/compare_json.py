"""The comparison file: a comparison as JSON text (schema `comparison-1`)."""

from __future__ import annotations

import json

from xmlcheck.comparing.comparison import Comparison


def text(comparison: Comparison) -> str:
    """Indented, one newline at the end. Equal comparisons give equal texts."""
    return json.dumps(comparison.to_dict(), ensure_ascii=False, indent=2, allow_nan=False) + "\n"
