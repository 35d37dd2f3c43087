"""Trills and tremolos that have no fingering, or none that moves."""

from xmlcheck.plugin import Chair, Hit, Hits, Tone, Vouched, rule
from xmlcheck_winds.derived import Fingers, Lines
from xmlcheck_winds.facets import Fingering
from xmlcheck_winds.trills import Shake, shakes

HINDERED = {"half": "a half-holed note", "bent": "a note made by lip or head", "none": "a note without fingering"}


@rule
def trill(chair: Chair, fingering: Fingering, melody: Lines, fingers: Fingers) -> Hits:
    """One hit for each trill in the profile's list, over a break, or to a hindered note; and for tremolos over a break."""
    for line in melody.lines:
        for shake in shakes(chair, line):
            why = _why(fingering, fingers, shake)
            if why is None:
                continue
            label, told, rests_on = why
            kind = "trill" if shake.trill else "tremolo"
            values = {
                "kind": kind,
                "kind_told": kind.capitalize(),
                "lower": _name(shake.tone, shake.lower),
                "upper": _name(shake.tone, shake.upper),
                "label_why": label,
                "told": told,
            }
            yield Hit(at=shake.tones, values=values, rests_on=rests_on)


def _why(fingering: Fingering, fingers: Fingers, shake: Shake) -> tuple[str, str, tuple[Vouched, ...]] | None:
    low, high = fingers.place(shake.tone, shake.lower), fingers.place(shake.tone, shake.upper)
    listed = next((item for item in fingering.trills if (item.lower, item.upper) == (low, high)), None)
    if listed is not None:
        none = listed.how == "none"
        return (
            "no fingering" if none else "slow",
            listed.note.rstrip(".") or ("it has no fingering" if none else "it is slow"),
            (listed,),
        )
    crossed = next((item for item in fingering.breaks if low <= item.above < high), None)
    if crossed is not None and not (crossed.trill and shake.trill):
        return "over the break", f"it goes over {crossed.title}", (crossed,)
    for cents in (shake.lower, shake.upper):
        made = fingers.of(shake.tone, cents)
        if made.name in HINDERED and made.row is not None:
            return "hindered", f"it needs {HINDERED[made.name]}", (made.row,)
    return None


def _name(tone: Tone, cents: int) -> str:
    """The sounding pitch of these cents, spelled from the tone."""
    return tone.sounding.moved(round((cents - tone.sounding.cents) / 100)).name
