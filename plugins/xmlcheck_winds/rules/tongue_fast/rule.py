"""Repeated notes beyond the speed of the tongue."""

from xmlcheck.plugin import Chair, Cited, Hit, Hits, Pitch, rule
from xmlcheck_winds.derived import Lines, Step
from xmlcheck_winds.facets import Tonguing


@rule
def fast(chair: Chair, tonguing: Tonguing, melody: Lines, fewest: int = 4, long: int = 8, burst: float = 1.25) -> Hits:
    """One hit for each run of at least `fewest` equal notes faster than the limit; runs under `long` may be `burst` times faster.

    Where players double-tongue, that limit holds, up to the highest note for it. burst: ours; short runs come faster.
    """
    for line in melody.fast:
        for run in _runs(line, fewest):
            limit = _limit(tonguing, run[0].cents)
            if limit is None:
                continue
            seconds = run[-1].start - run[0].start
            rate = (len(run) - 1) / seconds if seconds > 0 else 0.0
            if rate <= limit.value * (burst if len(run) < long else 1.0):
                continue
            finger = tonguing.tongued is not None and not tonguing.tongued.value
            how = "finger strokes part them" if finger else "the tongue parts them"
            values = {"times": len(run), "rate": rate, "limit": limit.value, "how": how}
            yield Hit(at=tuple(step.tone for step in run), values=values, rests_on=(limit,))


def _runs(line: tuple[Step, ...], fewest: int) -> list[list[Step]]:
    """Equal notes that follow one another without a rest; slurs over equal notes part them all the same."""
    runs: list[list[Step]] = []
    run: list[Step] = []
    for step in line:
        if run and not (run[-1].meets and run[-1].cents == step.cents):
            runs.append(run)
            run = []
        run.append(step)
    return [run for run in (*runs, run) if len(run) >= fewest]


def _limit(tonguing: Tonguing, cents: int) -> Cited[float] | None:
    top: Cited[Pitch] | None = tonguing.multiple_highest
    if tonguing.multiple_limit is not None and (top is None or cents <= top.value.cents):
        return tonguing.multiple_limit
    return tonguing.single_limit
