"""The word that ends pizzicato where none is in force."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, folded, rule, says
from xmlcheck_bowed.words import changes, technique

OTHERS = ("snap-pizzicato", "col-legno", "left-hand-pizzicato")
"""Techniques that the same word ends."""


@rule
def arco_lost(chair: Chair, techniques: Techniques, soon_bars: int = 1) -> Hits:
    """One hit for each such word after at least one note, that is no reminder within `soon_bars` of the last of its kind and ends
    no other technique."""
    plucked = technique(techniques, ("pizzicato",))
    bowed = next((item for item in techniques.has if item.id in ("arco", "bowed")), None)
    if plucked is None or bowed is None or not chair.tones:
        return
    ends = {folded(word).strip(" .") for word in bowed.words}
    others = [word for item in techniques.has if item.id in OTHERS for word in item.words]
    last, first = -soon_bars - 1, chair.tones[0].onset
    spoken = {
        id(direction): direction for direction in chair.directions if direction.words and says(direction.words, tuple(others))
    }
    other_since: int | None = None
    known = {id(change.at): change for change in changes(chair, plucked)}
    for direction in chair.directions:
        if id(direction) in spoken:
            other_since = direction.onset
        change = known.get(id(direction))
        if change is None or change.on or folded(direction.words).strip(" .,:()[]") not in ends:
            continue
        lost = change.since is None and other_since is None and direction.onset > first and direction.measure - last > soon_bars
        if lost and not direction.words.lstrip().startswith(("(", "[")):
            yield Hit(at=(direction,), values={"words": direction.words}, rests_on=(plucked,))
        last, other_since = direction.measure, None
