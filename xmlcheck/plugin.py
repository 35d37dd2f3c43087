"""All that a plugin may import: what rules are made of, the views they ask for, values and pitches.

A name is fetched from its home when it is imported, so that types of facets, which say nothing but values, load no more.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xmlcheck.cited import Cited, Vouched, weakest
    from xmlcheck.errors import BadPlugin
    from xmlcheck.facets import (
        Breath,
        Compass,
        Convention,
        Ensemble,
        Foreign,
        Polyphony,
        Reading,
        Session,
        Technique,
        Techniques,
    )
    from xmlcheck.facts.chair import Chair, ScoreFacts
    from xmlcheck.facts.hairpins import growing_hairpins
    from xmlcheck.facts.in_force import inside, later, latest, within
    from xmlcheck.facts.sonorities import Sonority
    from xmlcheck.facts.techniques import Span, Wording, covering, folded, mentions, says, spans
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

_HOMES = {
    "cited": "Cited Vouched weakest",
    "errors": "BadPlugin",
    "facets": "Breath Compass Convention Ensemble Foreign Polyphony Reading Session Technique Techniques",
    "facts.chair": "Chair ScoreFacts",
    "facts.hairpins": "growing_hairpins",
    "facts.in_force": "inside later latest within",
    "facts.sonorities": "Sonority",
    "facts.techniques": "Span Wording covering folded mentions says spans",
    "facts.tones": "Tone",
    "finding": "Certainty Grade Place Plan PlanLine",
    "folder": "Offer offer",
    "hookspecs": "hookimpl",
    "identify": "Match",
    "model": "CHORD CUE GRACE HIDDEN SILENT SMALL TIE_START TIE_STOP Barline Clef "
    "Direction Key Mark Measure Note Notice Part Rest Time Transpose Tuning",
    "pitch": "Pitch pitch",
    "profile": "Profile",
    "rule": "Card Derived Hit Hits Placed Rule derived rule",
    "siblings": "Before Siblings",
}
"""Module to the names that it is home to; a name is added here, above and below. The name `pitch` is `xmlcheck.pitch.parse`."""
_HOME = {name: home for home, names in _HOMES.items() for name in names.split()}

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
    "covering",
    "derived",
    "folded",
    "growing_hairpins",
    "hookimpl",
    "inside",
    "later",
    "latest",
    "mentions",
    "offer",
    "pitch",
    "rule",
    "says",
    "spans",
    "weakest",
    "within",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'xmlcheck.plugin' has no attribute {name!r}")
    value = getattr(import_module(f"xmlcheck.{_HOME[name]}"), "parse" if name == "pitch" else name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
