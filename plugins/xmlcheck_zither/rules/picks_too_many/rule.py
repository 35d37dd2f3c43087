"""Chords with more notes than there are plucking fingers."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Polyphony, rule, says
from xmlcheck_zither.facets import Picks
from xmlcheck_zither.uses import Played

ROLLED = ("arp.", "arpeggio", "arpeggiato", "arpégé", "roll", "rolled", "gebrochen", "broken", "gliss.", "glissando")


@rule
def too_many(chair: Chair, uses: Played, picks: Picks, polyphony: Polyphony | None) -> Hits:
    """One hit for each chord that is struck, not broken, with too many notes; a query where several players may share it."""
    limit = picks.right.value + (picks.left.value if picks.left is not None else 0)
    rests = tuple(value for value in (picks.right, picks.left) if value is not None)
    rolled = {direction.onset for direction in chair.directions if direction.words and says(direction.words, ROLLED)}
    for struck in uses.struck:
        asked = len({use.cents for use in struck.uses})
        tone = struck.uses[0].tone
        if asked <= limit or struck.broken or struck.uses[0].turn > 1 or tone.onset in rolled:
            continue
        if polyphony is not None and asked > polyphony.at_once.value:
            continue
        grade = None if chair.for_one_player(tone.onset) else Grade.QUERY
        yield Hit(at=struck.tones, values={"asked": asked, "limit": limit}, rests_on=rests, grade=grade)
