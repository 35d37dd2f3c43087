"""One hand, many strings: places found, and jobs that come too late. Worked out by hand; small cases against brute force."""

from __future__ import annotations

import itertools
import random

from xmlcheck_zither.planning.windows import Job, merged, placed


def test_two_strings_beside_the_music() -> None:
    """F#4 is free from 1 to 12 s, F#5 from 2 to 13 s, 4 s each: both fit while the right hand plays on."""
    jobs = [Job("F#4", 1, 12), Job("F#5", 2, 13)]
    begun, late = placed(jobs, 4)
    assert [(job.item, start) for job, start in begun] == [("F#4", 1), ("F#5", 5)]
    assert late == ()


def test_the_hand_is_busy_in_between() -> None:
    """The same with the hand busy from 4 to 8 s: the first at 8, the second at 12, three seconds too late."""
    begun, late = placed([Job("F#4", 1, 12), Job("F#5", 2, 13)], 4, [(4, 8)])
    assert [start for _, start in begun] == [8, 12]
    assert [(item.job.item, item.seconds) for item in late] == [("F#5", 3)]


def test_nothing_is_placed_into_busy_time() -> None:
    random.seed(4)
    for _ in range(100):
        busy = [(start := random.uniform(0, 20), start + random.uniform(0, 4)) for _ in range(3)]
        jobs = [Job(n, release := random.uniform(0, 15), release + random.uniform(1, 9)) for n in range(4)]
        begun, _ = placed(jobs, 1.5, busy)
        assert len(begun) == 4
        for job, start in begun:
            assert start >= job.release - 1e-9
            assert all(start + 1.5 <= a + 1e-6 or start >= b - 1e-6 for a, b in merged(busy))
        starts = sorted(start for _, start in begun)
        assert all(b - a >= 1.5 - 1e-6 for a, b in itertools.pairwise(starts))


def test_no_job_is_late_where_any_order_of_equal_windows_has_room() -> None:
    """With one release for all, earliest deadline first finds a place wherever there is one (Jackson 1955, from memory)."""
    random.seed(9)
    for _ in range(200):
        jobs = [Job(n, 0, random.uniform(1, 6)) for n in range(4)]
        possible = any(
            all((n + 1) * 1.0 <= job.deadline + 1e-9 for n, job in enumerate(order)) for order in itertools.permutations(jobs)
        )
        assert (placed(jobs, 1.0)[1] == ()) == possible


def test_busy_stretches_are_joined() -> None:
    assert merged([(3, 4), (1, 2), (2, 2.5), (6, 6)]) == [(1, 2.5), (3, 4)]
