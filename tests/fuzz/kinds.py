"""The kinds of inputs of a run: each draws one from a pen, and names it closer."""

from __future__ import annotations

from collections.abc import Callable

from tests.fuzz.dress import dressed, packed
from tests.fuzz.mutations import mutated
from tests.fuzz.pen import Pen
from tests.fuzz.scores import score
from tests.fuzz.seeds import seed_files

RICH = (25, 10, 50, 80, 0)
"""How much of what may be there is there, in percent."""


def written(pen: Pen) -> tuple[str, bytes]:
    """A valid score, small to middling, dressed in any way; one in eight is an .mxl."""
    data = dressed(score(pen, pen.pick((2, 1, 4)), pen.pick((4, 2, 12)), pen.pick(RICH)), pen)
    return ("mxl", packed(data, pen)) if pen.maybe(12) else ("", data)


def written_spoilt(pen: Pen) -> tuple[str, bytes]:
    """A written score, spoilt."""
    return mutated(dressed(score(pen, 2, 4, pen.pick(RICH)), pen), pen)


def corpus(pen: Pen) -> tuple[str, bytes]:
    """A file of the corpora, spoilt."""
    return mutated(pen.pick(seed_files()).read_bytes(), pen)


Kind = Callable[[Pen], tuple[str, bytes]]
KINDS: dict[str, Kind] = {"written": written, "corpus-spoilt": corpus, "written-spoilt": written_spoilt}
