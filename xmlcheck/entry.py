"""What profiles and plugins say for recognition, as plain values; they are found by `names`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Ids = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """What one profile answers to, from the index of profiles. programs: from 1. key_names as in headings: "Bb", "1.8".

    Of `names`, which are for people, only the English one is recognised: in another language a name may be too common to go by
    (a voice has it too). Where it is not, it stands in `aliases` as well.
    """

    id: str
    plugin: str
    names: Mapping[str, str]
    aliases: tuple[str, ...] = ()
    abbreviations: tuple[str, ...] = ()
    sound_ids: tuple[str, ...] = ()
    programs: tuple[int, ...] = ()
    key_names: tuple[str, ...] = ()
    family: str = ""
    tradition: str = ""


@dataclass(frozen=True, slots=True)
class Shared:
    """A name that several instruments bear. among: each of them, with the instruments beside whose parts it is the one meant."""

    words: Ids
    among: Mapping[str, Ids]


@dataclass(frozen=True, slots=True)
class Known:
    """What a plugin knows beside its profiles: instruments without one, kinds of sound by the beginning of their id, shared names."""

    entries: tuple[Entry, ...] = ()
    kinds: Mapping[str, str] = field(default_factory=dict)
    shared: tuple[Shared, ...] = ()
