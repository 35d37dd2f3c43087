"""A prelay whose pitch standard nobody has written down."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, Part, ScoreFacts, rule
from xmlcheck_ensemble.standard import named

PLAYED_BACK = ("tape", "prelay", "playback", "electronics", "click track")
"""What `known.toml` calls parts that are played back."""


@rule
def prelay_pitch(chair: Chair, match: Match, session_hz: float = 0.0) -> Hits:
    """One hit for a part that is played back beside others, where no pitch standard is named."""
    if match.known not in PLAYED_BACK or not chair.part.notes or session_hz:
        return
    others = any(part is not chair.part for part in chair.facts.once(_playing))
    if others and chair.facts.once(named) is None:
        heading = chair.part.display_name or chair.part.name
        yield Hit(values={"heading": heading})


def _playing(score: ScoreFacts) -> list[Part]:
    """The parts in which any chair has notes."""
    return [part for part in score.score.parts if any(chair.notes for chair in score.chairs_of(part))]
