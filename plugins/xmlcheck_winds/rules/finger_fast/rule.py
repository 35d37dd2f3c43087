"""Half-holed, forked, keyed or bent notes that pass too quickly."""

from xmlcheck.plugin import Chair, Cited, Hit, Hits, rule
from xmlcheck_winds.derived import Fingers, Lines, Step
from xmlcheck_winds.facets import Fingering

HOW = {"half": "half-holed", "forked": "forked", "keyed": "keyed", "bent": "made by lip or head"}
PLAIN = "plain"


@rule
def fast(chair: Chair, fingering: Fingering, melody: Lines, fingers: Fingers, fewest: int = 2, run: int = 8) -> Hits:
    """One hit for each note that is shorter than the profile's limit for its class.

    A single hindered one in a phrase passes: only from `fewest` on between two rests are they told, plain ones from `run` on (ours).
    """
    for line in melody.fast:
        phrase: list[Hit] = []
        for step in line:
            hit = _hit(fingering, fingers, step)
            phrase += [hit] if hit is not None else []
            if not step.meets:
                plain = [item for item in phrase if item.group == PLAIN]
                hindered = [item for item in phrase if item.group != PLAIN]
                yield from hindered if len(hindered) >= fewest else ()
                yield from plain if len(plain) >= run else ()
                phrase = []


def _hit(fingering: Fingering, fingers: Fingers, step: Step) -> Hit | None:
    made = fingers.of(step.tone)
    limit = _limit(fingering, made.name)
    if limit is None or step.rate <= limit.value:
        return None
    kind = made.name if made.name in HOW else PLAIN
    size = fingers.size(step.tone)
    values = {
        "kind": kind,
        "how": HOW.get(kind, "fingered plainly"),
        "rate": step.rate,
        "limit": limit.value,
        "title": size.title if size is not None else "this instrument",
    }
    rests_on = (limit,) if made.row is None else (made.row, limit)
    return Hit(at=(step.tone,), values=values, rests_on=rests_on, group=kind)


def _limit(fingering: Fingering, name: str) -> Cited[float] | None:
    limits = {
        "half": fingering.half_limit,
        "forked": fingering.forked_limit,
        "keyed": fingering.keyed_limit,
        "bent": fingering.bent_limit,
    }
    return limits.get(name) or fingering.limit
