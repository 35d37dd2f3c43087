"""A score without any dynamics."""

from xmlcheck.plugin import Hit, Hits, Part, ScoreFacts, rule, says

WORDS = ("piano", "pianissimo", "forte", "fortissimo", "mezzo", "cresc", "crescendo", "dim", "diminuendo", "decresc", "decrescendo",
         "sotto voce", "p", "pp", "f", "ff", "mf", "mp", "sfz", "fp")  # fmt: skip
"""Dynamics written as words (common practice, no source)."""


@rule
def no_dynamics(score: ScoreFacts, fewest_bars: int = 16) -> Hits:
    """One hit a score with at least `fewest_bars` bars of notes and no dynamics at all."""
    parts = [part for part in score.score.parts if part.notes]
    bars = len({note.measure for part in parts for note in part.notes})
    if bars < fewest_bars or any(_has_dynamics(part) for part in parts):
        return
    levels = {note.velocity for part in parts for note in part.notes if note.velocity is not None}
    yield Hit(part=parts[0].id, values={"bars": bars, "played": len(levels) if len(levels) > 1 else None})


def _has_dynamics(part: Part) -> bool:
    if any(note.has("dynamics") or any(mark.group == "dynamics" for mark in note.marks) for note in part.notes):
        return True
    for direction in part.directions:
        if any(mark.name in ("dynamics", "wedge") or mark.group == "dynamics" for mark in direction.marks):
            return True
        if direction.words and len(direction.words) < 40 and says(direction.words, WORDS):
            return True
    return False
