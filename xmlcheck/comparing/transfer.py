"""What another program lost: the changes sorted by what a player would miss, and the elements that became fewer."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from xmlcheck.comparing.census import Census, fewer
from xmlcheck.comparing.change import Change
from xmlcheck.comparing.revision import Revision

GROUPS = (
    "notes", "pitch", "rhythm", "techniques", "tuning", "transposition", "dynamics", "words", "instrument identity", "other",
)  # fmt: skip
"""In the order in which a player would miss them."""

_GROUP_OF = {
    "notes": (
        "note-added", "note-removed", "cue", "grace", "hidden", "silent", "divided", "bars-inserted", "bars-deleted", "bars-moved",
        "bars-repeated", "bars-split", "bars-joined", "rebarred", "part-added", "part-removed", "repeat",
    ),
    "pitch": ("pitch", "octave", "transposed", "respelled", "key", "clef", "ottava", "printed-sign"),
    "rhythm": ("rhythm", "meter", "tied", "tied-otherwise", "tempo", "tuplet", "printed-value", "values-rewritten", "fermata"),
    "techniques": ("technique", "articulation", "ornament", "arpeggio", "glissando", "slur", "pedal", "notehead", "shaped head"),
    "tuning": ("tuning",),
    "transposition": ("transposition", "concert"),
    "dynamics": ("dynamic", "hairpin"),
    "words": ("words", "lyrics", "rehearsal mark", "chord symbol", "title", "characters", "direction of writing"),
    "instrument identity": ("part-renamed", "part-moved", "part name", "instrument", "player"),
}  # fmt: skip
_LOST = "\N{REPLACEMENT CHARACTER}\N{WHITE SQUARE}?\N{BALLOT BOX}"
"""What stands in the place of characters that a program could not write."""


@dataclass(frozen=True, slots=True)
class Loss:
    """One group of losses. numbers: of the changes in it. lost: how many of these took something away, rather than added it."""

    group: str
    numbers: tuple[int, ...]
    lost: int
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Text:
    """A text that lost characters, or whose right-to-left writing was turned round. fault: characters, or direction of writing."""

    fault: str
    was: str
    now: str
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Transfer:
    """losses: by group, those a player would miss most first. texts: words that were spoilt. elements: what became fewer."""

    losses: tuple[Loss, ...]
    texts: tuple[Text, ...]
    elements: tuple[Census, ...]


def transfer(old: Revision, new: Revision, changes: Sequence[Change]) -> Transfer:
    """What was lost between a file and what came back of it."""
    kinds = {kind: group for group, kinds in _GROUP_OF.items() for kind in kinds}
    by_group: dict[str, list[Change]] = {}
    for change in changes:
        by_group.setdefault(kinds.get(change.kind, "other"), []).append(change)
    losses = tuple(
        Loss(group, tuple(one.number for one in found), sum(_takes(one) for one in found), _told(found))
        for group in GROUPS
        if (found := by_group.get(group))
    )
    return Transfer(losses, tuple(_texts(changes)), fewer(old.root, new.root))


def _takes(change: Change) -> bool:
    """Whether something is gone or became something else."""
    came = change.kind in ("note-added", "bars-inserted", "part-added") or (bool(change.now) and not change.was)
    return not came


def _told(changes: Iterable[Change]) -> tuple[str, ...]:
    """`articulation: staccato is gone (12 times)`: equal sentences once."""
    counts = Counter(change.text for change in changes)
    return tuple(f"{text} ({count} times)" if count > 1 else text for text, count in counts.items())


def _texts(changes: Iterable[Change]) -> Iterable[Text]:
    for change in changes:
        for was, now in {(item.was, item.now) for item in change.items} | {(change.was, change.now)}:
            fault = spoilt(was, now)
            if fault:
                yield Text(fault, was, now, change.number)


def spoilt(was: str, now: str) -> str:
    """What is wrong with a text that came back: "characters", "direction of writing", or "" where it is simply another."""
    if not was or not now or was == now:
        return ""
    if any(sign in now and now.count(sign) > was.count(sign) for sign in _LOST) and not _plain(was):
        return "characters"
    if len(now) < len(was) and now == "".join(sign for sign in was if sign.isascii()):
        return "characters"
    if _leftward(was) and now != was and sorted(_letters(now)) == sorted(_letters(was)):
        return "direction of writing"
    return ""


def _plain(text: str) -> bool:
    return text.isascii()


def _leftward(text: str) -> bool:
    return any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in text)


def _letters(text: str) -> str:
    return "".join(sign for sign in text if not sign.isspace())
