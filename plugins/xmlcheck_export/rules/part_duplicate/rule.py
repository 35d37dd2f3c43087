"""Parts that repeat another part's music under the same player's name, or under none."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, Part, ScoreFacts, rule
from xmlcheck_export.names import generic, heading, not_played, split
from xmlcheck_export.values import real

Content = frozenset[tuple[int, int, int]]


@rule
def part_duplicate(score: ScoreFacts, fewest: int = 8, share: float = 0.95) -> Hits:
    """One hit for each part whose notes are those of an earlier one, `share` of them, at pitch or an octave off.

    Different instruments in unison are orchestration. A tablature staff repeats its part on purpose.
    """
    seen: list[tuple[Part, Content]] = []
    for part in score.score.parts:
        if not_played(heading(part)) or any(clef.sign == "TAB" for clef in part.clefs):
            continue
        content = frozenset(
            (note.onset, note.duration, note.sounding.cents) for note in part.notes if note.sounding is not None and real(note)
        )
        if len(content) < fewest:
            continue
        for other, notes in seen:
            if not _alike(part, other):
                continue
            best, octaves = _best(content, notes)
            if best >= share:
                told = {0: None, 1: "an octave apart"}.get(abs(octaves), "octaves apart")
                values = {"heading": heading(part), "other": heading(other), "share": round(100 * best), "octaves": told}
                yield Hit(values=values, part=part.id)
                break
        seen.append((part, content))


def _alike(part: Part, other: Part) -> bool:
    """Whether both headings name the same player, or neither names any."""
    one, two = heading(part), heading(other)
    return (generic(one) and generic(two)) or (not generic(one) and split(one)[0] == split(two)[0])


def _best(one: Content, other: Content) -> tuple[float, int]:
    found = []
    for octaves in (0, 1, -1, 2, -2):
        moved = one if not octaves else frozenset((onset, length, cents + 1200 * octaves) for onset, length, cents in one)
        found.append((len(moved & other) / max(len(moved), len(other)), -abs(octaves), octaves))
    best = max(found)
    return best[0], best[2]
