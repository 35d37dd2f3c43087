"""Which instrument a part is for: its names and sounds in, a profile id with the evidence out. Never a silent pick.

Witnesses in order: the user's word, a plugin, instrument-sound together with the printed name, abbreviation, instrument-name,
MIDI program. Names and sound ids are both often defaults that nobody chose, so two that disagree are reported, not weighed.
The printed name is what a player goes by: behind one that is not known, a sound id is a guess and all else a mere candidate.
A name that several instruments share is settled by its transposition or the headings beside it, or not at all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from xmlcheck.entry import Entry, Ids, Known, Shared
from xmlcheck.errors import BadPlugin
from xmlcheck.model import Part, ScoreInstrument
from xmlcheck.names import Found, Names
from xmlcheck.partname import PartName, fold, part_name

__all__ = ["Entry", "Found", "Known", "Match", "Names", "Shared", "identify"]

Headings = list[tuple[PartName, frozenset[str]]]
_KEYS_BY_STEP: tuple[tuple[str, ...], ...] = tuple(
    tuple(keys.split()) for keys in ("C B#", "Db C#", "D", "Eb D#", "E Fb", "F E#", "Gb F#", "G", "Ab G#", "A", "Bb A#", "B Cb")
)
"""Keys by the pitch class of what a written C sounds."""
USUAL = "*"
"""Among those beside whose parts an instrument is meant: it is meant where no other fits."""
_NO_GIVEN: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Match:
    """The profile of a part. certainty: "sure", "guess" or "none". evidence: one phrase, for people.

    profile is None where nothing is known or several fit; those stand in `candidates`. key: what the heading names. known: the
    instrument, or the kind of instrument, where it is known and has no profile.
    """

    profile: str | None
    certainty: str
    evidence: str
    candidates: tuple[str, ...] = ()
    key: str = ""
    name: PartName | None = None
    known: str = ""


def identify(
    part: Part,
    instrument: ScoreInstrument | None,
    names: Names,
    given: Mapping[str, str] = _NO_GIVEN,
    hooks: Callable[..., str | None] | None = None,
    score: Sequence[Part] = (),
    several: bool | None = None,
) -> Match:
    """The profile that a part, or one score-instrument of it, is for.

    given: part id or part name to profile id or any name of it. hooks: asked next, with `name` and `sound`, for an id or None.
    score: all parts of the score in order, whose headings settle a shared name; empty where they have no say.
    several: `several_kinds(part)`, from who asks for each of many instruments.
    Raises BadConfig where a given value names nothing, BadPlugin where the hook's answer is no profile.
    """
    if instrument is None and len(part.instruments) == 1:
        instrument = part.instruments[0]
    if several is None:
        several = several_kinds(part)
    case = _Case(part, instrument, names, score, several)
    match = _given(case, given) or _asked(case, hooks) or _one_of_several(case) or _told(case)
    return replace(match, key=match.key or case.name.key, name=case.name)


def several_kinds(part: Part) -> bool:
    """Whether the score-instruments of a part differ by sound or name."""
    kinds = {(item.sound, item.name) for item in part.instruments}
    return len({(sound, fold(name)) for sound, name in kinds}) > 1


class _Case:
    """All witnesses of one question, looked up."""

    def __init__(
        self, part: Part, instrument: ScoreInstrument | None, names: Names, score: Sequence[Part], several: bool
    ) -> None:
        self.part, self.names, self.score = part, names, score
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
        self.several = instrument is not None and several

    def transposed(self, ids: Ids) -> tuple[Ids, str]:
        """Of several instruments the one whose key the part's first <transpose> names, and how it is told; else all of `ids`."""
        given = next((item for item in self.part.transposes if not item.for_part), None) if self.score else None
        if given is None or not given.chromatic % 12:
            return ids, ""
        fits = tuple(id for id in ids if any(self.names.states(id, key) for key in _KEYS_BY_STEP[int(given.chromatic) % 12]))
        return (fits, f"transposed by {given.semitones} semitones") if len(fits) == 1 else (ids, "")

    def first_key(self, ids: Ids) -> Ids:
        """Of instruments in several keys ("in B flat / A") the one in the key named first; else all of `ids`."""
        first, several, _ = self.name.key.partition(" & ")
        fits = tuple(id for id in ids if several and self.names.states(id, first))
        return fits if len(fits) == 1 else ids

    def beside(self, ids: Ids) -> tuple[Ids, str]:
        """Of instruments that share the printed name, the one that belongs beside the other headings, and those headings.

        The nearest heading of another name on either side speaks first, then all of them. All of `ids` where none or several fit.
        """
        among = self.names.among(self.name)
        if len(set(ids) & set(among)) < 2:
            return ids, ""
        for heard in self._heard():
            fits = [id for id in ids if any(not meant.isdisjoint(among.get(id, ())) for _, meant in heard)]
            if len(fits) == 1:
                told = dict.fromkeys(name.text for name, meant in heard if not meant.isdisjoint(among[fits[0]]))
                return (fits[0],), ", ".join(list(told)[:2])
            if fits:
                return ids, ""
        usual = tuple(id for id in ids if USUAL in among.get(id, ()))
        return (usual, "") if len(usual) == 1 else (ids, "")

    def _heard(self) -> tuple[Headings, ...]:
        """Headings around the names of this kind, the nearest ones above and below, then all; each with what it means."""
        place = next((n for n, part in enumerate(self.score) if part is self.part), None)
        if place is None:
            return ()
        headings = [self._meant(part) for part in self.score]
        others = [heading[0].stem != self.name.stem and bool(heading[1]) for heading in headings]
        above = next((n for n in range(place - 1, -1, -1) if others[n]), None)
        below = next((n for n in range(place + 1, len(headings)) if others[n]), None)
        near = [headings[n] for n in (above, below) if n is not None]
        everywhere = [heading for heading, other in zip(headings, others, strict=True) if other]
        return *self._around(place, headings, others), near, everywhere

    def _around(self, place: int, headings: Headings, others: Sequence[bool]) -> tuple[Headings, Headings]:
        """The headings above and below a run of names that mean instruments of different kinds, where each of the run can mean
        one that belongs beside them; and the others of the run."""
        run = {place: self.names.among(self.name)}
        for step in (-1, 1):
            n = place + step
            while 0 <= n < len(headings) and (among := self._torn_name(headings[n][0])):
                run[n] = among
                n += step
        beyond = (range(min(run) - 1, -1, -1), range(max(run) + 1, len(headings)))
        around = [heading for way in beyond if (heading := next((headings[n] for n in way if headings[n][1]), None))]
        meant = frozenset[str]().union(*(ids for _, ids in around))
        fits = all(any(not meant.isdisjoint(beside) for beside in among.values()) for among in run.values())
        return around if fits else [], [headings[n] for n in sorted(run) if others[n]]

    def _torn_name(self, name: PartName) -> Mapping[str, Ids]:
        """The instruments that share a name, where they are of different kinds; empty where they are sizes of one."""
        among = self.names.among(name)
        return among if len({self._kind(id) for id in among}) > 1 else {}

    def _kind(self, id: str) -> str:
        """The beginning of its sound id that sizes of one instrument share (two levels of it, three in the class "wind")."""
        entry = self.names.entries.get(id) or self.names.bare.get(id)
        levels = entry.sound_ids[0].split(".") if entry is not None and entry.sound_ids else [id]
        return ".".join(levels[: 3 if levels[0] == "wind" else 2])

    def _meant(self, part: Part) -> tuple[PartName, frozenset[str]]:
        """A heading of the score, and what it means; of a name that different kinds share the one usually meant, if any."""
        found = self.names.find(part.name) or self.names.find(part.display_name)
        among = self._torn_name(found.name)
        return found.name, frozenset(id for id in found.ids if not among or USUAL in among.get(id, ()))


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
        return _settle(tuple(id for id in case.sounds if id in headed) or case.sounds, case.sound, case.names)
    if case.called:
        return _named(case.called, case.calling, case.names)
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
        ids, how = case.transposed(found.ids) if len(found.ids) > 1 else (found.ids, "")
        if len(ids) > 1:
            ids, how = case.beside(ids)
            how = f"beside {how}" if how else ""
        if len(ids) > 1 and len(ids := case.first_key(ids)) == 1:
            sure, how = False, "the first of its keys"
        return _settle(ids, f"{case.printed}, {how}" if how else case.printed, case.names, "sure" if sure else "guess")
    if case.sounds and not found.blank:
        evidence = f"{case.sound}; {case.printed} is not known"
        variant = set(case.sounds) & set(case.names.within(case.name.stem))
        if variant or case.name.doubles:  # "Great X" is not X; and one sound does not settle a name for two
            return Match(None, "none", evidence, case.sounds)
        return _settle(case.sounds, evidence, case.names, "guess")
    if case.sounds:
        return _settle(case.sounds, case.sound, case.names)
    return _untold(case)


def _untold(case: _Case) -> Match:
    """Abbreviation, instrument-name, program. Behind an unknown printed name these are candidates at most."""
    abbreviations = dict.fromkeys((case.part.abbreviation, case.part.display_abbreviation))
    printed = fold(f"{case.part.name} {case.part.display_name}").split()
    own = [text for text in abbreviations if not _shortens(text, printed)]
    witnesses = [(f'abbreviation "{text}"', case.names.find(text)) for text in own]
    witnesses.append((case.calling, case.called))
    kind = case.names.told_by(case.sound.partition(" ")[2])
    if not case.found.blank:
        hints = sorted({id for _, found in witnesses for id in found.ids if id in case.names.entries})
        return Match(None, "none", f"{case.printed} is not known", tuple(hints), known="" if hints else kind)
    for evidence, found in witnesses:
        if found:
            return _named(found, evidence, case.names)
    if kind:
        return Match(None, "none", f"{case.sound}: {kind}, no profile yet", known=kind)
    if ids := case.names.program(case.program):
        return _settle(ids, f"MIDI program {case.program} (a guess)", case.names, "guess")
    return Match(None, "none", "no name, sound or program that is known")


def _shortens(abbreviation: str, words: list[str]) -> bool:
    """Whether an abbreviation only shortens a name that says nothing: "Tr. 7" of "Track 7" is no instrument's."""
    letters = "".join(letter for letter in fold(abbreviation) if letter.isalpha())
    return bool(letters) and any(word.startswith(letters) for word in words)


def _named(found: Found, witness: str, names: Names) -> Match:
    return _settle(found.ids, witness, names) if found.ids else _no_key(found, witness, names)


def _both(called: Ids, sounds: Ids, evidence: str, names: Names) -> Match:
    """A name and a sound: what both name; else the finer of two in one family; else both are candidates."""
    if agreed := tuple(id for id in sounds if id in called) or _finer(called, sounds, names):
        return _settle(agreed, evidence, names)
    return Match(None, "none", f"{evidence} disagree", tuple(sorted({*called, *sounds} & set(names.entries))))


def _settle(ids: Ids, evidence: str, names: Names, certainty: str = "sure") -> Match:
    if len(ids) > 1:
        return Match(None, "none", f"{evidence}: several instruments fit", ids)
    if ids[0] not in names.entries:
        title = names.title(ids[0])
        return Match(None, "none", f"{evidence}: {title} is known, no profile yet", known=title)
    return Match(ids[0], certainty, evidence)


def _finer(called: Ids, sounds: Ids, names: Names) -> Ids:
    """Of two profiles of one family, the one whose sound id refines the other's ("a.b.c" refines "a.b")."""
    one, other = names.entries.get(called[0]), names.entries[sounds[0]]
    if one is None or len(called) > 1 or len(sounds) > 1 or not one.family or one.family != other.family:
        return ()
    if _refines(one, other):
        return called
    return sounds if _refines(other, one) else ()


def _refines(fine: Entry, coarse: Entry) -> bool:
    return any(sound.startswith(f"{base}.") for sound in fine.sound_ids for base in coarse.sound_ids)


def _no_key(found: Found, witness: str, names: Names) -> Match:
    evidence = f"{witness}: known as {names.title(found.known[0])}, but no profile in {found.name.key}"
    return Match(None, "none", evidence, key=found.name.key)
