"""Random edits as a composer, orchestrator or copyist makes them, done to the tree of a file.

Every edit leaves the music well formed and touches notes and bars that no other edit of its script has touched, so that no two
can cancel. Costs are those of the account (xmlcheck.comparing.costs): what is planted is an upper bound for the cheapest account.
"""

from __future__ import annotations

from collections.abc import Callable

from tests.unit.comparing import bar_edits, note_edits
from tests.unit.comparing.desk import Desk, NoPlace

__all__ = ["EDITS", "KINDS", "Desk", "NoPlace", "plant"]

KINDS = (
    "note removed", "note added", "pitch", "respelled", "rhythm", "tied", "transposed", "octave", "sign", "dynamic", "slur",
    "words", "bars inserted", "bars deleted", "bars moved", "bars repeated",
)  # fmt: skip


def plant(desk: Desk, kind: str) -> float:
    """Does one edit and returns its cost. Raises NoPlace."""
    return EDITS[kind](desk)


EDITS: dict[str, Callable[[Desk], float]] = {
    kind: getattr(bar_edits if kind.startswith("bars") else note_edits, kind.replace(" ", "_")) for kind in KINDS
}
"""Each kind of edit is the function of its name."""
