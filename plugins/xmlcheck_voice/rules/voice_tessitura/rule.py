"""Parts that lie outside the comfortable part of the voice for most of their length."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_voice.facets import Vocal
from xmlcheck_winds.derived import Lines


@rule
def tessitura(chair: Chair, vocal: Vocal, melody: Lines, most: int = 60, fewest: int = 16) -> Hits:
    """One hit where more than `most` percent of the sung time of at least `fewest` notes lies above or below the tessitura."""
    steps = [step for line in melody.lines for step in line]
    total = sum(step.seconds for step in steps)
    if len(steps) < fewest or total <= 0:
        return
    low, high = vocal.tessitura_lowest, vocal.tessitura_highest
    above = sum(step.seconds for step in steps if step.cents > high.value.cents + 40)
    below = sum(step.seconds for step in steps if step.cents < low.value.cents - 40)
    for seconds, where, limit in ((above, "above", high), (below, "below", low)):
        share = round(100 * seconds / total)
        if share > most:
            values = {
                "share": share,
                "seconds": seconds,
                "where": where,
                "limit": limit.value,
                "lowest": low.value,
                "highest": high.value,
            }
            yield Hit(values=values, rests_on=(limit,))
