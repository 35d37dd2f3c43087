"""The order that retunes least, against every order tried (itertools.permutations)."""

from __future__ import annotations

from itertools import pairwise, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from xmlcheck.handing.order import MOST, least

TABLES = st.integers(1, 6).flatmap(
    lambda n: st.lists(st.lists(st.integers(0, 9), min_size=n, max_size=n), min_size=n, max_size=n)
)


@given(TABLES)
@settings(max_examples=60, deadline=None)
def test_it_is_the_least_of_all_orders(costs: list[list[int]]) -> None:
    cost, order, exact = least(costs)
    every = [sum(costs[a][b] for a, b in pairwise(one)) for one in permutations(range(len(costs)))]
    assert exact
    assert cost == min(every)
    assert sorted(order) == list(range(len(costs)))
    assert cost == sum(costs[a][b] for a, b in pairwise(order))


def test_twelve_cues_are_exact_and_thirteen_say_they_are_not() -> None:
    for count, exact in ((MOST, True), (MOST + 1, False)):
        costs = [[abs(a - b) for b in range(count)] for a in range(count)]
        cost, order, told = least(costs)
        assert (cost, order, told) == (count - 1, tuple(range(count)), exact)
