"""Alignment against published worked examples, each with its source."""

from __future__ import annotations

import pytest

from xmlcheck.comparing.sequences import common, path, rising, table

NW_TOP, NW_SIDE = "HEAGAWGHEE", "PAWHEAE"
BLOSUM50 = {
    "P": (-2, -1, -1, -2, -1, -4, -2, -2, -1, -1),
    "A": (-2, -1, 5, 0, 5, -3, 0, -2, -1, -1),
    "W": (-3, -3, -3, -3, -3, 15, -3, -3, -3, -3),
    "H": (10, 0, -2, -2, -2, -3, -2, 10, 0, 0),
    "E": (0, 6, -1, -3, -1, -3, -3, 0, 6, 6),
}
"""Scores of each letter of the side against the letters of the top: Durbin, Eddy, Krogh and Mitchison, Biological Sequence Analysis
(Cambridge 1998), figure 2.3; the values are those of the BLOSUM50 matrix (Henikoff and Henikoff 1992)."""
FIGURE_2_5 = (
    (0, -8, -16, -24, -32, -40, -48, -56, -64, -72, -80),
    (-8, -2, -9, -17, -25, -33, -41, -49, -57, -65, -73),
    (-16, -10, -3, -4, -12, -20, -28, -36, -44, -52, -60),
    (-24, -18, -11, -6, -7, -15, -5, -13, -21, -29, -37),
    (-32, -14, -18, -13, -8, -9, -13, -7, -3, -11, -19),
    (-40, -22, -8, -16, -16, -9, -12, -15, -7, 3, -5),
    (-48, -30, -16, -3, -11, -11, -12, -12, -15, -5, 2),
    (-56, -38, -24, -11, -6, -12, -14, -15, -12, -9, 1),
)
"""The filled table of the same book, figure 2.5: global alignment by Needleman and Wunsch with a gap cost of 8. Rows from memory;
the corner (score 1) and the alignment as several libraries that test against the book give them."""


def nw_change(i: int, j: int) -> float:
    return -BLOSUM50[NW_SIDE[i]][j]


def gap(_: int) -> float:
    return 8.0


def test_needleman_wunsch_table_of_the_textbook() -> None:
    rows = table(len(NW_SIDE), len(NW_TOP), nw_change, gap, gap)
    assert [tuple(-round(value) for value in row) for row in rows] == [*FIGURE_2_5]


def test_needleman_wunsch_alignment_of_the_textbook() -> None:
    """HEAGAWGHE-E over --P-AW-HEAE, score 1 (same book, section 2.3); others have that score too, so ours need not be that one."""
    steps = path(len(NW_SIDE), len(NW_TOP), nw_change, gap, gap)
    top = "".join("-" if j is None else NW_TOP[j] for _, j in steps)
    side = "".join("-" if i is None else NW_SIDE[i] for i, _ in steps)
    score = sum(-8 if i is None or j is None else BLOSUM50[NW_SIDE[i]][j] for i, j in steps)
    published = sum(
        -8 if "-" in pair else BLOSUM50[pair[1]][NW_TOP.index(pair[0])]
        for pair in zip("HEAGAWGHE-E", "--P-AW-HEAE", strict=True)
    )
    assert score == published == 1
    assert (top.replace("-", ""), side.replace("-", "")) == (NW_TOP, NW_SIDE)


def test_gattaca() -> None:
    """The best-known example of the method: GATTACA and GCATGCG, match 1, mismatch -1, gap -1, score 0
    (https://en.wikipedia.org/wiki/Needleman%E2%80%93Wunsch_algorithm)."""
    one, other = "GATTACA", "GCATGCG"
    rows = table(7, 7, lambda i, j: -1.0 if one[i] == other[j] else 1.0, lambda i: 1.0, lambda j: 1.0)
    assert -rows[7][7] == 0


def test_kitten_and_sitting() -> None:
    """Edit distance 3 (https://en.wikipedia.org/wiki/Levenshtein_distance, after Levenshtein 1966)."""
    one, other = "kitten", "sitting"
    rows = table(6, 7, lambda i, j: float(one[i] != other[j]), lambda i: 1.0, lambda j: 1.0)
    assert rows[6][7] == 3


def test_myers_example() -> None:
    """ABCABBA to CBABAC has a shortest edit script of 5 and a common subsequence of 4 (Myers, Algorithmica 1, 1986, figure 1)."""
    one, other = "ABCABBA", "CBABAC"
    pairs = common(one, other)
    assert len(pairs) == 4
    assert len(one) + len(other) - 2 * len(pairs) == 5
    assert all(one[i] == other[j] for i, j in pairs)


def test_common_subsequence_of_the_textbook() -> None:
    """ABCBDAB and BDCABA have a longest common subsequence of 4 (Cormen, Leiserson, Rivest and Stein, Introduction to
    Algorithms, chapter on dynamic programming: BCBA)."""
    assert len(common("ABCBDAB", "BDCABA")) == 4


@pytest.mark.parametrize(("one", "other"), [("", "ABC"), ("ABC", ""), ("", ""), ("ABC", "ABC"), ("ABC", "XYZ")])
def test_common_at_the_edges(one: str, other: str) -> None:
    assert len(common(one, other)) == (3 if one == other == "ABC" else 0)


def test_the_band_gives_up_nothing() -> None:
    """With the least cost of a step known the table is banded; the account stays the cheapest one."""
    one, other = "ABCDEFGHIJKLMNOP", "XXXXXXXXABCDEFGHIJKLMNOP"
    change = [[0.0 if a == b else 3.0 for b in other] for a in one]
    full = table(len(one), len(other), lambda i, j: change[i][j], lambda i: 1.0, lambda j: 1.0)[-1][-1]
    steps = path(len(one), len(other), lambda i, j: change[i][j], lambda i: 1.0, lambda j: 1.0, cheapest=1.0)
    assert sum(1.0 if i is None or j is None else change[i][j] for i, j in steps) == full == 8


def test_patience_sorting() -> None:
    """A longest rising subsequence of 0 8 4 12 2 10 6 14 1 9 5 13 3 11 7 15 has 6 members
    (https://en.wikipedia.org/wiki/Longest_increasing_subsequence)."""
    values = [0, 8, 4, 12, 2, 10, 6, 14, 1, 9, 5, 13, 3, 11, 7, 15]
    chain = rising(values)
    assert len(chain) == 6
    assert [values[n] for n in chain] == sorted(values[n] for n in chain)
