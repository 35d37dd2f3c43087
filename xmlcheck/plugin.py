"""All that a plugin may import: what rules are made of, the views they ask for, values and pitches."""

from xmlcheck.cited import Cited, Vouched, weakest
from xmlcheck.errors import BadPlugin
from xmlcheck.facets import Breath, Compass, Convention, Ensemble, Foreign, Polyphony, Reading, Session, Technique, Techniques
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.facts.hairpins import growing_hairpins
from xmlcheck.facts.sonorities import Sonority
from xmlcheck.facts.techniques import Span, Wording, folded, mentions, says, spans
from xmlcheck.facts.tones import Tone
from xmlcheck.finding import Certainty, Grade, Place, Plan, PlanLine
from xmlcheck.folder import Offer, offer
from xmlcheck.hookspecs import hookimpl
from xmlcheck.identify import Match
from xmlcheck.model import (
    CHORD,
    CUE,
    GRACE,
    HIDDEN,
    SILENT,
    SMALL,
    TIE_START,
    TIE_STOP,
    Barline,
    Clef,
    Direction,
    Key,
    Mark,
    Measure,
    Note,
    Notice,
    Part,
    Rest,
    Time,
    Transpose,
    Tuning,
)
from xmlcheck.pitch import Pitch
from xmlcheck.pitch import parse as pitch
from xmlcheck.profile import Profile
from xmlcheck.rule import Card, Derived, Hit, Hits, Placed, Rule, derived, rule
from xmlcheck.siblings import Before, Siblings

__all__ = [
    "CHORD",
    "CUE",
    "GRACE",
    "HIDDEN",
    "SILENT",
    "SMALL",
    "TIE_START",
    "TIE_STOP",
    "BadPlugin",
    "Barline",
    "Before",
    "Breath",
    "Card",
    "Certainty",
    "Chair",
    "Cited",
    "Clef",
    "Compass",
    "Convention",
    "Derived",
    "Direction",
    "Ensemble",
    "Foreign",
    "Grade",
    "Hit",
    "Hits",
    "Key",
    "Mark",
    "Match",
    "Measure",
    "Note",
    "Notice",
    "Offer",
    "Part",
    "Pitch",
    "Place",
    "Placed",
    "Plan",
    "PlanLine",
    "Polyphony",
    "Profile",
    "Reading",
    "Rest",
    "Rule",
    "ScoreFacts",
    "Session",
    "Siblings",
    "Sonority",
    "Span",
    "Technique",
    "Techniques",
    "Time",
    "Tone",
    "Transpose",
    "Tuning",
    "Vouched",
    "Wording",
    "derived",
    "folded",
    "growing_hairpins",
    "hookimpl",
    "mentions",
    "offer",
    "pitch",
    "rule",
    "says",
    "spans",
    "weakest",
]  # fmt: skip
