"""Lines of plans: where they stand, with the note before which they can be inserted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from xmlcheck.plugin import Chair, Note, Place, Plan, PlanLine, Tone
from xmlcheck_winds.facets import Size
from xmlcheck_winds.sizing import Held, told_size


def place_of(chair: Chair, event: Tone | Note) -> Place:
    """The place of a tone, or of one of its heads."""
    place = chair.facts.places(chair.part).place(event.measure, event.onset)
    voice = event.voice if chair.part.voiced_directions else None
    return replace(place, anchor=event.anchor, staff=event.staff if chair.part.staves > 1 else None, voice=voice)


def first_from(chair: Chair, tick: int) -> Tone | None:
    """The first tone at a tick or after it."""
    return chair.following(tick)


def size_line(chair: Chair, size: Size, tick: int = 0) -> PlanLine:
    """The line that names a size by the instrument's own custom, at the first note from a tick on."""
    tone = first_from(chair, tick)
    place = place_of(chair, tone) if tone is not None else Place()
    return PlanLine(place, told_size(size), {"size": size.id, "lowest": size.lowest.name})


def size_plan(chair: Chair, held: Iterable[Held]) -> Plan:
    """The plan of a chair's sizes, one line for each that is taken up."""
    return Plan(f"size-{chair.name}", "size", chair.part.id, tuple(size_line(chair, item.size, item.start) for item in held))
