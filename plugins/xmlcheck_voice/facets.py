"""The singing voice: where it lies well, where it breaks, where words are heard."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import Certainty, Cited, Pitch


@dataclass(frozen=True, slots=True)
class Passage:
    """A change of register (passaggio): the note around which the voice breaks."""

    pitch: Pitch
    title: str
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Vocal:
    """One voice type. The compass of trained singers is the universal table [compass].

    tessitura_lowest, tessitura_highest: where most of a part lies. choir_lowest, choir_highest: compass of amateur choirs.
    passages: register changes. words_highest: note above which words are not understood. How soft and
    loud each register is stands in the table [registers].
    """

    FACET: ClassVar[str] = "vocal"
    tessitura_lowest: Cited[Pitch]
    tessitura_highest: Cited[Pitch]
    choir_lowest: Cited[Pitch] | None = None
    choir_highest: Cited[Pitch] | None = None
    passages: tuple[Passage, ...] = ()
    words_highest: Cited[Pitch] | None = None
