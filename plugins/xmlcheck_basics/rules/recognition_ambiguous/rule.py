"""A heading that several instruments share."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, rule


@rule
def ambiguous(chair: Chair, match: Match) -> Hits:
    """One hit for a chair that has notes and more than one possible instrument."""
    if match.profile is None and match.candidates and chair.notes:
        heading = chair.seat.announced or chair.part.display_name or chair.part.name
        yield Hit(values={"heading": heading, "candidates": list(match.candidates), "part_id": chair.part.id})
