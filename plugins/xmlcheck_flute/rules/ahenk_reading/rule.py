"""A makam part beside parts at concert pitch, tried in both readings."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Choice
from xmlcheck_winds.facets import Sizes
from xmlcheck_winds.sizing import named_words


@rule
def reading(chair: Chair, sizes: Sizes, choice: Choice, margin: int = 5) -> Hits:
    """One hit where the named length moves the part and the file gives no transposition, if other parts have notes.

    The share of the part's notes whose pitch class, to the nearest semitone, the other parts use too is compared under both readings;
    from `margin` percent on one is called the likelier.
    """
    own = named_words(chair, sizes) if sizes.named_by.value == "ahenk" else None
    if own is None or any(not item.for_part for item in chair.part.transposes):
        return
    moved = own.lowest.cents - choice.usual.lowest.cents
    makam = [other for other in chair.facts.chairs if other.part is chair.part or named_words(other, sizes) is not None]
    others = [other for other in chair.facts.chairs if not any(other is one for one in makam)]
    theirs = {_class(tone.sounding.cents) for other in others for tone in other.tones}
    if not moved % 1200 or not theirs or not chair.tones:
        return

    def share(shift: int) -> int:
        inside = sum(_class(tone.sounding.cents + shift) in theirs for tone in chair.tones)
        return round(100 * inside / len(chair.tones))

    written, ahenk = share(0), share(moved)
    likely = None
    if abs(written - ahenk) >= margin:
        likely = "concert pitch" if written > ahenk else own.title
    values = {
        "own": own.title,
        "interval": moved / 100,
        "share_written": written,
        "share_ahenk": ahenk,
        "likely": likely,
    }
    yield Hit(values=values, rests_on=(own,))


def _class(cents: int) -> int:
    return (cents + 50) // 100 % 12
