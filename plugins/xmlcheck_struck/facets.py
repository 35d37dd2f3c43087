"""What struck instruments can do: mallets and hands, how long a stroke rings, kettledrums, drums without pitch, fixed sets of bars.

Tables of a profile: `[mallets]` what is held and how far it opens; `[ring]` how long a struck note is heard and how it is stopped;
`[kettles]` drums that are tuned, one pitch at a time; `[strokes]` drums, cymbals and kits without pitch; `[bars]` bars or tongues
that are tuned by the maker and stay so. State nothing that is not known: a rule that misses a value stays away.

Pitches are sounding pitches (middle C is C4). Spans are semitones, times seconds, rates strokes a second.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Certainty, Cited, Pitch

DAMPERS = ("none", "hand", "pedal")


@dataclass(frozen=True, slots=True)
class MalletSpan:
    """How far two mallets in one hand open from `start` upward, up to where the next record starts; bars are wider below."""

    start: Pitch
    semitones: int
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Mallets:
    """What is held, and how fast it strikes.

    usual: mallets in both hands as a rule. at_once: most that players are asked to strike exactly together. most: the number
    beyond which nobody is known to go. hand_most: most in one hand. spans: how far two in one hand open. one_hand, both_hands:
    strokes a second at most, of one mallet and of two that alternate. comfortable: strokes a second of both hands that last.
    take_seconds: to lay mallets down and take others, or more.
    """

    FACET: ClassVar[str] = "mallets"
    at_once: Cited[int]
    most: Cited[int] | None = None
    usual: Cited[int] | None = None
    hand_most: Cited[int] | None = None
    one_hand: Cited[float] | None = None
    both_hands: Cited[float] | None = None
    comfortable: Cited[float] | None = None
    take_seconds: Cited[float] | None = None
    spans: tuple[MalletSpan, ...] = ()


@dataclass(frozen=True, slots=True)
class Ring:
    """How long a struck note is heard, and what stops it.

    low_seconds, high_seconds: how long a note is heard at the lowest and at the highest end of the compass, undamped. damper:
    "none" (it cannot be stopped, or need not be), "hand", or "pedal". damp_limit: notes a second that can be damped one by one.
    sustains: ids of the profile's techniques that make a long note last.
    """

    FACET: ClassVar[str] = "ring"
    damper: Cited[str]
    low_seconds: Cited[float] | None = None
    high_seconds: Cited[float] | None = None
    damp_limit: Cited[float] | None = None
    sustains: Cited[tuple[str, ...]] | None = None

    def __post_init__(self) -> None:
        if self.damper.value not in DAMPERS:
            raise BadPlugin(f"[ring], damper: one of {', '.join(DAMPERS)}, found {self.damper.value!r}.")


@dataclass(frozen=True, slots=True)
class Kettle:
    """One drum: what it is called, and the pitches that its head gives. usual: it belongs to the set that is at hand."""

    id: str
    title: str
    lowest: Pitch
    highest: Pitch
    usual: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Kettles:
    """Tuned drums, one pitch at a time, largest first.

    change_seconds: silence on a drum that a tuned change of pitch takes comfortably. change_least: seconds under which it is
    no change but a glissando. glissando: whether the pitch can be moved while it sounds (a pedal).
    """

    FACET: ClassVar[str] = "kettles"
    drums: tuple[Kettle, ...]
    change_seconds: Cited[float] | None = None
    change_least: Cited[float] | None = None
    glissando: Cited[bool] | None = None

    def __post_init__(self) -> None:
        if not any(drum.usual for drum in self.drums):
            raise BadPlugin("[kettles]: at least one of [[kettles.drums]] says usual = true.")

    @property
    def usual(self) -> tuple[Kettle, ...]:
        """The drums of the usual set, largest first."""
        return tuple(drum for drum in self.drums if drum.usual)


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing that is struck in a kit or set. words, sounds: names and standard sound ids of score-instruments that mean it.

    foot: it is played by a foot. both: it takes both hands (a pair of cymbals).
    """

    id: str
    title: str
    words: tuple[str, ...] = ()
    sounds: tuple[str, ...] = ()
    foot: bool = False
    both: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class NamedStroke:
    """One stroke of a hand drum: its name, the words and syllables that ask for it, whether it takes both hands."""

    id: str
    title: str
    words: tuple[str, ...] = ()
    native: str = ""
    both: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Instruments without pitch, played by hands, sticks and feet.

    hands, feet: sounds that hands make exactly together, and that feet make. pitched: whether a written pitch means a pitch.
    sticks: whether sticks or mallets are used. roll: whether a note can be rolled for as long as wanted. one_hand, both_hands:
    strokes a second at most. kinds: the strokes by name. pieces: what a kit is made of.
    """

    FACET: ClassVar[str] = "strokes"
    hands: Cited[int]
    feet: Cited[int] | None = None
    pitched: Cited[bool] | None = None
    sticks: Cited[bool] | None = None
    roll: Cited[bool] | None = None
    one_hand: Cited[float] | None = None
    both_hands: Cited[float] | None = None
    kinds: tuple[NamedStroke, ...] = ()
    pieces: tuple[Piece, ...] = ()


@dataclass(frozen=True, slots=True)
class BarTuning:
    """One tuning in which the instrument is made. semitones: steps above the lowest note of its octave, fractions where so tuned.

    pitches: all notes, where a set of fixed pitch is known; empty where makers differ.
    """

    id: str
    title: str
    semitones: tuple[float, ...] = ()
    pitches: tuple[Pitch, ...] = ()
    words: tuple[str, ...] = ()
    usual: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars or tongues tuned by the maker. degrees: different notes in an octave, at most. count: bars or tongues, at most.

    retuned: whether the player can tune them for a piece.
    """

    FACET: ClassVar[str] = "bars"
    degrees: Cited[int]
    count: Cited[int] | None = None
    retuned: Cited[bool] | None = None
    tunings: tuple[BarTuning, ...] = ()
