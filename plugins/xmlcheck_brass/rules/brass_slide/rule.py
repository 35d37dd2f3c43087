"""Positions that lie far apart, again and again, too quickly for the arm."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_brass.facets import Brass
from xmlcheck_brass.tubes import slide_speeds
from xmlcheck_winds.derived import Lines, Step


@rule
def slide(chair: Chair, brass: Brass, melody: Lines, fewest: int = 2) -> Hits:
    """One hit for each run of at least `fewest` moves in a row that are faster than the profile's limit.

    Where an attachment brings the notes nearer it is a thing to tidy up: who plays it has to have one.
    """
    if brass.kind.value != "slide" or brass.slide_limit is None:
        return
    limit = brass.slide_limit
    tube = next((side.title for side in brass.sides if side.optional), None)
    for line in melody.fast:
        for steps in _phrases(line):
            helped = slide_speeds(brass, steps, sure=False) if tube is not None else []
            for first, last, speed in _runs(slide_speeds(brass, steps, sure=True), limit.value, fewest):
                gap = steps[first].gap
                near = bool(helped) and max(helped[first : last + 1]) <= limit.value
                values = {
                    "semitones": round(speed * gap, 1),
                    "gap": gap,
                    "times": last - first + 1,
                    "tube": tube if near else None,
                }
                tones = tuple(step.tone for step in steps[first : last + 2])
                yield Hit(at=tones, values=values, rests_on=(limit, *brass.sides), grade=Grade.TIDY if near else None)


def _runs(speeds: list[float], limit: float, fewest: int) -> list[tuple[int, int, float]]:
    """Runs of moves over the limit: first and last move, speed of the first."""
    runs: list[tuple[int, int, float]] = []
    begun: int | None = None
    for index, speed in enumerate([*speeds, 0.0]):
        if speed > limit:
            begun = index if begun is None else begun
            continue
        if begun is not None and index - begun >= fewest:
            runs.append((begun, index - 1, speeds[begun]))
        begun = None
    return runs


def _phrases(line: tuple[Step, ...]) -> list[tuple[Step, ...]]:
    phrases: list[tuple[Step, ...]] = []
    begun = 0
    for index, step in enumerate(line):
        if not step.meets:
            phrases.append(line[begun : index + 1])
            begun = index + 1
    return [phrase for phrase in phrases if len(phrase) > 2]
