"""An instrument known by its MIDI program alone."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, rule


@rule
def guess(chair: Chair, match: Match) -> Hits:
    """One hit for a chair whose instrument rests on playback data."""
    if match.profile is not None and match.certainty == "guess" and chair.notes:
        values = {"heading": chair.part.name, "evidence": match.evidence, "part_id": chair.part.id, "profile": match.profile}
        yield Hit(values=values)
