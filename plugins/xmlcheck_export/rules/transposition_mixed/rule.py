"""A part that goes over from written to sounding pitch, or back, without a word."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from xmlcheck.plugin import Hit, Hits, Key, Note, Part, ScoreFacts, Transpose, rule


@rule
def transposition_mixed(score: ScoreFacts) -> Hits:
    """One hit for each unannounced change of transposition, and for each key signature that leaves the other parts' key."""
    parts = [part for part in score.score.parts if part.notes]
    if score.score.concert:
        return
    for part in parts:
        for given, before in _changes(part):
            what = f"is moved by {_told(given)} semitones instead of {_told(before)}"
            yield Hit(at=(given, *_from(part, given)), values={"what": what}, part=part.id, group="transposition")
        others = [other for other in parts if other is not part]
        for key in _strays(part, others):
            yield Hit(
                at=(key,),
                values={"what": "has another key signature than its transposition asks for"},
                part=part.id,
                group="key",
            )


def _from(part: Part, given: Transpose) -> list[Note]:
    """The notes that this transposition moves."""
    end = next((item.onset for item in part.transposes if item.onset > given.onset and item.staff == given.staff), None)
    return [note for note in part.notes if given.onset <= note.onset and (end is None or note.onset < end)]


def _told(given: Transpose) -> str:
    return f"{given.semitones:+f}".rstrip("0").rstrip(".") if given.semitones else "0"


def _changes(part: Part) -> Iterator[tuple[Transpose, Transpose]]:
    """Changes of the transposition, with the one before, where nothing between the two announces it."""
    latest: dict[int, Transpose] = {}
    for given in part.transposes:
        before = latest.get(given.staff)
        latest[given.staff] = given
        if given.for_part or before is None or given.semitones == before.semitones:
            continue
        said = any(
            before.onset <= item.onset <= given.onset
            and (
                item.words
                or (item.sound is not None and item.sound.changes)
                or any(mark.group == "print" for mark in item.marks)
            )
            for item in part.directions
        )
        if not said:
            yield given, before


def _strays(part: Part, others: Sequence[Part]) -> Iterator[Key]:
    """Key signatures with which the part leaves the key of the others, which it kept until then."""
    kept: int | None = None
    moved: int | None = None
    for key in part.keys:
        own, common = _concert(part, key.onset), _common(others, key.onset)
        if own is None or common is None:
            continue
        apart = (own - common) % 12
        given = _in_force(part, key.onset)
        state = given.semitones if given is not None else 0
        if kept == 0 and apart and moved == state and key.onset and not _away(others, key.onset):
            yield key
        kept, moved = apart, int(state)


def _away(others: Sequence[Part], tick: int) -> bool:
    """Whether the others have no key signature at this place: then the part changes by itself, as in an extract."""
    return sum(any(key.onset == tick for key in other.keys) for other in others) * 2 < len(others)


def _in_force(part: Part, tick: int) -> Transpose | None:
    return next((item for item in reversed(part.transposes) if not item.for_part and item.onset <= tick), None)


def _concert(part: Part, tick: int) -> int | None:
    """The concert key of a part in fifths, by its own signature and transposition."""
    key = next((key for key in reversed(part.keys) if key.onset <= tick), None)
    if key is None or key.fifths is None:
        return None
    given = _in_force(part, tick)
    return key.fifths + (int(7 * given.chromatic) if given is not None else 0)


def _common(others: Sequence[Part], tick: int) -> int | None:
    """The concert key of at least two other parts, all but a few."""
    votes = Counter(fifths % 12 for part in others if (fifths := _concert(part, tick)) is not None)
    if not votes:
        return None
    fifths, count = votes.most_common(1)[0]
    return fifths if count >= 2 and 4 * count >= 3 * sum(votes.values()) else None
