"""All that the installed plugins answer to: the names of profiles, of instruments without one, and names that several share.

Knows no instrument; what it knows is handed in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from xmlcheck.entry import Entry, Ids, Known
from xmlcheck.errors import BadConfig
from xmlcheck.folding import fold, fold_lines
from xmlcheck.partname import PartName, find_key, key_name, part_name

_Words = dict[str, list[tuple[str, str]]]
"""Folded text to (id, key that the alias names), ..."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a heading names. ids: instruments that fit in words and key; known: those whose words fit, whatever the key."""

    name: PartName
    ids: Ids = ()
    known: Ids = ()

    def __bool__(self) -> bool:
        return bool(self.known)

    @property
    def blank(self) -> bool:
        """Nothing but words such as "part 2"."""
        return not self.known and not self.name.stem


_SIZE = re.compile(r"(?<![\d.])\d\.\d(?![\d.])")


class Names:
    """All that the installed plugins answer to, by folded text. Built once, read-only afterwards.

    entries: the profiles. bare: instruments that are known and have no profile; where a profile bears their id or one of their
    names it takes their place.
    """

    __slots__ = (
        "_bare_sounds",
        "_every",
        "_keys",
        "_kinds",
        "_programs",
        "_shared",
        "_sounds",
        "_words",
        "bare",
        "entries",
        "known",
    )

    def __init__(self, entries: Iterable[Entry], known: Iterable[Known] = ()) -> None:
        self.known = tuple(known)
        self.entries: Mapping[str, Entry] = {entry.id: entry for entry in entries}
        self.bare: Mapping[str, Entry] = {
            entry.id: entry for item in self.known for entry in item.entries if entry.id not in self.entries
        }
        everything = {**self.entries, **self.bare}
        self._keys = {id: frozenset(map(key_name, entry.key_names)) for id, entry in everything.items() if entry.key_names}
        self._sounds, self._programs = _ids_by(self.entries, "sound_ids"), _ids_by(self.entries, "programs")
        self._bare_sounds = _ids_by(self.bare, "sound_ids")
        self._kinds = tuple(
            sorted((kind for item in self.known for kind in item.kinds.items()), key=lambda kind: -len(kind[0]))
        )
        self._words = _filed(self.entries.values())
        self._every: _Words | None = None
        self._shared: dict[str, Mapping[str, Ids]] = {}
        shared = [item for one in self.known for item in one.shared]
        lines = fold_lines("\n".join(word for item in shared for word in item.words)) if shared else []
        for item in shared:
            for words in (lines.pop(0) for _ in item.words):
                for form in _forms(words):
                    here = self._words.setdefault(form, [])
                    here += [(id, "") for id in item.among if (id, "") not in here]
                    self._shared[form] = item.among

    @property
    def _all_words(self) -> _Words:
        """The names of profiles, and those that only instruments without one have; filed when a heading names no profile."""
        if self._every is None:
            self._every = {**_filed(self.bare.values()), **self._words}
        return self._every

    def title(self, id: str) -> str:
        """The English name of an instrument, with or without a profile."""
        entry = self.entries.get(id) or self.bare.get(id)
        return entry.names.get("en", id) if entry is not None else id.replace("-", " ")

    def find(self, heading: str | PartName) -> Found:
        """The instruments that a heading names: as a whole, or without number, key and player words; never by a part of it.

        Profiles come first, then what is known without one.
        """
        name = part_name(heading) if isinstance(heading, str) else heading
        return self._find(name, self._words) or self._find(name, self._all_words)

    def _find(self, name: PartName, filed: _Words) -> Found:
        texts = (fold(name.text), name.stem)  # of two instruments the first one, not what both words together may name
        for words in dict.fromkeys(reversed(texts) if name.doubles else texts):
            if found := self._look(words, name, filed):
                return found
        glosses = [self._look(piece, name, filed) for piece in name.pieces]
        if len(glosses) < 2 or not all(glosses):
            return Found(name)
        known, ids = (set.intersection(*map(set, each)) for each in ((g.known for g in glosses), (g.ids for g in glosses)))
        return Found(name, tuple(sorted(ids)), tuple(sorted(known)))

    def _look(self, words: str, name: PartName, filed: _Words) -> Found:
        hits = next((hits for form in _forms(words.split()) if (hits := filed.get(form))), [])
        known = {id for id, _ in hits}
        size = _SIZE.search(name.text)
        if size and not name.key and any(size[0] in self._keys.get(id, ()) or self._sized(id) for id in known):
            name = replace(name, key=size[0], number="", players=None)  # what reads as two part numbers is a length here
        if name.key:
            wanted = frozenset(name.key.split(" & "))
            fits = (id for id, key in hits if not key or key in wanted)
            ids = {id for id in fits if not wanted.isdisjoint(self._keys.get(id, wanted))}
            ids = {id for id in ids if id in self._keys} or ids  # who names this key comes before who names none
        else:  # an alias without a key speaks before one that names its key
            ids = {id for id, key in hits if not key} or known
        return Found(name, tuple(sorted(ids)), tuple(sorted(known)))

    def _sized(self, id: str) -> bool:
        """Whether headings name the instrument by its length, such as 1.8."""
        return any(_SIZE.fullmatch(key) for key in self._keys.get(id, ()))

    def offers(self, id: str, key: str) -> bool:
        """Whether the profile is played in every key of a heading ("Bb & A"), as far as it says."""
        return not key or set(key.split(" & ")) <= self._keys.get(id, frozenset(key.split(" & ")))

    def states(self, id: str, key: str) -> bool:
        """Whether the instrument is one of several that differ by their key, and this is one of its own."""
        return key_name(key) in self._keys.get(id, ())

    def within(self, stem: str) -> Ids:
        """Profiles that some run of words in a longer name would name. A sign of a variant; never a match."""
        words = stem.split()[:12]
        runs = (words[a:b] for b in range(1, len(words) + 1) for a in range(b))
        return tuple(sorted({id for run in runs for form in _forms(run) for id, _ in self._words.get(form, [])}))

    def among(self, name: PartName) -> Mapping[str, Ids]:
        """The instruments that share this name, each with those beside which it is the one meant; empty for a name of one."""
        forms = (form for words in (fold(name.text), name.stem) for form in _forms(words.split()))
        return next((self._shared[form] for form in forms if form in self._shared), {})

    def sound(self, sound: str) -> Ids:
        """Profiles of a standard sound id."""
        return self._sounds.get(sound.strip(), ())

    def told_by(self, sound: str) -> str:
        """What a standard sound id that no profile has means: an instrument's name, or the kind of instrument; "" if unknown."""
        sound = sound.strip()
        if ids := self._bare_sounds.get(sound):
            return self.title(ids[0])
        return next((kind for start, kind in self._kinds if sound.startswith(start)), "") if sound else ""

    def program(self, program: int | None) -> Ids:
        """Profiles of a MIDI program, from 1. None for 0 and 1: files give these where nobody chose."""
        return self._programs.get(program, ()) if program and program > 1 else ()

    def named(self, value: str, where: str) -> str:
        """The profile of a user's word: an id, or any name. Raises BadConfig where it names none or several."""
        if value in self.entries:
            return value
        found = self.find(value).ids
        ids = [id for id in found if id in self.entries]
        if len(ids) == 1:
            return ids[0]
        if ids:
            raise BadConfig(f"{where}: {value!r} fits several instruments: {', '.join(ids)}.")
        if found:
            raise BadConfig(f"{where}: {self.title(found[0])} is known, and no installed profile says what it can do.")
        texts = (text for id, entry in self.entries.items() for text in (id, *entry.names.values(), *entry.aliases))
        known = {fold(text): text for text in texts}
        near = [known[text] for text in get_close_matches(fold(value), known, n=3, cutoff=0.5)]
        hint = f"; nearest: {', '.join(near)}" if near else ""
        raise BadConfig(f"{where}: no installed instrument is called {value!r}{hint}.")


# A quick look, so that few aliases are taken apart.
_KEY_WORDS = frozenset("in en em i flat bemol bemolle bb eb ab db sib mib bes es as des fis a b c d e f g h".split())  # noqa: SIM905
_KEY_SIGNS = frozenset("管调調")


def _forms(words: list[str]) -> Ids:
    """The forms under which folded words are filed: without blanks, and in alphabetical order; initials just as they stand."""
    if len(words) < 2:
        return tuple(words)
    return (" ".join(words),) if min(map(len, words)) == 1 else ("".join(words), " ".join(sorted(words)))


def _filed(entries: Iterable[Entry]) -> _Words:
    """Every name of these instruments by its forms."""
    owned = [
        (entry.id, text)
        for entry in entries
        for text in dict.fromkeys((entry.names.get("en", ""), *entry.aliases, *entry.abbreviations))
    ]
    filed: _Words = {}
    for (id, text), words in zip(owned, fold_lines("\n".join([text for _, text in owned])) if owned else (), strict=True):
        key = ""
        if len(words) > 1 or not text.isascii():
            key = find_key(text)[0] if not _KEY_WORDS.isdisjoint(words) or not _KEY_SIGNS.isdisjoint(text) else ""
        for form in _forms(words) + (_forms(part_name(text).stem.split()) if key else ()):
            filed.setdefault(form, []).append((id, key))
    return filed


def _ids_by(entries: Mapping[str, Entry], field: str) -> dict[Any, Ids]:
    """Ids of instruments by each value of a list that they have, in alphabetical order."""
    found: dict[Any, list[str]] = {}
    for id, entry in sorted(entries.items()):
        for value in getattr(entry, field):
            found.setdefault(value, []).append(id)
    return {value: tuple(ids) for value, ids in found.items()}
