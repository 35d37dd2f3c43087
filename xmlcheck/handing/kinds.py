"""The kinds of disagreement: their grade, whose desk they belong on, and what each is called. A table; common practice, no source."""

from __future__ import annotations

from typing import Any

from xmlcheck.finding import Grade
from xmlcheck.handing.values import Disagreement

H, Q, T = Grade.HALT, Grade.QUERY, Grade.TIDY
KINDS: dict[str, tuple[Grade, str, str]] = {
    "files.unreadable": (H, "orchestrator", "a file that cannot be read"),
    "files.no-score": (Q, "orchestrator", "parts without a score"),
    "files.missing": (H, "copyist", "a part is missing"),
    "files.extra": (Q, "copyist", "a part that the score does not have"),
    "files.duplicate": (Q, "copyist", "one part twice"),
    "files.two-scores": (Q, "orchestrator", "two scores of one cue"),
    "files.stale": (Q, "copyist", "a page older than its music"),
    "files.naming": (T, "copyist", "named otherwise than agreed"),
    "revision.mixed": (H, "copyist", "mixed revisions"),
    "names.cue": (Q, "copyist", "cue number differs"),
    "names.title": (T, "copyist", "title differs"),
    "names.part": (Q, "copyist", "part under another name"),
    "frame.bars": (H, "copyist", "bars differ"),
    "frame.numbers": (Q, "copyist", "bar numbers differ"),
    "frame.meter": (H, "copyist", "meter differs"),
    "frame.key": (Q, "copyist", "key differs"),
    "frame.tempo": (Q, "copyist", "tempo differs"),
    "frame.rehearsal": (Q, "copyist", "rehearsal marks differ"),
    "frame.repeats": (H, "copyist", "repeats differ"),
    "music.notes": (H, "copyist", "notes differ"),
    "music.transposition": (H, "copyist", "the whole part stands off"),
    "music.dynamics": (Q, "copyist", "dynamics differ"),
    "music.words": (Q, "copyist", "words differ"),
    "music.signs": (Q, "copyist", "signs on notes differ"),
    "sync.start": (Q, "orchestrator", "start differs"),
    "sync.tempo": (Q, "orchestrator", "tempo map differs"),
    "sync.length": (Q, "orchestrator", "length differs"),
    "sync.hit": (Q, "composer", "hit point missed"),
    "declared.cue": (H, "orchestrator", "a declared cue is missing"),
    "declared.instrument": (Q, "orchestrator", "another instrument than declared"),
    "declared.player": (Q, "orchestrator", "a player of no part"),
    "declared.pitch": (Q, "orchestrator", "pitch standard differs"),
    "reading.differs": (Q, "copyist", "not what the player reads"),
    "page.turn": (Q, "copyist", "no time to turn"),
    "page.cue": (T, "copyist", "a long rest without a cue"),
    "page.header": (T, "copyist", "header incomplete"),
}
"""Kind to its grade, whose desk, and its title."""


def told(
    kind: str, text: str, cue: str | None = None, file: str | None = None, part: str | None = None, **more: Any
) -> Disagreement:
    """A disagreement of this kind with the kind's grade and desk. more: bar, to_bar, or anything else for `values`."""
    grade, to, _ = KINDS[kind]
    bar, to_bar = more.pop("bar", None), more.pop("to_bar", None)
    return Disagreement(kind, grade, cue, file, part, text, bar, to_bar if to_bar != bar else None, to, more)
