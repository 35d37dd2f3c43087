"""Strokes that fall together for which one player has no hands or feet."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Strokes
from xmlcheck_struck.pieces import Limbs


@rule
def too_many(chair: Chair, strokes: Strokes, limbs: Limbs) -> Hits:
    """One hit for each moment with more strokes than hands, or more than feet where feet play."""
    players = chair.players or 1
    limits = {"hands": strokes.hands, "feet": strokes.feet}
    for moment in limbs.moments:
        for name, asked in (("hands", moment.hands), ("feet", moment.feet)):
            limit = limits[name]
            if limit is not None and asked > limit.value * players:
                values = {"asked": asked, "limit": limit.value * players, "limbs": name, "pieces": moment.pieces}
                yield Hit(at=moment.notes, values=values, rests_on=(limit,))
