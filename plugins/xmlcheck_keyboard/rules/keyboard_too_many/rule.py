"""Chords of more keys than fingers."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_keyboard.derived import KeyHeight
from xmlcheck_keyboard.facets import Keyboard
from xmlcheck_keyboard.struck import broken, down, keys, one_player


@rule
def too_many(chair: Chair, keyboard: Keyboard, height: KeyHeight) -> Hits:
    """One hit for each moment at which more keys need fingers than both hands have; broken chords are struck key by key."""
    limit = keyboard.at_once
    if limit is None:
        return
    for sonority in chair.sonorities:
        asked = len(keys(down(sonority, keyboard), height))
        if asked > limit.value * (chair.players or 1) and not broken(sonority.struck):
            one = one_player(chair, sonority)
            values = {"asked": asked, "limit": limit.value}
            yield Hit(at=sonority.struck, values=values, rests_on=(limit,), grade=None if one else Grade.QUERY)
