"""Notes marked short, one after the other, on what rings on."""

from collections.abc import Iterator

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_struck.facets import Ring
from xmlcheck_struck.striking import onsets

SHORT = ("staccato", "staccatissimo", "spiccato", "damp")
FEWEST = 4
"""Short notes in a row that count (ours)."""


@rule
def damping(chair: Chair, ring: Ring, fewest_notes: int = FEWEST) -> Hits:
    """One hit for each row of short notes that follow faster than they can be stopped one by one."""
    limit = ring.damp_limit
    if limit is None or ring.damper.value == "none":
        return
    for row in _rows(chair, limit.value):
        if len(row) >= fewest_notes:
            rate = (len(row) - 1) / chair.seconds(row[0].onset, row[-1].onset)
            values = {"count_notes": len(row), "rate": round(rate, 1), "limit": f"{limit.value:g}"}
            yield Hit(at=tuple(row), values=values, rests_on=(limit,))


def _rows(chair: Chair, limit: float) -> Iterator[list[Tone]]:
    """Short notes in a row, each sooner after the one before than `limit` a second."""
    row: list[Tone] = []
    for group in onsets(chair.tones):
        short = any(tone.has(*SHORT) for tone in group)
        if row and not (short and chair.seconds(row[-1].onset, group[0].onset) * limit < 1):
            yield row
            row = []
        if short:
            row.append(group[0])
    if row:
        yield row
