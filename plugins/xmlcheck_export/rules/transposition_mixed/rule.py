"""A part that goes over from written to sounding pitch, or back, without a word."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from math import inf

from xmlcheck.plugin import Direction, Hit, Hits, Key, Note, Part, ScoreFacts, Transpose, later, latest, rule, within


@rule
def transposition_mixed(score: ScoreFacts) -> Hits:
    """One hit for each unannounced change of transposition, and for each key signature that leaves the other parts' key."""
    parts = [part for part in score.score.parts if part.notes]
    if score.score.concert:
        return
    for part in parts:
        own: dict[int, list[Transpose]] = {}
        for item in part.transposes:
            own.setdefault(item.staff, []).append(item)
        for given, before in _changes(part):
            what = f"is moved by {_told(given)} semitones instead of {_told(before)}"
            yield Hit(
                at=(given, *_moved(part, given, own[given.staff])), values={"what": what}, part=part.id, group="transposition"
            )
        others = [other for other in parts if other is not part]
        for key in _strays(score, part, others):
            yield Hit(
                at=(key,),
                values={"what": "has another key signature than its transposition asks for"},
                part=part.id,
                group="key",
            )


def _moved(part: Part, given: Transpose, own: Sequence[Transpose]) -> Sequence[Note]:
    """The notes that this transposition moves. own: all those of its staff."""
    following = later(own, given.onset)
    return within(part.notes, given.onset, following.onset if following is not None else inf)


def _told(given: Transpose) -> str:
    return f"{given.semitones:+f}".rstrip("0").rstrip(".") if given.semitones else "0"


def _changes(part: Part) -> Iterator[tuple[Transpose, Transpose]]:
    """Changes of the transposition, with the one before, where nothing between the two announces it."""
    told = [item for item in part.directions if _announces(item)]
    latest_on: dict[int, Transpose] = {}
    for given in part.transposes:
        before = latest_on.get(given.staff)
        latest_on[given.staff] = given
        if given.for_part or before is None or given.semitones == before.semitones:
            continue
        if not within(told, before.onset, given.onset + 1):
            yield given, before


def _announces(item: Direction) -> bool:
    """Whether words, playback data or a new part name may speak of another transposition."""
    return bool(
        item.words or (item.sound is not None and item.sound.changes) or any(mark.group == "print" for mark in item.marks)
    )


def _strays(score: ScoreFacts, part: Part, others: Sequence[Part]) -> Iterator[Key]:
    """Key signatures with which the part leaves the key of the others, which it kept until then."""
    kept: int | None = None
    moved: int | None = None
    for key in part.keys:
        own, common = _concert(score, part, key.onset), _common(score, others, key.onset)
        if own is None or common is None:
            continue
        apart = (own - common) % 12
        given = _in_force(score, part, key.onset)
        state = given.semitones if given is not None else 0
        if kept == 0 and apart and moved == state and key.onset and not _away(others, key.onset):
            yield key
        kept, moved = apart, int(state)


def _away(others: Sequence[Part], tick: int) -> bool:
    """Whether the others have no key signature at this place: then the part changes by itself, as in an extract."""
    return sum(bool(within(other.keys, tick, tick + 1)) for other in others) * 2 < len(others)


def _in_force(score: ScoreFacts, part: Part, tick: int) -> Transpose | None:
    return score.signs(part).transposes.last(tick)


def _concert(score: ScoreFacts, part: Part, tick: int) -> int | None:
    """The concert key of a part in fifths, by its own signature and transposition."""
    key = latest(part.keys, tick)
    if key is None or key.fifths is None:
        return None
    given = _in_force(score, part, tick)
    return key.fifths + (int(7 * given.chromatic) if given is not None else 0)


def _common(score: ScoreFacts, others: Sequence[Part], tick: int) -> int | None:
    """The concert key of at least two other parts, all but a few."""
    votes = Counter(fifths % 12 for part in others if (fifths := _concert(score, part, tick)) is not None)
    if not votes:
        return None
    fifths, count = votes.most_common(1)[0]
    return fifths if count >= 2 and 4 * count >= 3 * sum(votes.values()) else None
