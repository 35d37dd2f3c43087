"""A part whose instrument is known by name or sound and has no profile."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, rule


@rule
def no_profile(chair: Chair, match: Match) -> Hits:
    """One hit for a chair that has notes and an instrument that is known by name or sound only."""
    if match.profile is None and match.known and not match.candidates and chair.notes:
        heading = chair.seat.announced or chair.part.display_name or chair.part.name or chair.part.id
        yield Hit(values={"heading": heading, "known": match.known})
