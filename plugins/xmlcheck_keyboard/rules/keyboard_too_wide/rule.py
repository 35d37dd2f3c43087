"""Chords that two hands cannot span."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_keyboard.derived import Grip
from xmlcheck_keyboard.facets import Keyboard
from xmlcheck_keyboard.hands import reaching


@rule
def too_wide(chair: Chair, keyboard: Keyboard, grip: Grip, fewest_percent: int = 25) -> Hits:
    """One hit for each chord that, shared in the best way, asks one hand for a span beyond `fewest_percent` of a measured group.

    Beyond the widest span of any hand it is a halt, else a query; several players share it: a query.
    """
    widest = keyboard.widest_mm
    for tones, stretch in grip.chords:
        if stretch is None or not keyboard.hands:
            continue
        shares = [(group, reaching(group, stretch.millimetres)) for group in keyboard.hands]
        if all(share >= fewest_percent for _, share in shares):
            continue
        beyond = widest is not None and stretch.millimetres > widest.value
        one = chair.players in (None, 1) and chair.for_one_player(tones[-1].onset)
        values = {
            "span_mm": round(stretch.millimetres),
            "interval": stretch.interval,
            "shares": " and ".join(f"{share:.0f} % of the {group.title}" for group, share in shares),
        }
        used = (keyboard.octave_mm, *keyboard.hands, *((widest,) if widest is not None and beyond else ()))
        struck = tuple(tone for tone in tones if tone.onset == max(item.onset for item in tones))
        yield Hit(at=struck, values=values, rests_on=used, grade=None if beyond and one else Grade.QUERY)
