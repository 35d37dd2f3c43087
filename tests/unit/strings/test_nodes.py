"""Nodes and partials.

Checked against the harmonic series (arithmetic) and the touching places that handbooks list: octave, fifth and fourth above the
open string give partials 2, 3 and 4; the major third (3.86) and the major sixth (8.84) give partial 5.
"""

from __future__ import annotations

import pytest

from xmlcheck_strings.nodes import nodes, partials


@pytest.mark.parametrize(
    ("semitones", "partial"),
    [(12.0, 2), (7.02, 3), (19.02, 3), (4.98, 4), (24.0, 4), (3.86, 5), (8.84, 5), (15.86, 5), (3.16, 6)],
)
def test_nodes(semitones: float, partial: int) -> None:
    assert [n for node, n in nodes(6) if abs(node - semitones) < 0.01] == [partial]


def test_every_partial_has_its_nodes() -> None:
    """A string in n parts has n - 1 nodes, of which those that fewer parts have already are theirs: 1, 2, 2, 4, 2, 6, 4 to 8."""
    counts = [sum(n == partial for _, n in nodes(8)) for partial in range(2, 9)]
    assert counts == [1, 2, 2, 4, 2, 6, 4]


def test_partials() -> None:
    assert [round(value, 2) for value in partials(8)] == [12.0, 19.02, 24.0, 27.86, 31.02, 33.69, 36.0]
