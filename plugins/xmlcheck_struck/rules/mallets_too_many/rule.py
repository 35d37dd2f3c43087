"""Chords struck together for which there are no mallets."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_struck.facets import Mallets
from xmlcheck_struck.striking import broken


@rule
def too_many(chair: Chair, mallets: Mallets) -> Hits:
    """One hit for each chord struck with more notes than mallets. Up to the most that is known of anybody it is a query.

    What rings on needs no mallet; a broken chord is struck note by note; where several may share the line it is a query.
    """
    players = chair.players or 1
    limit, most = mallets.at_once, mallets.most or mallets.at_once
    for sonority in chair.sonorities:
        asked = len({tone.sounding.cents for tone in sonority.struck})
        if asked <= limit.value * players or broken(sonority.struck):
            continue
        one = chair.for_one_player(sonority.onset) and len({tone.voice for tone in sonority.struck}) == 1
        beyond = asked > most.value * players
        values = {"asked": asked, "limit": limit.value}
        yield Hit(
            at=sonority.struck,
            values=values,
            rests_on=(most,) if beyond else (limit,),
            grade=None if one and beyond else Grade.QUERY,
        )
