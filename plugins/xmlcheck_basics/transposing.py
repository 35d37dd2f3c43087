"""What the transposition rules share: the usual convention, and whether a part says anything about its transposition."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Convention, Reading


def usual(reading: Reading) -> Convention | None:
    """The convention to assume where the file is silent, if it transposes by more than octaves."""
    convention = next((item for item in reading.conventions if item.usual), None)
    return convention if convention is not None and convention.chromatic % 12 else None


def silent(chair: Chair) -> bool:
    """Whether the file could say how the part transposes and does not: no <transpose>, no concert score, no disclaimer."""
    score = chair.facts.score
    given = any(not item.for_part for item in chair.part.transposes)
    return not given and not score.concert and "transpose" not in score.absent and bool(chair.tones)


def first_fifths(chair: Chair) -> int | None:
    """The part's first key signature in fifths, sharps positive; None where it has none."""
    return next((key.fifths for key in chair.part.keys if key.fifths is not None), None)
