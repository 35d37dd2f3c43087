"""Chords with more notes than the hammers strike."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Polyphony, Wording, covering, rule, says, spans
from xmlcheck_zither.facets import Hammers
from xmlcheck_zither.uses import Played

ORDINARY = ("ord.", "ordinario", "normal", "two beaters", "2 beaters", "single hammers")
ROLLED = ("arp.", "arpeggio", "arpeggiato", "roll", "rolled")


@rule
def too_many(chair: Chair, uses: Played, hammers: Hammers, polyphony: Polyphony | None) -> Hits:
    """One hit for each chord that is struck, not broken, with too many notes. Words that ask for other hammers raise the limit."""
    words = hammers.words.value if hammers.words is not None else ()
    special = covering(spans(chair.directions, [Wording("special", words, ORDINARY, True)]) if words else ())
    rolled = {direction.onset for direction in chair.directions if direction.words and says(direction.words, ROLLED)}
    for struck in uses.struck:
        tone = struck.uses[0].tone
        asked = len({use.cents for use in struck.uses})
        used = hammers.at_once
        if hammers.special is not None and special(tone.onset, tone.staff):
            used = hammers.special
        if asked <= used.value or struck.broken or struck.uses[0].turn > 1 or tone.onset in rolled:
            continue
        if polyphony is not None and asked > polyphony.at_once.value:
            continue
        more = ""
        if hammers.special is not None and used is hammers.at_once and asked <= hammers.special.value:
            more = f"with other hammers, which the part has to ask for, {hammers.special.value}"
        values = {"asked": asked, "limit": used.value, "special": more}
        grade = None if chair.for_one_player(tone.onset) else Grade.QUERY
        yield Hit(at=struck.tones, values=values, rests_on=(used,), grade=grade)
