"""Pedal signs closer together than a foot can follow."""

from xmlcheck.plugin import Chair, Direction, Hit, Hits, rule
from xmlcheck_keyboard.facets import Pedals

FEWEST = 4
"""Changes in a row that count (ours)."""
_DOWN = ("start", "change", "sostenuto")


@rule
def pedal_changes(chair: Chair, pedals: Pedals, fewest_changes: int = FEWEST) -> Hits:
    """One hit for each row of pedal signs that follow faster than a foot's rate."""
    limit = pedals.changes_limit
    if limit is None:
        return
    downs = [d for d in chair.directions if any(mark.type in _DOWN for mark in d.named("pedal"))]
    row: list[Direction] = []
    for direction in [*downs, None]:
        if direction is not None and row and chair.seconds(row[-1].onset, direction.onset) * limit.value < 1:
            row.append(direction)
            continue
        if len(row) >= fewest_changes:
            seconds = chair.seconds(row[0].onset, row[-1].onset)
            rate = (len(row) - 1) / seconds if seconds > 0 else 0.0
            values = {"count_changes": len(row), "rate": round(rate, 1), "limit": f"{limit.value:g}"}
            yield Hit(at=tuple(row), values=values, rests_on=(limit,))
        row = [direction] if direction is not None else []
