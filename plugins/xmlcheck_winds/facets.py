"""What blown instruments can do, whatever makes their sound: the facets that flutes, reeds, free reeds, brass and voices share.

Five tables of a profile: `[sizes]` the keys and lengths that players carry, `[fingering]` which notes come plainly, forked,
half-holed or not at all, `[registers]` how soft and loud each can be, `[tonguing]` how fast notes are repeated, `[blowing]` what
feeds the sound. The seconds of a breath are the universal table `[breath]`. State nothing that is not known: a rule that misses a
value stays away.

Pitches are sounding pitches (middle C is C4). Intervals are semitones; places in `[fingering]` are semitones above the lowest
fingered note (all holes or keys closed), so that one table serves every size. Times are seconds, rates are notes a second.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Certainty, Cited, Pitch

NAMED_BY = ("lowest", "tonic", "open", "length", "number", "transposition", "ahenk")
PARTS = ("sounding", "fingering")
CLASSES = ("open", "forked", "half", "keyed", "bent", "none")
DYNAMICS = ("ppp", "pp", "p", "mp", "mf", "f", "ff", "fff")
MICROTONES = ("none", "slow", "fingered", "free")
SOURCES = ("breath", "both-ways", "bag", "bellows")
TRILLS = ("none", "slow")


def one_of(where: str, value: str, known: tuple[str, ...]) -> None:
    """Raises BadPlugin, naming the key, where a word is none of those known."""
    if value not in known:
        raise BadPlugin(f"{where}: one of {', '.join(known)}, found {value!r}.")


@dataclass(frozen=True, slots=True)
class Size:
    """One key or length of the instrument that players carry.

    title: how a part names it by the instrument's own custom ("dizi 1=G", "whistle in D", "shakuhachi 1.8"). lowest: the note
    with all holes or keys closed. below: semitones under it that are had by lip, head or a knee, as an effect. highest: top that
    players are asked for; extreme: top of the few. words: what else names it in headings and words ("1=G", "G调", "低音D").
    key: the letter that the custom calls it by, alone ("G"), empty where it has none. usual: the one to assume where a part
    names none. ordered: not carried as a matter of course; to be asked for beforehand. reading: id of the reading convention
    that belongs to it, where parts are written by fingering. length_mm: length of the tube.
    """

    id: str
    title: str
    lowest: Pitch
    highest: Pitch | None = None
    extreme: Pitch | None = None
    below: int = 0
    key: str = ""
    words: tuple[str, ...] = ()
    usual: bool = False
    ordered: bool = False
    reading: str = ""
    length_mm: float | None = None
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Sizes:
    """The sizes that players carry, and what their names mean.

    named_by: what the name of a size tells: "lowest" (the note with all holes closed), "tonic" (the do of its home key), "open"
    (the first open hole), "length", "number", "transposition" or "ahenk". written: "sounding" (parts are at pitch, or off by
    octaves, whatever the size) or "fingering" (every size reads the same notes, so that the size decides what sounds).
    change_seconds: time to lay one down and take another, ready to play. home: semitones of the home scale above the lowest note.
    """

    FACET: ClassVar[str] = "sizes"
    OF_A_KIND: ClassVar[bool] = True
    carried: tuple[Size, ...]
    named_by: Cited[str]
    written: Cited[str] | None = None
    change_seconds: Cited[float] | None = None
    home: Cited[tuple[int, ...]] | None = None

    def __post_init__(self) -> None:
        one_of("[sizes], named_by", self.named_by.value, NAMED_BY)
        if self.written is not None:
            one_of("[sizes], written", self.written.value, PARTS)
        if sum(size.usual for size in self.carried) != 1:
            raise BadPlugin("[sizes]: exactly one of [[sizes.carried]] says usual = true.")


@dataclass(frozen=True, slots=True)
class Row:
    """How successive semitones are fingered, from `start` semitones above the lowest note on.

    classes: "open" (plain: covered and open holes only), "forked" (cross-fingered), "half" (a half-covered hole), "keyed" (a key
    that the plain scale does not use), "bent" (lip or head makes the pitch, as meri), "none" (the instrument has not got it).
    again: the row, of twelve classes, goes on in the same way each octave, up to the top; a shorter row that begins higher is an
    exception in it.
    """

    start: int
    classes: tuple[str, ...]
    again: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    def __post_init__(self) -> None:
        for name in self.classes:
            one_of("[[fingering.rows]], classes", name, CLASSES)
        if not self.classes or (self.again and len(self.classes) != 12):
            raise BadPlugin("[[fingering.rows]], classes: at least one; a row that goes on (again) has twelve.")


@dataclass(frozen=True, slots=True)
class Break:
    """A place where neighbouring notes are fingered far apart: between `above` and the semitone over it.

    limit: crossings a second that still come cleanly. trill: whether a trill or tremolo across it is played.
    """

    above: int
    title: str
    limit: float | None = None
    trill: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Trill:
    """A trill that has no fingering (how = "none") or a slow, awkward one ("slow").

    lower, upper: its two notes, in semitones above the lowest.
    """

    lower: int
    upper: int
    how: str = "none"
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    def __post_init__(self) -> None:
        one_of("[[fingering.trills]], how", self.how, TRILLS)


@dataclass(frozen=True, slots=True)
class Fingering:
    """How notes are made on the usual size; semitones above its lowest note, the same on all sizes.

    rows: fingering classes. forked_limit, half_limit, keyed_limit, bent_limit: notes a second up to which a line holds such notes.
    limit: notes a second of any slurred line. breaks, trills: where neighbouring notes are far apart. overblows: interval of the
    second register (12 an octave, 19 a twelfth), 0 where there is none. microtones: "none", "slow" (by partial holes or lip, on
    long notes), "fingered" (special fingerings) or "free" (as fast as others). bend_up, bend_down: semitones by lip or head.
    slide: widest glissando without steps, in semitones; 0 where there is none. trill_limit: notes a second of a trill (told on the
    page of the instrument; files do not write how fast a trill is).
    """

    FACET: ClassVar[str] = "fingering"
    rows: tuple[Row, ...] = ()
    forked_limit: Cited[float] | None = None
    half_limit: Cited[float] | None = None
    keyed_limit: Cited[float] | None = None
    bent_limit: Cited[float] | None = None
    limit: Cited[float] | None = None
    breaks: tuple[Break, ...] = ()
    trills: tuple[Trill, ...] = ()
    trill_limit: Cited[float] | None = None
    overblows: Cited[int] | None = None
    microtones: Cited[str] | None = None
    bend_up: Cited[float] | None = None
    bend_down: Cited[float] | None = None
    slide: Cited[float] | None = None

    def __post_init__(self) -> None:
        if self.microtones is not None:
            one_of("[fingering], microtones", self.microtones.value, MICROTONES)


@dataclass(frozen=True, slots=True)
class Register:
    """A stretch of the compass on the usual size, and the dynamics that it gives.

    softest, loudest: dynamic marks beyond which nothing changes or the note fails ("mp", "ff"); None where nothing is known.
    slow: notes speak slowly. tongued: False where notes are not tongued there.
    """

    id: str
    title: str
    lowest: Pitch
    highest: Pitch
    softest: str | None = None
    loudest: str | None = None
    slow: bool = False
    tongued: bool = True
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    def __post_init__(self) -> None:
        for key in ("softest", "loudest"):
            if getattr(self, key) is not None:
                one_of(f"[[registers.bands]], {key}", getattr(self, key), DYNAMICS)


@dataclass(frozen=True, slots=True)
class Registers:
    """The registers from low to high; where two hold a note the first does, so that an exception stands before its neighbours.

    They move with the size: where a part asks for a size a fourth higher, so are they.
    """

    FACET: ClassVar[str] = "registers"
    bands: tuple[Register, ...]


@dataclass(frozen=True, slots=True)
class Tonguing:
    """How fast notes are articulated, in notes a second: comfortable for long stretches, limit at most.

    single, multiple: with one stroke of the tongue; with double or triple tonguing, absent where that is not played. tongued:
    False where players do not tongue by tradition and separate equal notes by a finger stroke. multiple_highest: top note for
    double and triple tonguing.
    """

    FACET: ClassVar[str] = "tonguing"
    single_comfortable: Cited[float] | None = None
    single_limit: Cited[float] | None = None
    multiple_limit: Cited[float] | None = None
    multiple_highest: Cited[Pitch] | None = None
    tongued: Cited[bool] | None = None


@dataclass(frozen=True, slots=True)
class Blowing:
    """What feeds the sound, and how long it takes to fill up again.

    source: "breath" (sounds while the player breathes out), "both-ways" (free reeds that sound in and out), "bag" or "bellows".
    inhale_seconds: a full breath. catch_seconds: the shortest rest in which a breath is caught. start_seconds, stop_seconds: to
    strike up and cut off a bag. side_seconds: one direction of breath or bellows, before it turns with a small bump.
    """

    FACET: ClassVar[str] = "blowing"
    source: Cited[str]
    inhale_seconds: Cited[float] | None = None
    catch_seconds: Cited[float] | None = None
    side_seconds: Cited[float] | None = None
    start_seconds: Cited[float] | None = None
    stop_seconds: Cited[float] | None = None

    def __post_init__(self) -> None:
        one_of("[blowing], source", self.source.value, SOURCES)
