"""Pitches between the semitones: none at all, or too quick for how they are made."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Lines
from xmlcheck_winds.facets import Fingering

MEANS = {
    "none": ("none here", "not to be had"),
    "slow": ("slow notes only", "made by part of a hole or by lip, on slow notes"),
    "fingered": ("own fingerings", "made by fingerings of their own, at moderate speed"),
}


@rule
def microtone(
    chair: Chair, fingering: Fingering, melody: Lines, slow: float = 2.5, fingered: float = 5.0, within_cents: int = 25
) -> Hits:
    """One hit for each tone more than `within_cents` off the semitones that cannot be had, or not at its speed.

    slow, fingered: notes a second that are still had in each way (ours). Without a tempo only pitches that cannot be had are told.
    """
    means = fingering.microtones
    if means is None or means.value == "free":
        return
    limit = {"none": 0.0, "slow": slow, "fingered": fingered}[means.value]
    for line in melody.lines:
        for step in line:
            off = (step.tone.sounding.cents + 50) % 100 - 50
            if abs(off) <= within_cents:
                continue
            if limit and (not melody.timed or step.rate <= limit):
                continue
            can, made = MEANS[means.value]
            values = {"asked": _asked(off), "rate": step.rate if limit else None, "can": can, "means": made}
            yield Hit(at=(step.tone,), values=values, rests_on=(means,))


def _asked(off: int) -> str:
    return f"{abs(off)} cents {'above' if off > 0 else 'below'} a semitone"
