"""A prelay whose pitch standard nobody has written down."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, rule
from xmlcheck_ensemble.standard import named

PLAYED_BACK = ("tape", "prelay", "playback", "electronics", "click track")
"""What `known.toml` calls parts that are played back."""


@rule
def prelay_pitch(chair: Chair, match: Match, session_hz: float = 0.0) -> Hits:
    """One hit for a part that is played back beside others, where no pitch standard is named."""
    others = [other for other in chair.facts.chairs if other.part is not chair.part and other.notes]
    if match.known in PLAYED_BACK and chair.part.notes and others and not session_hz and named(chair.facts) is None:
        heading = chair.part.display_name or chair.part.name
        yield Hit(values={"heading": heading})
