"""Two dynamics asked of one bellows."""

from xmlcheck.plugin import Chair, Direction, Hit, Hits, rule
from xmlcheck_keyboard.facets import Bellows, Buttons


@rule
def two_dynamics(chair: Chair, bellows: Bellows, buttons: Buttons | None) -> Hits:
    """One hit for each place at which the staves of the two hands carry different dynamics."""
    places: dict[int, dict[int, tuple[str, Direction]]] = {}
    for direction in chair.directions:
        for mark in direction.named("dynamics"):
            if direction.staff and mark.value:
                places.setdefault(direction.onset, {}).setdefault(direction.staff, (mark.value, direction))
    used = tuple(item for item in (bellows.loud_seconds, bellows.soft_seconds) if item is not None) or (
        (buttons.board,) if buttons is not None else ()
    )
    for onset in sorted(places):
        staves = places[onset]
        upper, lower = min(staves), max(staves)
        if staves[upper][0] != staves[lower][0]:
            values = {"upper": staves[upper][0], "lower": staves[lower][0]}
            yield Hit(at=(staves[upper][1],), values=values, rests_on=used)
