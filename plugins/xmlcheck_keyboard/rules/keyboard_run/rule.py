"""Single notes that follow faster than fingers."""

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_keyboard.facets import Keyboard
from xmlcheck_keyboard.struck import ROLLED

FEWEST = 12
"""Notes that make a run: fewer are a flourish (ours)."""


@rule
def run(chair: Chair, keyboard: Keyboard, times: float = 1.25, fewest_notes: int = FEWEST) -> Hits:
    """One hit for each run of single notes in one voice faster than `times` the published measure."""
    limit = keyboard.run
    if limit is None or chair.players not in (None, 1):
        return
    for line in chair.lines:
        row: list[Tone] = []
        for tone in [*line, None]:
            if tone is not None and row and tone.onset == row[-1].onset:
                continue
            gap = chair.seconds(row[-1].onset, tone.onset) if row and tone is not None else None
            if tone is not None and gap is not None and gap * limit.value * times < 1 and not tone.has(*ROLLED):
                row.append(tone)
                continue
            if len(row) >= fewest_notes:
                seconds = chair.seconds(row[0].onset, row[-1].onset)
                values = {
                    "count_notes": len(row),
                    "rate": round((len(row) - 1) / seconds, 1),
                    "seconds": round(seconds, 1),
                    "limit": f"{limit.value:g}",
                }
                yield Hit(at=tuple(row), values=values, rests_on=(limit,))
            row = [tone] if tone is not None and not tone.has(*ROLLED) else []
