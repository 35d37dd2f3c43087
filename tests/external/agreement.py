"""Compares two readings of a file note for note, and sorts what differs into classes that the standard decides.

A class is recognised by what stands in the file, never by the file's name. The element pages are those of MusicXML 4.0,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ ; told in our own words.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from xmlcheck.document import parse
from xmlcheck.model import Measure, Note, Part, Score
from xmlcheck.reader import read
from xmlcheck.source import from_bytes

from .music21_notes import Heard, Reading, exact, music21_notes

NOTE_CLASSES = {
    "sign-without-alter": "alter, accidental: `<alter>` is the sound, `<accidental>` the printed sign alone. A sharp sign without "
    "alter sounds natural here; music21 raises the note.",
    "chord-apart": "chord: a note with `<chord/>` sounds with the note before it, whatever stands between them (the suite's "
    "own case: a direction). music21 lets it follow in time.",
    "no-pitch": "note: one of pitch, unpitched and rest is required, and a duration. Without them we keep a note without pitch "
    "and take its length from its note value; music21 makes a middle C of no length.",
    "no-staff": "staff: a note of a part with several staves that gives no staff stands on the first. music21 puts it on each.",
    "unlisted-part": "score-part: each part is to be in the part-list. We read a part that is not, with a notice; music21 drops it.",
}
BAR_CLASSES = {
    "shared": "score-partwise, score-timewise: a measure is shared by all parts, so all have the barline at the same time. Where one "
    "part is written too short, too long or not at all, music21 moves its later bars away from the other parts.",
    "displaced": "offset: it moves the look of a direction; the music's place stays inside the bar. music21 makes the bar as long as "
    "the furthest displaced direction.",
    "zero-forward": "forward, duration: a duration of 0 moves nothing. music21 counts a quarter note.",
}
SIGNS = {"sharp": 100, "flat": -100, "natural": 0, "double-sharp": 200, "sharp-sharp": 200, "flat-flat": -200}


@dataclass
class Tally:
    """What a comparison found. notes and bars count what both or either reader has; of them `agreed` are equal in both."""

    files: int = 0
    notes: int = 0
    agreed: int = 0
    onsets: int = 0
    bars: int = 0
    bars_agreed: int = 0
    transposed: int = 0
    grace: int = 0
    classes: Counter[str] = field(default_factory=Counter)
    unexplained: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Adds another tally to this one."""
        for name in ("files", "notes", "agreed", "onsets", "bars", "bars_agreed", "transposed", "grace"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.classes.update(other.classes)
        self.unexplained += other.unexplained
        self.refused += other.refused

    def __str__(self) -> str:
        return (
            f"{self.files} files, {self.notes} notes ({self.transposed} transposed, {self.grace} grace): {self.agreed} agree in bar, onset "
            f"in the bar, duration and sounding pitch ({self.agreed / max(1, self.notes):.5%}), {self.onsets} in the onset from the "
            f"start of the piece too; {self.bars} bar lengths: {self.bars_agreed} agree; classes {dict(self.classes)}"
        )


def compare(name: str, data: bytes) -> Tally:
    """Reads the bytes with both readers and compares. `data` may be an .mxl."""
    source = from_bytes(data, name)
    document = parse(source)
    score = read(document)
    tally = Tally(files=1)
    try:
        theirs = music21_notes(source.data)
    except Exception as error:
        tally.refused.append(f"{name}: {type(error).__name__}")
        return tally
    elements = list(document.anchors())
    listed = {part.get("id", "") for part in document.root.iterfind("part-list/score-part")}
    remaining = iter(theirs)
    for part in score.parts:
        other = next(remaining, Reading()) if part.id in listed else Reading()
        if part.id not in listed:
            tally.notes += len(part.notes)
            tally.classes["unlisted-part"] += len(part.notes)
            continue
        _notes(name, part, other, score, elements, tally)
        _bars(name, part, other, score, elements, tally)
    if next(remaining, None) is not None:
        tally.unexplained.append(f"{name}: music21 has more parts")
    return tally


def heard(note: Note, part: Part, resolution: int) -> Heard:
    """One of our notes in quarter notes."""
    at = note.onset - part.measures[note.measure].onset
    cents = None if note.sounding is None else note.sounding.cents
    return Heard(note.measure, Fraction(at, resolution), Fraction(note.duration, resolution), cents)


def _notes(name: str, part: Part, other: Reading, score: Score, elements: list[etree._Element], tally: Tally) -> None:
    ours = [(heard(note, part, score.resolution), note) for note in part.notes]
    theirs = Counter(other.notes)
    equal = Counter(one for one, _ in ours) & theirs
    absolute = Counter(
        (Fraction(part.measures[one.bar].onset, score.resolution) + one.at, one.duration, one.cents) for one, _ in ours
    ) & Counter((other.starts[one.bar] + one.at, one.duration, one.cents) for one in other.notes)
    tally.notes += max(len(ours), len(other.notes))
    tally.agreed += equal.total()
    tally.onsets += absolute.total()
    tally.transposed += sum(1 for note in part.notes if note.written != note.sounding)
    tally.grace += sum(1 for note in part.notes if note.grace)
    left, spare = theirs - equal, Counter(equal)
    explained: Counter[int] = Counter()
    for one, note in ours:
        if spare[one]:
            spare[one] -= 1
            if _stray(elements[note.anchor], part) and left[one]:
                left[one] -= 1
                tally.classes["no-staff"] += 1
            continue
        kind = _note_class(one, note, elements[note.anchor], left)
        if kind:
            tally.classes[kind] += 1
            explained[one.bar] += 1
        else:
            tally.unexplained.append(f"{name} {part.id}: only here {one}")
    for one in left.elements():
        if explained[one.bar]:
            explained[one.bar] -= 1
        elif not (other_bar := next((bar for bar, count in explained.items() if count and abs(bar - one.bar) <= 1), None)):
            tally.unexplained.append(f"{name} {part.id}: only music21 {one}")
        else:
            explained[other_bar] -= 1


def _stray(element: etree._Element, part: Part) -> bool:
    return part.staves > 1 and element.find("staff") is None


def _note_class(one: Heard, note: Note, element: etree._Element, theirs: Counter[Heard]) -> str:
    if note.written is None and element.find("unpitched") is None:
        return "no-pitch"
    plain = note.written is not None and note.written.alter == 0 and one.cents is not None
    if plain and theirs[one._replace(cents=(one.cents or 0) + SIGNS.get(note.sign, 0))]:
        return "sign-without-alter"
    before = element.getprevious()
    if note.chord and before is not None and before.tag != "note":
        return "chord-apart"
    return ""


def _bars(name: str, part: Part, other: Reading, score: Score, elements: list[etree._Element], tally: Tally) -> None:
    """Compares bar lengths; the last bar has none in music21's terms."""
    for bar, start, end in zip(part.measures, other.starts, other.starts[1:], strict=False):
        theirs = end - start
        tally.bars += 1
        if theirs == Fraction(bar.length, score.resolution):
            tally.bars_agreed += 1
            continue
        kind = _bar_class(part, bar, theirs, score.resolution, elements)
        if kind:
            tally.classes[kind] += 1
        else:
            tally.unexplained.append(
                f"{name} {part.id} bar {bar.index}: {bar.length / score.resolution} here, {theirs} in music21"
            )


def _bar_class(part: Part, bar: Measure, theirs: Fraction, resolution: int, elements: list[etree._Element]) -> str:
    """Why a bar is longer or shorter in music21. Each class says how long it must then be there."""
    meter = next((time.quarters for time in reversed(part.times) if time.onset <= bar.onset and time.quarters), Fraction(4))
    own = Fraction(bar.filled, resolution) or meter
    furthest = max((one.onset - bar.onset for one in part.directions if one.measure == bar.index), default=0)
    if furthest > bar.filled and theirs == exact(Fraction(furthest, resolution)):
        return "displaced"
    if 0 < theirs - own <= 1 and any(_moves_nothing(one) for one in elements[bar.anchor].iterchildren("forward")):
        return "zero-forward"
    if theirs == own:
        return "shared"
    return ""


def _moves_nothing(element: etree._Element) -> bool:
    return Fraction(element.findtext("duration") or 0) == 0
