"""Trigger notes of sampled patches: notes in the track that switch the technique and are no music.

Nothing is published on finding them; what follows is common practice of mock-ups, no source, and the thresholds are engineering
choices, tried on published scores. A cluster of pitches apart from the rest (outside the compass, or across a wide gap) is
weighed by how its notes behave: do they lead other notes, are they short, plain, even in loudness, written apart, ever changing?
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from xmlcheck.plugin import Compass, Tone, Vouched

GAP = 700
"""Cents between the cluster and the next note of the music, where the compass does not settle it."""
WIDE = 1200
NEAR = 300
"""Cents of gap that suffice outside the compass."""
MOST_PITCHES, WIDEST = 12, 2400
MOST_OUTSIDE, MOST_INSIDE = 0.34, 0.15
"""Share of all notes that triggers can be; more is music."""
SOUNDS = 0.30
"""Share of the time: what sounds longer is a pedal bass or a drone."""
AHEAD = 8
"""A trigger comes at most 1/8 of a quarter note before the note it switches."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """Tones that look like triggers, and why. outside: beyond the compass, whose limit is `limit`."""

    tones: tuple[Tone, ...]
    signs: tuple[str, ...]
    outside: bool
    limit: Vouched | None
    gap: int


def find(tones: Sequence[Tone], compass: Compass | None, resolution: int, staves: int) -> Cluster | None:
    """The cluster of trigger notes of one player's part, None where none is convincing."""
    if len(tones) < 4:
        return None
    heights = sorted({tone.sounding.cents for tone in tones})
    best: Cluster | None = None
    for cluster, gap, limit in _candidates(heights, compass):
        own = tuple(tone for tone in tones if tone.sounding.cents in cluster)
        others = [tone for tone in tones if tone.sounding.cents not in cluster]
        if not others or not _can_be(own, others, limit is not None):
            continue
        signs = _signs(own, others, resolution)
        if _convincing(signs, limit is not None, compass is not None, gap, len(own), staves) and (
            best is None or len(own) > len(best.tones)
        ):
            best = Cluster(own, tuple(signs), limit is not None, limit, gap)
    return best


def _candidates(heights: list[int], compass: Compass | None) -> Iterator[tuple[frozenset[int], int, Vouched | None]]:
    """Pitches at either end of the line with the gap that sets them apart, and the compass limit they lie beyond."""
    gaps = [(upper - lower, index) for index, (lower, upper) in enumerate(pairwise(heights), 1)]
    for gap, index in gaps:
        for cluster, high in ((heights[:index], False), (heights[index:], True)):
            if len(cluster) > MOST_PITCHES or cluster[-1] - cluster[0] > WIDEST:
                continue
            limit = _beyond(cluster, compass, high)
            if gap >= GAP or (limit is not None and gap >= NEAR):
                yield frozenset(cluster), gap, limit


def _beyond(cluster: Sequence[int], compass: Compass | None, high: bool) -> Vouched | None:
    if compass is None:
        return None
    if high:
        return compass.highest if cluster[0] > compass.highest.value.cents + 40 else None
    return compass.lowest if cluster[-1] < compass.lowest.value.cents - 40 else None


def _can_be(own: Sequence[Tone], others: Sequence[Tone], outside: bool) -> bool:
    share = len(own) / (len(own) + len(others))
    if outside:
        return share <= MOST_OUTSIDE
    span = max(tone.end for tone in others) - min(tone.onset for tone in others)
    return share <= MOST_INSIDE and sum(tone.duration for tone in own) <= SOUNDS * max(span, 1)


def _signs(own: Sequence[Tone], others: Sequence[Tone], resolution: int) -> list[str]:
    """How the cluster's notes behave, in words."""
    signs = []
    onsets = sorted(tone.onset for tone in others)
    reach = resolution // AHEAD
    lead = sum(bisect_right(onsets, tone.onset + reach) > bisect_left(onsets, tone.onset) for tone in own)
    if lead >= 0.8 * len(own):
        signs.append("just before or with another note")
    usual = median(tone.duration for tone in others)
    lengths = {tone.duration for tone in own}
    if 2 * median(tone.duration for tone in own) <= usual or (len(lengths) == 1 and 4 * max(lengths) <= resolution):
        signs.append("short")
    bare = sum(not any(mark.name != "tied" and mark.group != "note" for note in tone.notes for mark in note.marks)
               and not tone.first.lyrics and len(tone.notes) == 1 for tone in own)  # fmt: skip
    dressed = sum(bool(tone.first.marks) for tone in others)
    if bare >= 0.8 * len(own) and dressed:
        signs.append("without any mark")
    velocities = {tone.first.velocity for tone in own}
    if None not in velocities and len(velocities) == 1 and len({tone.first.velocity for tone in others}) > 1:
        signs.append("always equally loud")
    places = {(tone.voice, tone.staff) for tone in own}
    if places.isdisjoint({(tone.voice, tone.staff) for tone in others}):
        signs.append("in a voice of their own")
    changes = [first.sounding.cents != second.sounding.cents for first, second in pairwise(own)]
    if changes and sum(changes) >= 0.8 * len(changes):
        signs.append("never the same twice running")
    return signs


def _convincing(signs: Sequence[str], outside: bool, known: bool, gap: int, count: int, staves: int) -> bool:
    """Whether gap and behaviour together tell triggers from real notes of the instrument."""
    lead, short = signs[:1] == ["just before or with another note"], "short" in signs
    if outside:
        needed = 2 if gap >= WIDE else 3
        return (lead and len(signs) >= needed) or (short and len(signs) >= needed + 1)
    if staves > 1 or count < 2 or not (lead and short):
        return False
    return len(signs) >= 4 if known else gap >= WIDE and len(signs) >= 3
