"""What stopped strings and the hand on them can do: the facets that bowed and plucked instruments share.

Five tables of a profile: `[strings]` what is strung and how it is tuned, `[fingerboard]` where the strings can be stopped,
`[hand]` how far one hand reaches, `[bow]` how a bow meets the strings (absent on plucked instruments), `[harmonics]` which
partials speak. State nothing that is not known: a rule that misses a value stays away.

Pitches are sounding pitches (middle C is C4), also for instruments that are written in another octave. Intervals are semitones;
a semitone may be a fraction. Lengths are millimetres, times are seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Certainty, Cited, Pitch

ROLES = ("melody", "open", "drone")
FRETS = ("none", "semitones", "cents")
HOLDS = ("free", "captive", "wheel")
BRIDGES = ("curved", "flat")


@dataclass(frozen=True, slots=True)
class Course:
    """One string, or one course of strings stopped together, in the usual tuning.

    pitch: the open string, sounding; of an octave course the string that the writing follows. also: the other pitches of the
    course where its strings are not in unison (an octave course: one). strings: how many strings make up the course.
    role: "melody" (open and stopped), "open" (never stopped: diapasons, the strings of a harp-lute) or "drone" (never stopped,
    and sounds along). highest: highest stop in semitones above the open string, where this course differs from
    `fingerboard.highest`. starts_at: semitones above the nut at which a short string begins (5 for the thumb string of a
    five-string banjo). words: what parts call it besides its letter ("IV", "G-Saite", "内").
    """

    pitch: Pitch
    also: tuple[Pitch, ...] = ()
    strings: int = 1
    role: str = "melody"
    highest: float | None = None
    starts_at: int = 0
    words: tuple[str, ...] = ()
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    def __post_init__(self) -> None:
        if self.role not in ROLES:
            raise BadPlugin(f"[[strings.courses]], role: one of {', '.join(ROLES)}, found {self.role!r}.")


@dataclass(frozen=True, slots=True)
class NamedTuning:
    """Another tuning in use, course by course in the order of `strings.courses`.

    pitches: one for each course; with more or fewer than there are courses they count from the treble side, and courses are
    added or left out on the bass side. common: players have it without the part saying so (a section in which some basses have a
    fifth string): notes that it gives are not reported. restring: needs other strings, so it is no retuning in a session.
    words: how parts name it. seconds: time to retune from the usual tuning.
    """

    id: str
    title: str
    pitches: tuple[Pitch, ...]
    common: bool = False
    restring: bool = False
    words: tuple[str, ...] = ()
    seconds: float | None = None
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Strings:
    """The strings and their tunings. courses: side by side as they lie, from the bass side to the treble side.

    The order is that of the places, not of the pitches: a re-entrant tuning lists the string that lies on the bass side first.
    String numbers of a part count from the other end (1 is the last course: MusicXML 4.0, element string). sympathetic: number
    of strings that only sound along, never stopped or struck by intent. retune_up, retune_down: semitones that players accept
    without other strings. retune_seconds: time to retune one course. numbering: "treble" (1 is the last course, as the standard
    has it) or "bass", where the tradition counts from the other side.
    """

    FACET: ClassVar[str] = "strings"
    OF_A_KIND: ClassVar[bool] = True
    courses: tuple[Course, ...]
    tunings: tuple[NamedTuning, ...] = ()
    sympathetic: Cited[int] | None = None
    retune_up: Cited[float] | None = None
    retune_down: Cited[float] | None = None
    retune_seconds: Cited[float] | None = None
    numbering: Cited[str] | None = None


@dataclass(frozen=True, slots=True)
class Fingerboard:
    """Where the strings can be stopped.

    frets: "none" (every pitch), "semitones" (a fret for each), or "cents" (frets, ridges or keys at the places in `cents`).
    highest: highest stop in semitones above the open string. scale_mm: sounding length of an open string, nut to bridge; without
    it nothing is said in millimetres and no reach or shift is checked. cents: fret places in cents above the open string, in
    rising order, for all courses alike. movable: frets are tied or bridged and can be set to other places before the take.
    bend_up, bend_down: semitones by which a stopped note is raised or lowered by pushing, pulling or pressing the string (or by
    a rod): pitches between the frets within it are made that way.
    """

    FACET: ClassVar[str] = "fingerboard"
    frets: Cited[str]
    highest: Cited[float]
    scale_mm: Cited[float] | None = None
    cents: Cited[tuple[int, ...]] | None = None
    movable: Cited[bool] | None = None
    bend_up: Cited[float] | None = None
    bend_down: Cited[float] | None = None

    def __post_init__(self) -> None:
        if self.frets.value not in FRETS:
            raise BadPlugin(f"[fingerboard], frets: one of {', '.join(FRETS)}, found {self.frets.value!r}.")
        if (self.frets.value == "cents") != (self.cents is not None):
            raise BadPlugin('[fingerboard]: the key cents goes with frets = "cents", and only with it.')


@dataclass(frozen=True, slots=True)
class Hand:
    """How far the stopping hand reaches from one place, given in one way: in semitones in lowest position, or in millimetres.

    fingers: fingers that stop, the thumb not counted. reach: from the first finger to the last without a shift. stretch: the
    widest that players are asked for in chords; beyond it nothing is written. Given in semitones they are measured in lowest
    position, the first finger a semitone above the nut (3 on a guitar: frets 1 to 4), and turned into millimetres with
    `fingerboard.scale_mm`: the hand covers more semitones up the neck by itself. thumb_from: semitones above the open string from
    which the thumb stops strings too (thumb position). barre: whether one finger stops several neighbouring courses at once.
    frame: where the hand stops all strings at one place together, as on spike fiddles, True; a chord there is an effect.
    """

    FACET: ClassVar[str] = "hand"
    fingers: Cited[int]
    reach_semitones: Cited[float] | None = None
    stretch_semitones: Cited[float] | None = None
    reach_mm: Cited[float] | None = None
    stretch_mm: Cited[float] | None = None
    thumb_from: Cited[float] | None = None
    barre: Cited[bool] | None = None
    frame: Cited[bool] | None = None


@dataclass(frozen=True, slots=True)
class Bow:
    """How the bow meets the strings; absent on instruments that are only plucked.

    hold: "free" (crosses all strings), "captive" (its hair runs between the strings) or "wheel" (a wheel bows all strings at
    once). bridge: "curved" or "flat". at_once: strings that it sustains together. loud: strings that it sounds together for a
    moment, loud. broken: strings of a chord broken from low to high.
    """

    FACET: ClassVar[str] = "bow"
    OF_A_KIND: ClassVar[bool] = True
    hold: Cited[str]
    bridge: Cited[str]
    at_once: Cited[int]
    loud: Cited[int] | None = None
    broken: Cited[int] | None = None

    def __post_init__(self) -> None:
        if self.hold.value not in HOLDS or self.bridge.value not in BRIDGES:
            raise BadPlugin(f"[bow]: hold is one of {', '.join(HOLDS)}; bridge is one of {', '.join(BRIDGES)}.")


@dataclass(frozen=True, slots=True)
class Harmonics:
    """Which harmonics players are asked for.

    natural: highest partial of the open string that speaks (2 is the octave). artificial: intervals in semitones between the
    stopped and the touched place that the hand spans (5 is the touched fourth); an empty list where there are none.
    """

    FACET: ClassVar[str] = "harmonics"
    natural: Cited[int]
    artificial: Cited[tuple[int, ...]] | None = None
