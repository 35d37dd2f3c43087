"""One key struck again faster than its action lets it."""

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_keyboard.facets import Keyboard
from xmlcheck_keyboard.struck import ROLLED

FEWEST = 6
"""Strokes in a row that count (ours)."""


@rule
def repetition(chair: Chair, keyboard: Keyboard, fewest_strokes: int = FEWEST) -> Hits:
    """One hit for each row of strokes on one key, with nothing else in that voice between, above the action's rate."""
    limit = keyboard.one_key
    if limit is None or chair.players not in (None, 1):
        return
    for line in chair.lines:
        row: list[Tone] = []
        for tone in line:
            near = bool(row) and chair.seconds(row[-1].onset, tone.onset) * limit.value < 1
            if row and near and tone.sounding.cents == row[-1].sounding.cents and not tone.has(*ROLLED):
                row.append(tone)
                continue
            yield from _hit(chair, row, limit.value, fewest_strokes, keyboard)
            row = [] if tone.has(*ROLLED) else [tone]
        yield from _hit(chair, row, limit.value, fewest_strokes, keyboard)


def _hit(chair: Chair, row: list[Tone], limit: float, fewest: int, keyboard: Keyboard) -> Hits:
    seconds = chair.seconds(row[0].onset, row[-1].onset) if row else 0.0
    if len(row) < fewest or seconds <= 0 or keyboard.one_key is None:
        return
    values = {"count_notes": len(row), "rate": round((len(row) - 1) / seconds, 1), "limit": f"{limit:g}"}
    yield Hit(at=tuple(row), values=values, rests_on=(keyboard.one_key,))
