"""The score as frozen values: music notation without XML and without instruments.

Times are ticks from the start of the part (`Score.resolution` ticks a quarter note), in written order: repeats are not
unfolded here. An `anchor` is the ordinal of an element among those whose byte offset the document records, so that a finding
can be written back at that very place; -1 where there is none. Pitches are `pitch.Pitch`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from xmlcheck.mark import Harmonic as Harmonic
from xmlcheck.mark import Mark as Mark
from xmlcheck.notice import Notice as Notice
from xmlcheck.pitch import Pitch

CHORD, GRACE, CUE, HIDDEN, SILENT, SMALL, OPTIONAL, TIE_START, TIE_STOP, SHAPED = (1 << n for n in range(10))
"""Bits of `Note.flags`. HIDDEN: print-object="no". SILENT: sounds nothing by attack/release, by notehead "none" with
print-object="no", or as the second writing on an alternate staff. CUE: <cue/>, or on a cue staff. SMALL: cue or grace-cue
size without <cue/>. OPTIONAL: parenthesised head, ossia or editorial staff. SHAPED: slash, x or box notation, where the head
is no exact pitch."""


@dataclass(frozen=True, slots=True)
class Note:
    """One notehead. `written` is the file's <pitch>; `sounding` adds <transpose> (octave clefs and ottava lines add nothing).

    `doubled` is the second sounding pitch where the transposition has <double>. Unpitched notes have neither, and
    `display` tells their staff position. A grace note has duration 0 and stands at the onset of the note it belongs to.
    `velocity` is note/@dynamics, percent of a MIDI velocity of 90.
    """

    onset: int
    duration: int
    measure: int  # index in Part.measures
    anchor: int
    voice: str
    staff: int
    written: Pitch | None
    sounding: Pitch | None
    flags: int = 0
    marks: tuple[Mark, ...] = ()
    type: str = ""
    dots: int = 0
    ratio: tuple[int, int] | None = None  # time-modification: actual, normal notes
    sign: str = ""  # the printed accidental
    notehead: str = ""
    instruments: tuple[str, ...] = ()  # ids of score-instruments
    harmonic: Harmonic | None = None
    doubled: Pitch | None = None
    display: Pitch | None = None
    velocity: Decimal | None = None
    lyrics: int = 0

    @property
    def end(self) -> int:
        return self.onset + self.duration

    @property
    def chord(self) -> bool:
        return bool(self.flags & CHORD)

    @property
    def grace(self) -> bool:
        return bool(self.flags & GRACE)

    @property
    def cue(self) -> bool:
        return bool(self.flags & CUE)

    @property
    def hidden(self) -> bool:
        return bool(self.flags & HIDDEN)

    @property
    def tie_start(self) -> bool:
        return bool(self.flags & TIE_START)

    @property
    def tie_stop(self) -> bool:
        return bool(self.flags & TIE_STOP)

    @property
    def unpitched(self) -> bool:
        return self.written is None

    def __hash__(self) -> int:  # equal notes are equal here too; all their fields would cost twenty times as much
        return hash((self.onset, self.anchor))

    def has(self, *names: str) -> bool:
        """Whether a mark of one of these element names stands on the note."""
        return bool(self.marks) and any(mark.name in names for mark in self.marks)  # most have none: no generator for those

    def tied(self, kind: str) -> bool:
        """Whether a tie is drawn here that is a start, a stop or a let-ring."""
        return bool(self.marks) and any(mark.name == "tied" and mark.type == kind for mark in self.marks)

    def named(self, name: str) -> tuple[Mark, ...]:
        """The marks of this element name."""
        return tuple(mark for mark in self.marks if mark.name == name)


@dataclass(frozen=True, slots=True)
class Rest:
    """A rest. whole_measure: rest measure="yes". hidden: print-object="no" (spacing, or a silence nobody sees)."""

    onset: int
    duration: int
    measure: int
    anchor: int
    voice: str
    staff: int
    hidden: bool = False
    whole_measure: bool = False
    marks: tuple[Mark, ...] = ()
    type: str = ""
    dots: int = 0
    cue: bool = False

    @property
    def end(self) -> int:
        return self.onset + self.duration


@dataclass(frozen=True, slots=True)
class InstrumentChange:
    """<instrument-change>: from here the score-instrument `id` is played; `sound` is its instrument-sound where given.

    ensemble: "" where not given, "solo", or the text of <ensemble>.
    """

    id: str
    sound: str = ""
    ensemble: str = ""


@dataclass(frozen=True, slots=True)
class Sound:
    """Playback data of a <sound> element: attributes by name, tempo in quarter notes a minute, mute or other <play> items."""

    tempo: Decimal | None = None
    attributes: tuple[tuple[str, str], ...] = ()
    changes: tuple[InstrumentChange, ...] = ()
    plays: tuple[tuple[str, str], ...] = ()  # ("id", "P1-I2"), ("mute", "straight"), ("midi-program", "41"), ("swing", "2:1")

    def get(self, key: str) -> str:
        """An attribute's text, or the empty text."""
        return next((value for name, value in self.attributes if name == key), "")


@dataclass(frozen=True, slots=True)
class Direction:
    """Words, dynamics, hairpins, pedals, ottava lines, rehearsal marks, metronome marks ... at one place.

    onset: place with its offset; position: place in the document. staff 0 and voice "" where the file gives none.
    sound_at: where its <sound> takes effect: `position`, unless offset/@sound or an offset of the <sound> says otherwise.
    words: all <words> of the direction, joined by blanks, white space folded.
    A bare <sound> in a measure is a Direction without marks; a chord symbol and a new part name are Directions too.
    """

    onset: int
    position: int
    measure: int
    anchor: int
    marks: tuple[Mark, ...]
    staff: int = 0
    voice: str = ""
    placement: str = ""
    sound: Sound | None = None
    sound_at: int = 0
    words: str = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        spoken = [mark.value for mark in self.marks if mark.name == "words"]
        object.__setattr__(self, "words", " ".join(" ".join(spoken).split()) if spoken else "")

    def named(self, name: str) -> tuple[Mark, ...]:
        """The marks of this element name."""
        return tuple(mark for mark in self.marks if mark.name == name)


@dataclass(frozen=True, slots=True)
class Key:
    """A key signature as written. fifths is None for a non-traditional key, whose `alters` are (step, semitones, sign)."""

    onset: int
    measure: int
    anchor: int
    staff: int  # 0: all staves
    fifths: int | None
    mode: str = ""
    alters: tuple[tuple[str, Decimal, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Time:
    """A time signature: pairs of (beats text, beat type); empty for senza misura. `quarters` is one bar's length."""

    onset: int
    measure: int
    anchor: int
    staff: int
    beats: tuple[tuple[str, int], ...]
    quarters: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Clef:
    """A clef. octave: clef-octave-change, which moves the staff position only, never the pitch."""

    onset: int
    measure: int
    anchor: int
    staff: int
    sign: str
    line: int
    octave: int = 0


@dataclass(frozen=True, slots=True)
class Transpose:
    """<transpose>, or <for-part> in a concert score: what to add to written to get sounding.

    chromatic: semitones, octaves apart. diatonic: letter steps, None where absent. octave: octaves.
    doubled: "below" or "above" for <double>. for_part: how the player's part is written, no change of sound here;
    part_clef: that part's clef (sign, line, octave change) where given.
    """

    onset: int
    measure: int
    anchor: int
    staff: int
    chromatic: Decimal
    diatonic: int | None = None
    octave: int = 0
    doubled: str = ""
    for_part: bool = False
    part_clef: tuple[str, int, int] | None = None

    @property
    def semitones(self) -> Decimal:
        return self.chromatic + 12 * self.octave


@dataclass(frozen=True, slots=True)
class Tuning:
    """<staff-details> tuning, capo or a <scordatura>: strings as (number, pitch).

    Strings count from the highest down (1 is the highest), as <string> and <accord> do, where `by_line` is false; staff lines
    count from the lowest up where it is true (staff-tuning/@line). lines: staff lines, 0 where not given. staff_type: ossia,
    editorial, cue, alternate, regular, or "".
    """

    onset: int
    measure: int
    anchor: int
    staff: int
    strings: tuple[tuple[int, Pitch], ...]
    by_line: bool
    capo: int = 0
    lines: int = 0
    staff_type: str = ""


@dataclass(frozen=True, slots=True)
class MeasureStyle:
    """multiple-rest, measure-repeat, beat-repeat or slash, with its type (start, stop) and count."""

    onset: int
    measure: int
    anchor: int
    staff: int
    name: str
    type: str = ""
    count: int = 0


@dataclass(frozen=True, slots=True)
class Barline:
    """A barline with what it does: repeat direction and times, ending numbers and type, segno, coda, fermata, style."""

    onset: int
    measure: int
    anchor: int
    location: str = "right"
    style: str = ""
    repeat: str = ""
    times: int = 2
    ending: tuple[str, str] = ("", "")  # numbers text, type
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Measure:
    """One bar of one part. number: the file's token; text: what is shown (@text, else @number).

    length: ticks to the next barline, the same in all parts: as far as they are filled, not as the time signature says (what
    spills over in one part, rests and empty bars aside: reader/lengths.py). filled: ticks to the furthest point written here.
    non_controlling: its barlines need not meet those of other parts; a part that has such bars keeps its own lengths.
    """

    index: int
    number: str
    text: str
    onset: int
    length: int
    anchor: int
    implicit: bool = False
    filled: int = 0
    non_controlling: bool = False


@dataclass(frozen=True, slots=True)
class ScoreInstrument:
    """One score-instrument of a part: name, standard sound id, player count, MIDI program (1-based as in the file)."""

    id: str
    name: str = ""
    abbreviation: str = ""
    sound: str = ""
    program: int | None = None
    unpitched: int | None = None
    channel: int | None = None
    ensemble: str = ""  # "" unknown, "solo", or the text of <ensemble>


@dataclass(frozen=True, slots=True)
class Part:
    """One part in written order. All event tuples are sorted by onset, then document order.

    groups: names of the part-groups around it, outermost first. editions: texts of its <group> elements ("score", "parts").
    links: addresses of the part documents that belong to it (part-link). fields: miscellaneous-field name, text.
    """

    id: str
    name: str
    display_name: str = ""
    abbreviation: str = ""
    display_abbreviation: str = ""
    instruments: tuple[ScoreInstrument, ...] = ()
    groups: tuple[str, ...] = ()
    measures: tuple[Measure, ...] = ()
    notes: tuple[Note, ...] = ()
    rests: tuple[Rest, ...] = ()
    directions: tuple[Direction, ...] = ()
    keys: tuple[Key, ...] = ()
    times: tuple[Time, ...] = ()
    clefs: tuple[Clef, ...] = ()
    transposes: tuple[Transpose, ...] = ()
    tunings: tuple[Tuning, ...] = ()
    styles: tuple[MeasureStyle, ...] = ()
    barlines: tuple[Barline, ...] = ()
    staves: int = 1
    voiced_directions: bool = False  # whether this file gives its directions a <voice>
    editions: tuple[str, ...] = ()
    links: tuple[str, ...] = ()
    fields: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Score:
    """A whole file. concert: <concert-score/>. absent: elements whose absence means nothing (<supports type="no">)."""

    parts: tuple[Part, ...]
    resolution: int
    title: str = ""
    version: str = "1.0"
    concert: bool = False
    absent: frozenset[str] = frozenset()
    timewise: bool = False
    fields: tuple[tuple[str, str], ...] = ()  # miscellaneous-field name, text
    words_size: float | None = None  # defaults/word-font size in points
    notices: tuple[Notice, ...] = ()
