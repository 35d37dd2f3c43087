"""Slurs, hairpins, ottava and trill lines, glissandi and two-note tremolos of which one end is missing."""

from __future__ import annotations

from xmlcheck.plugin import Grade, Hit, Hits, ScoreFacts, rule
from xmlcheck_export.jumps import Jumps
from xmlcheck_export.spanners import CALLED, LINES, End, ends, unmatched

ASKED = ("octave-shift", "glissando", "slide", "tremolo")
"""Lines whose lost end changes what is played; the others are tidied."""


@rule
def line_unmatched(score: ScoreFacts) -> Hits:
    """One hit for each end without a partner. What begins or ends at a repeat or an ending has its partner elsewhere."""
    for part in score.score.parts:
        jumps = Jumps(part)
        for end in unmatched(ends(part, LINES)):
            if not _elsewhere(end, jumps):
                yield Hit(at=(end.at,), values=_values(end), part=part.id, group=end.kind, grade=_grade(end))


def _elsewhere(end: End, jumps: Jumps) -> bool:
    return jumps.leaves(end.at.measure) if end.starts else jumps.arrives(end.at.measure)


def _values(end: End) -> dict[str, str]:
    return {"line": CALLED[end.kind], "missing": "end" if end.starts else "beginning"}


def _grade(end: End) -> Grade | None:
    return None if end.kind in ASKED else Grade.TIDY
