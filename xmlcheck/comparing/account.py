"""Whether each note of a sketch is found in some part of the score that was made of it.

Redistribution is no fault: a note may be in any part, in several, and in another octave, which is told. Only the time and the
sounding pitch count. A cue that was moved as a whole by one interval is told once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from xmlcheck.comparing import telling
from xmlcheck.comparing.headers import called
from xmlcheck.comparing.moments import Moments, grain, grid, tolerance
from xmlcheck.comparing.revision import Revision
from xmlcheck.comparing.spots import Spots
from xmlcheck.facts.tones import Tone, tones
from xmlcheck.finding import Report
from xmlcheck.model import Part, Score
from xmlcheck.pitch import parse

NEARBY = 1
"""Quarter notes within which a note of the same pitch counts as moved, not as left out (ours)."""
TRIGGERS = "triggers"
"""Kind of the plan that names the trigger notes of a sketch."""
FOUND, OCTAVE, MOVED, OUT = "found", "octave", "moved", "left out"


@dataclass(frozen=True, slots=True)
class Entry:
    """One note of the sketch. fate: found, octave, moved or left out. parts: names of the parts that have it. octaves: how many
    octaves higher it is there. at: place in the sketch."""

    part: str
    bar: str
    beat: str
    sounding: str
    fate: str
    parts: tuple[str, ...] = ()
    octaves: int = 0
    now: str = ""


@dataclass(frozen=True, slots=True)
class Accounting:
    """notes: of the sketch, triggers left out. found, octave, moved, left_out: how many. doubled: found in several parts.

    cents: by how much the whole cue was transposed. added: notes of the score that are none of the sketch's, in no octave.
    entries: notes that were not simply found. triggers: trigger notes that arrived in the score, with the part they arrived in.
    """

    notes: int
    found: int
    octave: int
    moved: int
    left_out: int
    doubled: int
    added: int
    cents: int
    told: str
    entries: tuple[Entry, ...]
    triggers: tuple[Entry, ...]

    @property
    def complete(self) -> bool:
        """Whether every note has arrived in its place and no trigger note has."""
        return not (self.left_out or self.moved or self.triggers)


@dataclass(frozen=True, slots=True)
class _Note:
    at: int
    end: int
    cents: int
    part: int
    tone: Tone


def account(sketch: Revision, score: Revision, report: Report | None = None) -> Accounting:
    """Accounts for every note of the sketch. report: of the sketch; its trigger notes are then no music and must not arrive."""
    common = grid(sketch.score.resolution, score.score.resolution)
    slack = tolerance(sketch.score.resolution, score.score.resolution, common)
    rounds = grain(sketch.score.resolution, score.score.resolution)
    theirs = _notes(score.score, Moments(score.score.resolution, rounds, common))
    mine = _notes(sketch.score, Moments(sketch.score.resolution, rounds, common))
    triggers = _triggers(sketch.score, report)
    switches = [note for note in mine if (note.part, note.cents) in triggers]
    music = [note for note in mine if (note.part, note.cents) not in triggers]
    places = _Places(theirs, slack, common * NEARBY)
    cents = _transposition(music, places)
    places.wanted = frozenset((note.at, note.cents + cents) for note in music)
    names = [called(part) for part in score.score.parts]
    spots = [Spots(part, sketch.score.resolution) for part in sketch.score.parts]
    entries = [_entry(note, cents, places, sketch.score.parts, spots, names) for note in music]
    arrived = [_entry(note, cents, places, sketch.score.parts, spots, names) for note in switches]
    counts = Counter(entry.fate for entry in entries)
    known = {(note.at, (note.cents + cents) % 1200) for note in music}
    added = sum(not any((note.at + d, note.cents % 1200) in known for d in (0, -slack, slack)) for note in theirs)
    told = f"the whole cue was moved {telling.interval(cents)}" if cents else "at the sketch's own pitch"
    return Accounting(
        len(music),
        counts[FOUND],
        counts[OCTAVE],
        counts[MOVED],
        counts[OUT],
        sum(len(set(entry.parts)) > 1 for entry in entries),
        added,
        cents,
        told,
        tuple(entry for entry in entries if entry.fate != FOUND),
        tuple(entry for entry in arrived if entry.fate == FOUND),
    )


def _notes(score: Score, moments: Moments) -> list[_Note]:
    found = [
        _Note(moments[tone.onset], moments[tone.end], tone.sounding.cents, index, tone)
        for index, part in enumerate(score.parts)
        for tone in tones(part.notes)
    ]
    return sorted(found, key=lambda note: (note.at, note.cents))


def _triggers(score: Score, report: Report | None) -> set[tuple[int, int]]:
    """Part and sounding pitch of the notes that the report's trigger plan rests on."""
    if report is None:
        return set()
    plans = {plan.id for plan in report.plans if plan.kind == TRIGGERS}
    index = {part.id: number for number, part in enumerate(score.parts)}
    return {
        (index[finding.part], parse(name.sounding).cents)
        for finding in report.findings
        if finding.plan in plans and finding.part in index
        for name in finding.notes
        if name.sounding is not None
    }


class _Places:
    """The score's notes by time. wanted: time and pitch of every note of the sketch."""

    wanted: frozenset[tuple[int, int]] = frozenset()

    def __init__(self, notes: Sequence[_Note], slack: int, near: int) -> None:
        self._slack, self._near = slack, near
        self.at: Mapping[int, list[_Note]] = _by_time(notes)
        self._pitches: dict[int, list[_Note]] = {}
        for note in notes:
            self._pitches.setdefault(note.cents, []).append(note)

    def here(self, at: int) -> list[_Note]:
        """What begins here, a tick more or less."""
        if not self._slack:
            return self.at.get(at, [])
        return [note for d in (0, -self._slack, self._slack) for note in self.at.get(at + d, ())]

    def sounding(self, at: int, cents: int) -> list[_Note]:
        """Notes of this pitch that are held over this moment."""
        return [note for note in self._pitches.get(cents, ()) if note.at < at < note.end]

    def nearby(self, at: int, cents: int) -> list[_Note]:
        return [note for note in self._pitches.get(cents, ()) if abs(note.at - at) <= self._near]


def _by_time(notes: Iterable[_Note]) -> dict[int, list[_Note]]:
    found: dict[int, list[_Note]] = {}
    for note in notes:
        found.setdefault(note.at, []).append(note)
    return found


def _transposition(music: Sequence[_Note], places: _Places) -> int:
    """The interval in cents under which most notes are found at their time; octaves are left to the notes themselves."""
    votes: Counter[int] = Counter()
    for note in music:
        votes.update({(other.cents - note.cents + 600) % 1200 - 600 for other in places.here(note.at)})
    if not votes:
        return 0
    best, count = max(votes.items(), key=lambda item: (item[1], item[0] == 0, -abs(item[0])))
    return best if count > votes[0] else 0


def _entry(
    note: _Note, cents: int, places: _Places, parts: Sequence[Part], spots: Sequence[Spots], names: Sequence[str]
) -> Entry:
    wanted = note.cents + cents
    here = places.here(note.at)
    exact = [other for other in here if other.cents == wanted] or places.sounding(note.at, wanted)
    octave = [other for other in here if (other.cents - wanted) % 1200 == 0]
    near = places.nearby(note.at, wanted)
    fate, found = (FOUND, exact) if exact else (OCTAVE, octave) if octave else (MOVED, near) if near else (OUT, [])
    part = parts[note.part]
    bar, beat = spots[note.part].place(note.tone.first)
    if fate == FOUND:  # in another octave besides: doubled, unless the sketch has that note too
        found = [*exact, *(other for other in octave if other.cents == wanted or (note.at, other.cents) not in places.wanted)]
    where = tuple(dict.fromkeys(names[other.part] for other in found))
    octaves = (octave[0].cents - wanted) // 1200 if fate == OCTAVE else 0
    now = found[0].tone.sounding.name if found and fate != FOUND else ""
    return Entry(called(part), bar, beat, note.tone.sounding.name, fate, where, octaves, now)
