"""Dynamics that a mute, or the hand in the bell, does not carry."""

from xmlcheck.plugin import Chair, Hit, Hits, Span, Wording, rule, spans
from xmlcheck_brass.facets import MARKS, Mute, Mutes
from xmlcheck_winds.derived import LEVELS, Loudness


@rule
def mute_loud(chair: Chair, mutes: Mutes, loudness: Loudness, margin: int = 2) -> Hits:
    """One hit for each tone at least `margin` dynamic marks over what the mute carries; a plus sign means the hand."""
    kinds = [mute for mute in mutes.kinds if mute.loudest is not None]
    wordings = [Wording(mute.id, mute.words, mute.off, lasting=True) for mute in kinds]
    found = spans(chair.directions, wordings)
    by_id = {mute.id: mute for mute in kinds}
    running: list[Span] = []
    begun = 0
    for tone in chair.tones:
        while begun < len(found) and found[begun].start <= tone.onset:
            running.append(found[begun])
            begun += 1
        running = [span for span in running if span.end is None or span.end > tone.onset]
        level = loudness.at(tone.onset)
        if level is None:
            continue
        mute = next((by_id[span.id] for span in running if span.covers(tone.onset, tone.staff)), None)
        mute = mute or (by_id.get("stopped") if tone.has("stopped") else None)
        if mute is not None and _over(mute, level) >= margin:
            values = {"asked": LEVELS[level], "title": mute.title, "loudest": mute.loudest}
            yield Hit(at=(tone,), values=values, rests_on=(mute,), group=f"{mute.id}-{level}")


def _over(mute: Mute, level: int) -> int:
    return level - MARKS.index(mute.loudest) if mute.loudest is not None else 0
