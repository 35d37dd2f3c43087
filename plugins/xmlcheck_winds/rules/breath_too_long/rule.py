"""Blowing that lasts longer than a breath."""

from collections.abc import Iterable, Iterator

from xmlcheck.plugin import Breath, Chair, Cited, Grade, Hit, Hits, Note, Plan, PlanLine, Tone, rule
from xmlcheck_winds.breathing import Run, blown, runs, seconds_of
from xmlcheck_winds.derived import Lines, Loudness
from xmlcheck_winds.facets import Blowing
from xmlcheck_winds.placing import place_of

MOST = 6
"""Places for a breath that are named in the message; the plan has all."""


@rule
def too_long(
    chair: Chair, breath: Breath, blowing: Blowing | None, melody: Lines, loudness: Loudness, patience: float = 2.0
) -> Hits:
    """One hit for each stretch in which the air runs out before a rest.

    Where breaths can go between the notes they go into the plan, and the stretch is told from `patience` breaths on, as a thing to
    tidy up. Sections breathe in turn; bags, bellows and reeds that sound both ways need no breath, nor do circular breathers.
    """
    if blowing is not None and blowing.source.value != "breath":
        return
    if breath.circular is not None and breath.circular.value:
        return
    found = [run for line in melody.fast for run in _once(chair, runs(blown(chair, line, breath, loudness), blowing))]
    lines = [
        PlanLine(place_of(chair, tone.last), "breath after this note", {}) for run in found if run.inside for tone in run.places
    ]
    lines.sort(key=lambda line: (line.place.measure_index or 0, line.place.seconds or 0.0))
    plan = Plan(f"breath-{chair.name}", "breath", chair.part.id, tuple(lines)) if lines else None
    if plan is not None:
        yield plan
    for run in found:
        if run.inside and run.seconds < patience * run.limit:
            continue
        places = [_told(chair, tone) for tone in run.places[:MOST]] + (["and more"] if len(run.places) > MOST else [])
        values = {"seconds": run.seconds, "limit": run.limit, "places": len(run.places), "places_told": ", ".join(places)}
        at: tuple[Tone | Note, ...] = (*run.tones, run.tones[-1].last)
        rests_on = tuple(_limits(breath, loudness, run))
        grade, own = (Grade.TIDY, plan) if run.inside else (None, None)
        yield Hit(at=at, values=values, rests_on=rests_on, grade=grade, plan=own)


def _once(chair: Chair, found: Iterable[Run]) -> Iterator[Run]:
    """Each stretch of a single player once, however often it is repeated."""
    seen: set[int] = set()
    for run in found:
        first = run.tones[0]
        if first.anchor not in seen and chair.for_one_player(first.onset):
            seen.add(first.anchor)
            yield run


def _limits(breath: Breath, loudness: Loudness, run: Run) -> list[Cited[float]]:
    found = (seconds_of(breath, loudness.last(tone.onset)) for tone in run.tones)
    return list({id(limit): limit for limit in found if limit is not None}.values())[:3]


def _told(chair: Chair, tone: Tone) -> str:
    place = place_of(chair, tone.last)
    return f"after the note on beat {place.beat} of bar {place.bar}"
