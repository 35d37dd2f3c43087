"""Parts in unison or octaves whose microtones are written with signs of different systems."""

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_ensemble.unison import meetings, systems, together


@rule
def accidentals(score: ScoreFacts) -> Hits:
    """One hit for each pair of parts that go together somewhere and use no common system of microtonal signs there."""
    for meeting in meetings(score, both=True):
        one, other = meeting.one, meeting.other
        for pairs in together(meeting):
            own, theirs = systems([pair.first for pair in pairs]), systems([pair.second for pair in pairs])
            if own and theirs and own.isdisjoint(theirs):
                values = {
                    "heading": one.part.display_name or one.part.name,
                    "other": other.part.display_name or other.part.name,
                    "own": ", ".join(sorted(own)),
                    "theirs": ", ".join(sorted(theirs)),
                    "systems": f"{min(own)}, {min(theirs)}",
                }
                at = tuple(pair.first for pair in pairs if systems([pair.first]))
                yield Hit(at=at, values=values, part=one.part.id, group=other.part.id)
                break
