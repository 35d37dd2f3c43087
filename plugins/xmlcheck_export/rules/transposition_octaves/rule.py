"""Transpositions that hold whole octaves in their semitones."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule


@rule
def transposition_octaves(score: ScoreFacts) -> Hits:
    """One hit for each <transpose> of twelve semitones or more without octave-change."""
    for part in score.score.parts:
        for given in part.transposes:
            if abs(given.chromatic) >= 12 and not given.octave:
                yield Hit(at=(given,), values={"chromatic": float(given.chromatic)}, part=part.id)
