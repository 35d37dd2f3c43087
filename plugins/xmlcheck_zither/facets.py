"""What zithers, harps and hammered strings are tuned to, and how that can be changed.

Tables of a profile: `[string_set]` the strings and their named tunings; `[retuning]` movable bridges and pegs; `[levers]` levers
and mandals, one string each; `[harp_pedals]` one pedal for a letter in all octaves; `[pressing]` notes made by pressing a string;
`[picks]` what the plucking hands reach; `[hammers]`; `[ringing]`. State nothing that is not known: a rule that misses a value
stays away.

Pitches are sounding pitches (middle C is C4). Semitones may be fractions. Times are seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Certainty, Cited, Pitch

NAMINGS = ("numbers", "pitches")
KINDS = ("bridge", "peg")
OCTAVES = ("free", "custom", "forced")
HANDS = ("left", "right", "either", "both")
LETTERS = "CDEFGAB"


@dataclass(frozen=True, slots=True)
class NamedTuning:
    """One tuning in use. pitches: string 1 first, as players count (`StringSet.counted`); the order need not rise.

    words: how parts name it. usual: the one that players have where nothing is said. restring: needs other strings.
    """

    id: str
    title: str
    pitches: tuple[Pitch, ...]
    words: tuple[str, ...] = ()
    usual: bool = False
    restring: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class StringSet:
    """All strings (or courses) and what they are tuned to.

    counted: where players start to count, in words that are printed with every list of strings. naming: "numbers", or "pitches"
    where players call a string by its letter (harps, courses of a hammered zither). names: the players' own names, string 1
    first, where they are not numbers. missing: pitches within the compass that have no string and cannot be made. moved_down,
    moved_up: semitones by which a tuning is transposed as a whole before the take.
    """

    FACET: ClassVar[str] = "string_set"
    OF_A_KIND: ClassVar[bool] = True
    tunings: tuple[NamedTuning, ...]
    counted: Cited[str]
    naming: Cited[str] | None = None
    names: Cited[tuple[str, ...]] | None = None
    missing: Cited[tuple[Pitch, ...]] | None = None
    moved_down: Cited[float] | None = None
    moved_up: Cited[float] | None = None

    def __post_init__(self) -> None:
        if self.naming is not None and self.naming.value not in NAMINGS:
            raise BadPlugin(f"[string_set], naming: one of {', '.join(NAMINGS)}, found {self.naming.value!r}.")
        if not self.tunings or sum(tuning.usual for tuning in self.tunings) != 1:
            raise BadPlugin("[string_set]: exactly one of the tunings is the usual one.")
        if len({len(tuning.pitches) for tuning in self.tunings}) != 1:
            raise BadPlugin("[string_set]: all tunings have a pitch for each string.")

    @property
    def usual(self) -> NamedTuning:
        """The tuning that players have where the part says nothing."""
        return next(tuning for tuning in self.tunings if tuning.usual)

    @property
    def by_letter(self) -> bool:
        """Whether strings are called by letter and octave."""
        return self.naming is not None and self.naming.value == "pitches"


@dataclass(frozen=True, slots=True)
class Retuning:
    """How far an open string is set above or below its named tunings, and whether that can be done in the course of a cue.

    kind: "bridge" (moved along the string: its tension stays) or "peg" (the string is tightened or slackened). up, down:
    semitones that players grant. ask_up, ask_down: semitones that are possible and have to be asked for. step: the finest step
    that is set on purpose, in cents. in_cue: whether strings are retuned in the course of a cue. seconds: for one string, heard
    and corrected. hand: which one it needs. octaves: "custom" where the same degree is set alike in every octave unless agreed,
    "forced" where it cannot be otherwise, else "free".
    """

    FACET: ClassVar[str] = "retuning"
    OF_A_KIND: ClassVar[bool] = True
    kind: Cited[str]
    up: Cited[float]
    down: Cited[float]
    in_cue: Cited[bool]
    ask_up: Cited[float] | None = None
    ask_down: Cited[float] | None = None
    step: Cited[int] | None = None
    seconds: Cited[float] | None = None
    hand: Cited[str] | None = None
    octaves: Cited[str] | None = None

    def __post_init__(self) -> None:
        if self.kind.value not in KINDS:
            raise BadPlugin(f"[retuning], kind: one of {', '.join(KINDS)}, found {self.kind.value!r}.")
        if self.hand is not None and self.hand.value not in HANDS:
            raise BadPlugin(f"[retuning], hand: one of {', '.join(HANDS)}, found {self.hand.value!r}.")
        if self.octaves is not None and self.octaves.value not in OCTAVES:
            raise BadPlugin(f"[retuning], octaves: one of {', '.join(OCTAVES)}, found {self.octaves.value!r}.")


@dataclass(frozen=True, slots=True)
class Steps:
    """The positions of a letter's levers: cents above the natural note of that letter (C, D, E ...)."""

    letters: str
    cents: tuple[int, ...]
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    def __post_init__(self) -> None:
        if not self.letters or set(self.letters) - set(LETTERS):
            raise BadPlugin(f"[[levers.steps]], letters: of {LETTERS}, found {self.letters!r}.")


@dataclass(frozen=True, slots=True)
class Levers:
    """Levers that each change one string in one octave while the music goes on.

    rise: semitones by which the lever raises its string, where it has one position besides the open string (lever harp).
    steps: positions of each letter's levers, where there are several (mandal zither). tolerance: cents by which a position may
    miss the written pitch. hand: the one that moves a lever and does not play meanwhile. seconds: for one lever, from and back
    to the strings. fixed: strings without a lever, by their pitch.
    """

    FACET: ClassVar[str] = "levers"
    OF_A_KIND: ClassVar[bool] = True
    hand: Cited[str]
    rise: Cited[float] | None = None
    steps: tuple[Steps, ...] = ()
    tolerance: Cited[int] | None = None
    seconds: Cited[float] | None = None
    fixed: Cited[tuple[Pitch, ...]] | None = None

    def __post_init__(self) -> None:
        if (self.rise is None) == (not self.steps):
            raise BadPlugin("[levers]: either rise, or a list of steps for the letters.")


@dataclass(frozen=True, slots=True)
class Pedals:
    """Pedals that each set one letter in all octaves at once.

    positions: semitones against the natural letter, from low to high. left, right: the letters that each foot reaches.
    one_foot: changes a second with one foot. both_feet: changes a second with both. fixed: strings that no pedal reaches (tuned
    by hand before the piece), by the pitch of their natural letter.
    """

    FACET: ClassVar[str] = "harp_pedals"
    positions: Cited[tuple[int, ...]]
    left: Cited[str]
    right: Cited[str]
    one_foot: Cited[float] | None = None
    both_feet: Cited[float] | None = None
    fixed: Cited[tuple[Pitch, ...]] | None = None

    def __post_init__(self) -> None:
        if sorted(self.left.value + self.right.value) != sorted(LETTERS):
            raise BadPlugin("[harp_pedals]: left and right name each of the seven letters once.")


@dataclass(frozen=True, slots=True)
class Pressing:
    """Notes that the other hand makes by pressing (or pulling) the string beyond its bridge.

    up: semitones above the open string that players are asked for. limit: semitones that exist and have to be asked for. down:
    semitones below it, by pulling toward the bridge. at_once: strings pressed together. neighbours: whether those have to lie
    side by side. lowest, highest: first and last string number on which it works. seconds: from one pressed note to the next on
    another string. hand: the one that presses, and so does not pluck.
    """

    FACET: ClassVar[str] = "pressing"
    OF_A_KIND: ClassVar[bool] = True
    up: Cited[float]
    limit: Cited[float] | None = None
    down: Cited[float] | None = None
    at_once: Cited[int] | None = None
    neighbours: Cited[bool] | None = None
    lowest: Cited[int] | None = None
    highest: Cited[int] | None = None
    seconds: Cited[float] | None = None
    hand: Cited[str] | None = None


@dataclass(frozen=True, slots=True)
class Picks:
    """What the plucking hands take at one moment.

    right, left: notes struck together by each hand. span: strings from the first to the last that one hand covers, both
    counted. span_semitones: the same as an interval.
    """

    FACET: ClassVar[str] = "picks"
    OF_A_KIND: ClassVar[bool] = True
    right: Cited[int]
    left: Cited[int] | None = None
    span: Cited[int] | None = None
    span_semitones: Cited[float] | None = None


@dataclass(frozen=True, slots=True)
class Hammers:
    """at_once: notes struck together with two hammers. special, words: with double-headed or four hammers, and how parts ask
    for them."""

    FACET: ClassVar[str] = "hammers"
    at_once: Cited[int]
    special: Cited[int] | None = None
    words: Cited[tuple[str, ...]] | None = None


@dataclass(frozen=True, slots=True)
class Ringing:
    """How long a struck or plucked string sounds, and what keeps or stops it.

    decay_seconds: the longest that a note is heard. damping: what stops the strings, in words. sustains: ids of the profile's
    techniques that keep a note sounding (tremolo).
    """

    FACET: ClassVar[str] = "ringing"
    decay_seconds: Cited[float] | None = None
    damping: Cited[str] | None = None
    sustains: Cited[tuple[str, ...]] | None = None
