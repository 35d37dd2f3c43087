"""One player, many tracks: a mock-up gives one player a long, a short, a pizzicato and an effects track.

Common practice of mock-ups, no source; thresholds are engineering choices.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from xmlcheck.plugin import Note, Part
from xmlcheck_export.names import ORDINARY, heading, not_played, split
from xmlcheck_export.values import real

MOST_TOGETHER = 0.10
"""Share of the shorter track's sounding time in which another track of the player may sound too; more is two players."""


@dataclass(frozen=True, slots=True)
class Track:
    """One track of a player: its part, the technique its name tells ("" for none)."""

    part: Part
    technique: str


@dataclass(frozen=True, slots=True)
class Player:
    """Tracks that look like one player's. stem: the player's name. confirmed: the writer said so."""

    stem: str
    tracks: tuple[Track, ...]
    confirmed: bool = False


@dataclass(frozen=True, slots=True)
class Change:
    """From one track to another: the last note of one, the first of the next, and both techniques."""

    before: Note
    after: Note
    old: Track
    new: Track


def players(parts: Sequence[Part], one_player: str = "") -> tuple[Player, ...]:
    """The players that several tracks belong to.

    one_player: what the writer confirms, `Violin 1 = Violin 1 Long, Violin 1 Pizz; P7, P8`: parts by name or id.
    """
    found = [_confirmed(group, parts) for group in one_player.split(";") if group.strip()]
    taken = {track.part.id for player in found for track in player.tracks}
    by_stem: dict[str, list[Track]] = defaultdict(list)
    for part in parts:
        name = heading(part)
        stem, told = split(name)
        if part.id not in taken and stem and part.notes and not not_played(name):
            by_stem[stem].append(Track(part, told[0] if told else ""))
    for stem, tracks in by_stem.items():
        techniques = [track.technique for track in tracks]
        if len(tracks) > 1 and any(techniques) and len(set(techniques)) == len(tracks) and _interlock(tracks):
            found.append(Player(stem, tuple(tracks)))
    return tuple(player for player in found if len(player.tracks) > 1)


def _confirmed(group: str, parts: Sequence[Part]) -> Player:
    stem, equals, names = (item.strip() for item in group.rpartition("="))
    wanted = {name.strip().casefold() for name in names.split(",")}
    own = [part for part in parts if {part.id.casefold(), heading(part).casefold()} & wanted]
    tracks = tuple(Track(part, next(iter(split(heading(part))[1]), "")) for part in own)
    return Player(stem if equals else (split(heading(own[0]))[0] if own else ""), tracks, True)


def sounding(part: Part) -> list[tuple[int, int]]:
    """Stretches (start, end) in which the part sounds, joined."""
    result: list[list[int]] = []
    for note in part.notes:
        if not real(note) or not note.duration:
            continue
        if result and note.onset <= result[-1][1]:
            result[-1][1] = max(result[-1][1], note.end)
        else:
            result.append([note.onset, note.end])
    return [(start, end) for start, end in result]


def together(one: Sequence[tuple[int, int]], other: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Stretches in which both sound."""
    result, i, j = [], 0, 0
    while i < len(one) and j < len(other):
        start, end = max(one[i][0], other[j][0]), min(one[i][1], other[j][1])
        if start < end:
            result.append((start, end))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return result


def _interlock(tracks: Sequence[Track]) -> bool:
    """Whether the tracks rest where the others play."""
    spans = [sounding(track.part) for track in tracks]
    lengths = [sum(end - start for start, end in span) for span in spans]
    for index, span in enumerate(spans):
        for second in range(index):
            both = sum(end - start for start, end in together(span, spans[second]))
            if both > MOST_TOGETHER * min(lengths[index], lengths[second]):
                return False
    return True


def changes(player: Player) -> list[Change]:
    """Where the player goes from one track to another, in order of time."""
    heads = [(note, track) for track in player.tracks for note in track.part.notes if real(note)]
    heads.sort(key=lambda item: item[0].onset)
    return [
        Change(before, after, old, new)
        for (before, old), (after, new) in pairwise(heads)
        if old is not new and before.onset < after.onset
    ]


def needs_word(track: Track) -> bool:
    """Whether a track's technique is one that a player must be told in words."""
    return bool(track.technique) and track.technique not in (*ORDINARY, "effects", "trill")
