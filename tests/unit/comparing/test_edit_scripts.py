"""Random edit scripts on the files that music21 bundles: the quick lane's share. The long lane has 2,000 of them."""

from __future__ import annotations

from tests.unit.comparing.edits import KINDS
from tests.unit.comparing.scripts import Tally, script

SEEDS = range(150)
LEAST = 0.99
"""Share of edits reported exactly."""


def test_there_are_at_least_fourteen_kinds_of_edit() -> None:
    assert len(KINDS) >= 14


def test_edit_scripts_are_reported_exactly() -> None:
    """OLD with the report's changes done to it is NEW, and the report costs no more than the script that was planted."""
    tally = Tally()
    for seed in SEEDS:
        tally.add(script(seed))
    print(f"seeds {SEEDS.start} to {SEEDS.stop - 1}: {tally}")
    assert set(tally.kinds) == set(KINDS), "every kind of edit was tried"
    assert tally.exact >= LEAST * tally.edits, tally
