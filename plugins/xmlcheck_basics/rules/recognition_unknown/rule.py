"""A part whose instrument nobody could name from its heading, sound id or MIDI program."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, rule


@rule
def unknown(chair: Chair, match: Match) -> Hits:
    """One hit for a chair that has notes and no instrument. A name that fits several instruments is another rule's business.

    A later stretch of the part speaks only where it is announced by a name of its own.
    """
    if match.profile is not None or match.candidates or match.known or not chair.notes:
        return
    seat = chair.seat
    own = seat.announced or (seat.instrument.name if seat.instrument is not None and seat.start > 0 else "")
    if seat.ordinal == 0 or own:
        heading = own or chair.part.display_name or chair.part.name
        yield Hit(values={"heading": heading, "part_id": chair.part.id, "evidence": match.evidence})
