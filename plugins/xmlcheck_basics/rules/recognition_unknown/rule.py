"""A part whose instrument nobody could name from its heading, sound id or MIDI program."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, rule


@rule
def unknown(chair: Chair, match: Match) -> Hits:
    """One hit for a chair that has notes and no instrument. A name that fits several instruments is another rule's business."""
    if match.profile is None and not match.candidates and chair.notes:
        heading = chair.seat.announced or chair.part.display_name or chair.part.name
        yield Hit(values={"heading": heading, "part_id": chair.part.id, "evidence": match.evidence})
