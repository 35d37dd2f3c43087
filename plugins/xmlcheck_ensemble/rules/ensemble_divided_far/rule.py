"""Sections divided into more lines than they have players for."""

from xmlcheck.plugin import Chair, Hit, Hits, Polyphony, rule
from xmlcheck_ensemble.facets import Forces


@rule
def divided_far(chair: Chair, forces: Forces, polyphony: Polyphony | None) -> Hits:
    """One hit for each sonority of a section with more notes than its lines hold, as many notes each as are commonly written."""
    ways = forces.ways
    if ways is None:
        return
    each = (polyphony.usual or polyphony.at_once).value if polyphony is not None else 1
    for sonority in chair.sonorities:
        if sonority.pitches > ways.value * each and not chair.for_one_player(sonority.onset):
            stops = str(ways.value * each) if each > 1 else ""
            values = {"asked": sonority.pitches, "ways": ways.value, "players": forces.players.value, "stops": stops}
            yield Hit(at=(sonority,), values=values, rests_on=(ways, forces.players))
