"""2,000 random edit scripts of 1 to 8 edits on real files: at least 99 % of the edits are reported exactly, and none is invented.

The files are those that music21 bundles (https://www.music21.org/). That the report is complete is decided outside the comparison:
plain lists of the reader's values, to which the report is applied (tests/unit/comparing/plain_model.py).
"""

from __future__ import annotations

import pytest

from tests.unit.comparing.edits import KINDS
from tests.unit.comparing.scripts import Tally, script

SEEDS = range(2_000)
LEAST = 0.99


@pytest.mark.long
def test_two_thousand_edit_scripts() -> None:
    tally = Tally()
    for seed in SEEDS:
        tally.add(script(seed))
    print(f"seeds {SEEDS.start} to {SEEDS.stop - 1}: {tally}")
    assert set(tally.kinds) == set(KINDS)
    assert tally.exact >= LEAST * tally.edits, tally
