"""Parts in unison or octaves that are written a microtone apart."""

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_ensemble.unison import NEAREST, meetings, together


@rule
def microtones(score: ScoreFacts) -> Hits:
    """One hit for each bar and pair of parts that go together with notes written 10 to 60 cents apart."""
    for meeting in meetings(score, both=False):
        one, other = meeting.one, meeting.other
        for pairs in together(meeting):
            off = [pair for pair in pairs if abs(pair.cents) >= NEAREST]
            if not off:
                continue
            widest = max(off, key=lambda pair: abs(pair.cents))
            told = f"{widest.first.sounding.name} against {widest.second.sounding.name}"
            values = {
                "heading": one.part.display_name or one.part.name,
                "other": other.part.display_name or other.part.name,
                "cents": abs(widest.cents),
                "count_notes": len(off),
                "told": told,
            }
            yield Hit(at=tuple(pair.first for pair in off), values=values, part=one.part.id, group=other.part.id)
