"""Dynamic marks where loudness cannot be changed."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_reed.facets import Drones


@rule
def dynamics(chair: Chair, drones: Drones) -> Hits:
    """One hit for each dynamic mark or hairpin; a single mark before the first note tells the others what to expect."""
    if drones.dynamics is None or drones.dynamics.value:
        return
    first = chair.tones[0].onset if chair.tones else 0
    for direction in chair.directions:
        marked = direction.named("dynamics") or [mark for mark in direction.named("wedge") if mark.type != "stop"]
        if marked and not (direction.named("dynamics") and direction.onset <= first):
            yield Hit(at=(direction,), rests_on=(drones.dynamics,))
