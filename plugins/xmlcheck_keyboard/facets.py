"""What hands, feet and bellows can do at keyboards and button boards.

Tables of a profile: `[keyboard]` keys, hands and how wide they open, by measured hands where such are published; `[pedals]` what
the feet do; `[switches]` registers (stops, reed ranks); `[buttons]` a left-hand board of bass notes and ready-made chords;
`[bellows]`. State nothing that is not known: a rule that misses a value stays away.

Pitches are sounding pitches at the plainest register (middle C is C4). Widths are millimetres, times seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Certainty, Cited, Pitch

BOARDS = ("chords", "free", "both")


@dataclass(frozen=True, slots=True)
class Measured:
    """Spans from thumb to little finger of a group of players, as measured: mean and spread (standard deviation) in mm."""

    id: str
    title: str
    mean_mm: float
    spread_mm: float
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Keyboard:
    """Keys under two hands.

    octave_mm: width of an octave of keys. reach_mm: what a hand has to span beyond the distance of the outer keys' middles, so
    that fingers lie on them. fingers: keys that one hand holds down together. at_once: keys struck together by both hands.
    widest_mm: the widest span that any hand is asked for. sustain: whether a pedal holds notes that the hands have left.
    one_key: strokes a second on one key. run: single notes a second, one after the other. manuals: keyboards above one another,
    where more than one.
    """

    FACET: ClassVar[str] = "keyboard"
    octave_mm: Cited[float]
    fingers: Cited[int]
    reach_mm: Cited[float] | None = None
    at_once: Cited[int] | None = None
    widest_mm: Cited[float] | None = None
    sustain: Cited[bool] | None = None
    one_key: Cited[float] | None = None
    run: Cited[float] | None = None
    manuals: Cited[int] | None = None
    hands: tuple[Measured, ...] = ()


@dataclass(frozen=True, slots=True)
class Foot:
    """One pedal: the words and signs that ask for it."""

    id: str
    title: str
    words: tuple[str, ...] = ()
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Pedals:
    """What the feet do. changes_limit: changes of one pedal a second that still come cleanly."""

    FACET: ClassVar[str] = "pedals"
    has: tuple[Foot, ...] = ()
    changes_limit: Cited[float] | None = None


@dataclass(frozen=True, slots=True)
class Switch:
    """One register: `octaves` that sound for each key, 0 at the written octave. words: how parts ask for it."""

    id: str
    title: str
    octaves: tuple[int, ...]
    words: tuple[str, ...] = ()
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Switches:
    """Registers. seconds: silence that a change takes unheard. by: what moves the switch: "hand", "chin" or "foot"."""

    FACET: ClassVar[str] = "switches"
    has: tuple[Switch, ...] = ()
    seconds: Cited[float] | None = None
    by: Cited[str] | None = None


@dataclass(frozen=True, slots=True)
class ReadyChord:
    """One kind of chord button: "major" with (0, 4, 7)."""

    id: str
    title: str
    semitones: tuple[int, ...]
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Buttons:
    """The left-hand board. board: "chords" (bass notes and ready chords), "free" (single notes), or "both" (it can be switched).

    chords: the ready chords as semitones above their root; their octave is the maker's. at_once: buttons pressed together.
    lowest, highest: ends of the free single notes.
    """

    FACET: ClassVar[str] = "buttons"
    board: Cited[str]
    at_once: Cited[int] | None = None
    lowest: Cited[Pitch] | None = None
    highest: Cited[Pitch] | None = None
    chords: tuple[ReadyChord, ...] = ()

    def __post_init__(self) -> None:
        if self.board.value not in BOARDS:
            raise BadPlugin(f"[buttons], board: one of {', '.join(BOARDS)}, found {self.board.value!r}.")


@dataclass(frozen=True, slots=True)
class Bellows:
    """One source of air for all that sounds. loud_seconds, soft_seconds: how long one direction lasts, full chords and single notes."""

    FACET: ClassVar[str] = "bellows"
    loud_seconds: Cited[float] | None = None
    soft_seconds: Cited[float] | None = None
