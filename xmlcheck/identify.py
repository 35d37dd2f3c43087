"""Which instrument a part is for: its names and sounds in, a profile id with the evidence out. Never a silent pick.

Witnesses in order: the user's word, a plugin, instrument-sound together with the printed name, abbreviation, instrument-name,
MIDI program. Names and sound ids are both often defaults that nobody chose, so two that disagree are reported, not weighed.
The printed name is what a player goes by: behind one that is not known, a sound id is a guess and all else a mere candidate.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from types import MappingProxyType

from xmlcheck.errors import BadConfig, BadPlugin
from xmlcheck.model import Part, ScoreInstrument
from xmlcheck.partname import PartName, find_key, fold, fold_lines, key_name, part_name

Ids = tuple[str, ...]
_NO_GIVEN: Mapping[str, str] = MappingProxyType({})


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


@dataclass(frozen=True, slots=True)
class Match:
    """The profile of a part. certainty: "sure", "guess" or "none". evidence: one phrase, for people.

    profile is None where nothing is known or several fit; those stand in `candidates`. key: what the heading names.
    """

    profile: str | None
    certainty: str
    evidence: str
    candidates: tuple[str, ...] = ()
    key: str = ""
    name: PartName | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """What a heading names. ids: profiles that fit in words and key; known: those whose words fit, whatever the key."""

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
    """All that the installed profiles answer to, by folded text. Built once, read-only afterwards."""

    __slots__ = ("_keys", "_programs", "_sounds", "_words", "entries")

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.entries: Mapping[str, Entry] = {entry.id: entry for entry in entries}
        self._keys = {id: frozenset(map(key_name, entry.key_names)) for id, entry in self.entries.items() if entry.key_names}
        self._sounds: dict[str, Ids] = {}
        self._programs: dict[int, Ids] = {}
        self._words: dict[str, list[tuple[str, str]]] = {}  # folded text -> (id, key that the alias names), ...
        owned: list[tuple[str, str]] = []
        for id, entry in self.entries.items():
            owned += [(id, text) for text in dict.fromkeys((entry.names.get("en", ""), *entry.aliases, *entry.abbreviations))]
            for sound in entry.sound_ids:
                self._sounds[sound] = (*self._sounds.get(sound, ()), id)
            for program in entry.programs:
                self._programs[program] = (*self._programs.get(program, ()), id)
        for (id, text), words in zip(owned, fold_lines("\n".join([text for _, text in owned])) if owned else (), strict=True):
            key = ""
            if len(words) > 1 or not text.isascii():
                key = find_key(text)[0] if not _KEY_WORDS.isdisjoint(words) or not _KEY_SIGNS.isdisjoint(text) else ""
            for form in _forms(words) + (_forms(part_name(text).stem.split()) if key else ()):
                self._words.setdefault(form, []).append((id, key))

    def find(self, heading: str | PartName) -> Found:
        """The profiles that a heading names: as a whole, or without number, key and player words; never by a part of it."""
        name = part_name(heading) if isinstance(heading, str) else heading
        for words in dict.fromkeys((fold(name.text), name.stem)):
            if found := self._look(words, name):
                return found
        glosses = [self._look(piece, name) for piece in name.pieces]
        if len(glosses) < 2 or not all(glosses):
            return Found(name)
        known, ids = (set.intersection(*map(set, each)) for each in ((g.known for g in glosses), (g.ids for g in glosses)))
        return Found(name, tuple(sorted(ids)), tuple(sorted(known)))

    def _look(self, words: str, name: PartName) -> Found:
        hits = next((hits for form in _forms(words.split()) if (hits := self._words.get(form))), [])
        known = {id for id, _ in hits}
        size = _SIZE.search(name.text)
        if size and not name.key and any(size[0] in self._keys.get(id, ()) or self._sized(id) for id in known):
            name = replace(name, key=size[0], number="", players=None)  # what reads as two part numbers is a length here
        if name.key:
            wanted = frozenset(name.key.split(" & "))
            fits = (id for id, key in hits if not key or key in wanted)
            ids = {id for id in fits if not wanted.isdisjoint(self._keys.get(id, wanted))}
        else:  # an alias without a key speaks before one that names its key
            ids = {id for id, key in hits if not key} or known
        return Found(name, tuple(sorted(ids)), tuple(sorted(known)))

    def _sized(self, id: str) -> bool:
        """Whether headings name the instrument by its length, such as 1.8."""
        return any(_SIZE.fullmatch(key) for key in self._keys.get(id, ()))

    def offers(self, id: str, key: str) -> bool:
        """Whether the profile is played in every key of a heading ("Bb & A"), as far as it says."""
        return not key or set(key.split(" & ")) <= self._keys.get(id, frozenset(key.split(" & ")))

    def within(self, stem: str) -> Ids:
        """Profiles that some run of words in a longer name would name. A sign of a variant; never a match."""
        words = stem.split()[:12]
        runs = (words[a:b] for b in range(1, len(words) + 1) for a in range(b))
        return tuple(sorted({id for run in runs for form in _forms(run) for id, _ in self._words.get(form, [])}))

    def sound(self, sound: str) -> Ids:
        """Profiles of a standard sound id."""
        return tuple(sorted(self._sounds.get(sound.strip(), ())))

    def program(self, program: int | None) -> Ids:
        """Profiles of a MIDI program, from 1. None for 0 and 1: files give these where nobody chose."""
        return tuple(sorted(self._programs.get(program, ()))) if program and program > 1 else ()

    def named(self, value: str, where: str) -> str:
        """The profile of a user's word: an id, or any name. Raises BadConfig where it names none or several."""
        if value in self.entries:
            return value
        found = self.find(value)
        if len(found.ids) == 1:
            return found.ids[0]
        if found.ids:
            raise BadConfig(f"{where}: {value!r} fits several instruments: {', '.join(found.ids)}.")
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


def identify(
    part: Part,
    instrument: ScoreInstrument | None,
    names: Names,
    given: Mapping[str, str] = _NO_GIVEN,
    hooks: Callable[..., str | None] | None = None,
) -> Match:
    """The profile that a part, or one score-instrument of it, is for.

    given: part id or part name to profile id or any name of it. hooks: asked next, with `name` and `sound`, for an id or None.
    Raises BadConfig where a given value names nothing, BadPlugin where the hook's answer is no profile.
    """
    if instrument is None and len(part.instruments) == 1:
        instrument = part.instruments[0]
    case = _Case(part, instrument, names)
    match = _given(case, given) or _asked(case, hooks) or _one_of_several(case) or _told(case)
    return replace(match, key=match.key or case.name.key, name=case.name)


class _Case:
    """All witnesses of one question, looked up."""

    def __init__(self, part: Part, instrument: ScoreInstrument | None, names: Names) -> None:
        self.part, self.names = part, names
        self.texts = [text for text in dict.fromkeys((part.name, part.display_name)) if text.strip()] or [""]
        finds = [names.find(text) for text in self.texts]
        self.found = next((found for found in finds if found), None) or min(finds, key=lambda found: found.blank)
        self.name = self.found.name
        self.printed = f'part name "{" ".join(self.name.text.split())}"'
        known = [set(found.ids) for found in finds if found.ids]
        self.torn = tuple(sorted(set.union(*known))) if known and not set.intersection(*known) else ()
        self.sounds = names.sound(instrument.sound) if instrument else ()
        self.sound = f"instrument-sound {instrument.sound.strip()}" if instrument else ""
        self.called = names.find(instrument.name if instrument else "")
        self.calling = f'instrument-name "{self.called.name.text}"'
        self.program = instrument.program if instrument else None
        kinds = {(item.sound, fold(item.name)) for item in part.instruments}
        self.several = instrument is not None and len(kinds) > 1


def _given(case: _Case, given: Mapping[str, str]) -> Match | None:
    texts = {fold(text) for text in case.texts if text}
    key = case.part.id if case.part.id in given else next((key for key in given if fold(key) in texts), None)
    if key is None:
        return None
    option = f"--part {key}={given[key]}"
    return Match(case.names.named(given[key], option), "sure", f"given as {option}", key=part_name(given[key]).key)


def _asked(case: _Case, hooks: Callable[..., str | None] | None) -> Match | None:
    answer = hooks(name=case.name.text, sound=case.sound.partition(" ")[2]) if hooks else None
    if answer is None:
        return None
    if answer not in case.names.entries:
        raise BadPlugin(f"A plugin takes part {case.part.id} for {answer!r}, and no installed profile has this id.")
    return Match(answer, "sure", "recognised by a plugin")


def _one_of_several(case: _Case) -> Match | None:
    """A heading may name the first of several instruments only, so the data of the one asked for speak first."""
    if not case.several:
        return None
    if case.sounds and case.called.ids:
        return _both(case.called.ids, case.sounds, f"{case.calling} and {case.sound}", case.names)
    if case.sounds:
        headed = {*case.found.ids, *(id for stem in case.name.doubles for id in case.names.find(stem).ids)}
        return _settle(tuple(id for id in case.sounds if id in headed) or case.sounds, case.sound)
    if case.called:
        return _settle(case.called.ids, case.calling) if case.called.ids else _no_key(case.called, case.calling, case.names)
    return None


def _told(case: _Case) -> Match:
    """Printed name and sound together; behind an unknown name a guess; without a name, what else the file tells."""
    found = case.found
    if case.torn:
        return Match(None, "none", f"part name and display name disagree: {' / '.join(case.texts)}", case.torn)
    if found and not found.ids:
        return _no_key(found, case.printed, case.names)
    if found and case.sounds:
        return _both(found.ids, case.sounds, f"{case.printed} and {case.sound}", case.names)
    if found:
        doubles = all(map(case.names.find, map(part_name, case.name.doubles)))
        sure = doubles and not case.several and all(case.names.offers(id, case.name.key) for id in found.ids)
        return _settle(found.ids, case.printed, "sure" if sure else "guess")
    if case.sounds and not found.blank:
        evidence = f"{case.sound}; {case.printed} is not known"
        variant = set(case.sounds) & set(case.names.within(case.name.stem))
        if variant or case.name.doubles:  # "Great X" is not X; and one sound does not settle a name for two
            return Match(None, "none", evidence, case.sounds)
        return _settle(case.sounds, evidence, "guess")
    if case.sounds:
        return _settle(case.sounds, case.sound)
    return _untold(case)


def _untold(case: _Case) -> Match:
    """Abbreviation, instrument-name, program. Behind an unknown printed name these are candidates at most."""
    abbreviations = dict.fromkeys((case.part.abbreviation, case.part.display_abbreviation))
    witnesses = [(f'abbreviation "{text}"', case.names.find(text)) for text in abbreviations]
    witnesses.append((case.calling, case.called))
    if not case.found.blank:
        hints = sorted({id for _, found in witnesses for id in found.ids})
        return Match(None, "none", f"{case.printed} is not known", tuple(hints))
    for evidence, found in witnesses:
        if found:
            return _settle(found.ids, evidence) if found.ids else _no_key(found, evidence, case.names)
    if ids := case.names.program(case.program):
        return _settle(ids, f"MIDI program {case.program} (a guess)", "guess")
    return Match(None, "none", "no name, sound or program that is known")


def _both(called: Ids, sounds: Ids, evidence: str, names: Names) -> Match:
    """A name and a sound: what both name; else the finer of two in one family; else both are candidates."""
    if agreed := tuple(id for id in sounds if id in called) or _finer(called, sounds, names):
        return _settle(agreed, evidence)
    return Match(None, "none", f"{evidence} disagree", tuple(sorted({*called, *sounds})))


def _settle(ids: Ids, evidence: str, certainty: str = "sure") -> Match:
    if len(ids) == 1:
        return Match(ids[0], certainty, evidence)
    return Match(None, "none", f"{evidence}: several instruments fit", ids)


def _finer(called: Ids, sounds: Ids, names: Names) -> Ids:
    """Of two profiles of one family, the one whose sound id refines the other's ("a.b.c" refines "a.b")."""
    one, other = names.entries[called[0]], names.entries[sounds[0]]
    if len(called) > 1 or len(sounds) > 1 or not one.family or one.family != other.family:
        return ()
    if _refines(one, other):
        return called
    return sounds if _refines(other, one) else ()


def _refines(fine: Entry, coarse: Entry) -> bool:
    return any(sound.startswith(f"{base}.") for sound in fine.sound_ids for base in coarse.sound_ids)


def _no_key(found: Found, witness: str, names: Names) -> Match:
    known = names.entries[found.known[0]]
    evidence = f"{witness}: known as {known.names.get('en', known.id)}, but no profile in {found.name.key}"
    return Match(None, "none", evidence, key=found.name.key)
