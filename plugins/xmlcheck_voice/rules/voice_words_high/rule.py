"""Syllables above the note up to which words are understood."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_voice.facets import Vocal
from xmlcheck_winds.derived import Lines, Step


@rule
def words_high(chair: Chair, vocal: Vocal, melody: Lines, fewest: int = 4, slow_seconds: float = 0.75) -> Hits:
    """One hit for each run of at least `fewest` syllables in a row above the limit, none of them long (ours)."""
    limit = vocal.words_highest
    if limit is None:
        return
    for line in melody.lines:
        run: list[Step] = []
        for step in (*line, None):
            high = step is not None and step.cents > limit.value.cents + 40
            if step is not None and high and any(note.lyrics for note in step.tone.notes) and step.seconds < slow_seconds:
                run.append(step)
                continue
            if len(run) >= fewest:
                values = {"limit": limit.value, "syllables": len(run)}
                yield Hit(at=tuple(one.tone for one in run), values=values, rests_on=(limit,))
            run = []
