"""What is told of a file as a whole. A leaf module."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Notice:
    """Something worth telling about the file as a whole that is not a finding: what was assumed, repaired or not understood."""

    kind: str
    text: str
    part: str = ""
    measure: str = ""
