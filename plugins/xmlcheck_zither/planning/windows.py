"""One hand or foot and many things to move: is there time? Each job takes a fixed time, within its window, without a break."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Job:
    """Something to move, not before `release` and done by `deadline`."""

    item: Hashable
    release: float
    deadline: float


@dataclass(frozen=True, slots=True)
class Late:
    """A job for which no time was found: seconds after its deadline."""

    job: Job
    seconds: float


def placed(
    jobs: Iterable[Job], unit: float, busy: Iterable[tuple[float, float]] = ()
) -> tuple[tuple[tuple[Job, float], ...], tuple[Late, ...]]:
    """When each job begins, and the jobs that come too late: earliest deadline first.

    busy: stretches (start, end) in which the hand plays. No late job proves that there is time. With busy stretches and windows of
    several kinds a late job proves nothing but that this order finds none.
    """
    taken = merged(busy)
    waiting = sorted(jobs, key=lambda job: (job.release, job.deadline))
    ready: list[Job] = []
    begun: list[tuple[Job, float]] = []
    late: list[Late] = []
    clock = 0.0
    while waiting or ready:
        if not ready:
            clock = max(clock, waiting[0].release)
        clock = _free(clock, unit, taken)
        while waiting and waiting[0].release <= clock + HAIR:
            ready.append(waiting.pop(0))
        if not ready:
            continue
        ready.sort(key=lambda job: job.deadline)
        job = ready.pop(0)
        begun.append((job, clock))
        clock += unit
        if clock > job.deadline + HAIR:
            late.append(Late(job, round(clock - job.deadline, 3)))
    return tuple(begun), tuple(late)


def _free(clock: float, unit: float, busy: Sequence[tuple[float, float]]) -> float:
    """The first time from `clock` on with `unit` seconds free."""
    for start, end in busy:
        if start >= clock + unit - HAIR:
            break
        if end > clock + HAIR:
            clock = end
    return clock


def merged(stretches: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """The same stretches in order, those that touch joined."""
    result: list[tuple[float, float]] = []
    for start, end in sorted(stretches):
        if result and start <= result[-1][1] + HAIR:
            result[-1] = result[-1][0], max(end, result[-1][1])
        elif end > start:
            result.append((start, end))
    return result
