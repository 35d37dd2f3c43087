"""All that a plugin may import: what rules are made of, the views they ask for, values and pitches."""

from xmlcheck.cited import Cited, Vouched, weakest
from xmlcheck.errors import BadPlugin
from xmlcheck.facets import Breath, Compass, Convention, Ensemble, Foreign, Polyphony, Reading, Technique, Techniques
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.facts.sonorities import Sonority
from xmlcheck.facts.techniques import Span, Wording, folded, mentions, says, spans
from xmlcheck.facts.tones import Tone
from xmlcheck.finding import Certainty, Grade, Place, Plan, PlanLine
from xmlcheck.folder import Offer, offer
from xmlcheck.hookspecs import hookimpl
from xmlcheck.identify import Match
from xmlcheck.model import Direction, Mark, Note, Part, Rest
from xmlcheck.pitch import Pitch
from xmlcheck.pitch import parse as pitch
from xmlcheck.profile import Profile
from xmlcheck.rule import Card, Derived, Hit, Hits, Rule, derived, rule

__all__ = [
    "BadPlugin",
    "Breath",
    "Card",
    "Certainty",
    "Chair",
    "Cited",
    "Compass",
    "Convention",
    "Derived",
    "Direction",
    "Ensemble",
    "Foreign",
    "Grade",
    "Hit",
    "Hits",
    "Mark",
    "Match",
    "Note",
    "Offer",
    "Part",
    "Pitch",
    "Place",
    "Plan",
    "PlanLine",
    "Polyphony",
    "Profile",
    "Reading",
    "Rest",
    "Rule",
    "ScoreFacts",
    "Sonority",
    "Span",
    "Technique",
    "Techniques",
    "Tone",
    "Vouched",
    "Wording",
    "derived",
    "folded",
    "hookimpl",
    "mentions",
    "offer",
    "pitch",
    "rule",
    "says",
    "spans",
    "weakest",
]  # fmt: skip
