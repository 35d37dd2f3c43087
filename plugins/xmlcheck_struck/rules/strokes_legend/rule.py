"""Places on a staff without pitch that nothing explains."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Strokes
from xmlcheck_struck.pieces import Limbs
from xmlcheck_struck.striking import place_of


@rule
def legend(chair: Chair, strokes: Strokes, limbs: Limbs) -> Hits:
    """One hit for a part with heads at several places, or of several kinds, and neither named instruments nor words for them."""
    heads = [note for moment in limbs.moments for note in moment.notes if note.unpitched]
    places = {place_of(note) for note in heads}
    if len(places) < 2:
        return
    used = {name for note in heads for name in note.instruments}
    if len(used) > 1:
        return
    lists = [*(item.words for item in strokes.pieces), *(item.words for item in strokes.kinds)]
    known = [word for words in lists for word in words if len(word) > 1]
    spoken = " ".join(item.words for item in chair.directions if item.words).casefold()
    if any(word.casefold() in spoken for word in known) or "=" in spoken:
        return
    if any(note.lyrics for note in heads):  # syllables under the notes
        return
    yield Hit(at=(heads[0],), values={"places_used": len(places)}, rests_on=(strokes.hands,))
