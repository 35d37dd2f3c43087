"""Ornaments that a keyboard player played in and the export wrote out."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from xmlcheck.plugin import Chair, Hit, Hits, Profile, Tone, rule
from xmlcheck_export.ornaments import figures
from xmlcheck_export.values import told


@rule
def ornament_written(chair: Chair, profile: Profile, as_written: str = "orchestra") -> Hits:
    """One hit for each figure, in parts of traditions other than `as_written` (with commas between), whose players ornament."""
    if profile.tradition in {item.strip() for item in as_written.split(",")}:
        return
    resolution = chair.facts.score.resolution
    for line in chair.lines:
        for kind, figure, main in figures(line, resolution):
            values = {"kind": kind, "plain": _plain(figure, main, resolution), "heads_count": len(figure)}
            yield Hit(at=tuple(figure), values=values)


def _plain(figure: Sequence[Tone], main: Tone, resolution: int) -> str:
    """The main note, as long as figure and note together, in quarter notes."""
    end = max(main.end, max(tone.end for tone in figure))
    return f"{main.written.name} {told(Fraction(end - min(figure[0].onset, main.onset), resolution))}"
