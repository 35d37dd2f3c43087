"""Lines that go to and fro over a register break."""

from itertools import pairwise

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Fingers, Lines, Step
from xmlcheck_winds.facets import Break, Fingering

SLOW = 2.0
"""Times the shortest gap from which on a crossing has all the time it needs (ours)."""


@rule
def crossed(chair: Chair, fingering: Fingering, melody: Lines, fingers: Fingers, fewest: int = 4) -> Hits:
    """One hit for each run of at least `fewest` crossings in a row, note by note, faster than the profile's limit."""
    for item in fingering.breaks:
        if item.limit is None:
            continue
        for line in melody.fast:
            run: list[Step] = []
            for step, following in pairwise(line):
                if step.meets and step.gap * item.limit < SLOW and _over(item, fingers, step, following):
                    run = run or [step]
                    run.append(following)
                    continue
                yield from _told(item, run, fewest)
                run = []
            yield from _told(item, run, fewest)


def _over(item: Break, fingers: Fingers, step: Step, following: Step) -> bool:
    low, high = sorted((fingers.place(step.tone), fingers.place(following.tone)))
    return low <= item.above < high


def _told(item: Break, run: list[Step], fewest: int) -> Hits:
    times = len(run) - 1
    if item.limit is None or times < fewest:
        return
    seconds = run[-1].start - run[0].start
    if seconds <= 0 or times / seconds <= item.limit:
        return
    values = {"title": item.title, "times": times, "rate": times / seconds, "limit": item.limit}
    yield Hit(at=tuple(step.tone for step in run), values=values, rests_on=(item,), group=item.title)
