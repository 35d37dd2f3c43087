"""`<part-list>`: what each part is called, which instruments it has, and the groups around it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from lxml import etree

from xmlcheck.model import ScoreInstrument
from xmlcheck.reader.grid import whole
from xmlcheck.reader.plain import ours

_SIGNS = {"sharp": "♯", "flat": "♭", "natural": "♮"}


@dataclass(frozen=True, slots=True)
class Listed:
    """One `<score-part>`: the fields of a Part that come from the list."""

    id: str
    name: str = ""
    display_name: str = ""
    abbreviation: str = ""
    display_abbreviation: str = ""
    instruments: tuple[ScoreInstrument, ...] = ()
    groups: tuple[str, ...] = ()
    editions: tuple[str, ...] = ()
    links: tuple[str, ...] = ()
    fields: tuple[tuple[str, str], ...] = ()

    def parts(self) -> dict[str, Any]:
        """The fields by name."""
        return {name: getattr(self, name) for name in self.__slots__}


def read_part_list(root: etree._Element) -> dict[str, Listed]:
    """The listed parts by id, in order. Groups may overlap: a part is in every group that is open where it stands."""
    found: dict[str, Listed] = {}
    opened: dict[str, str] = {}
    for child in root.iterfind("part-list/*"):
        if child.tag == "part-group":
            number = child.get("number", "1")
            if child.get("type") == "stop":
                opened.pop(number, None)
            else:
                opened[number] = display(child.find("group-name-display")) or _text(child, "group-name")
        elif child.tag == "score-part":
            one = _score_part(child, tuple(name for name in opened.values() if name))
            found.setdefault(one.id, one)
    return found


def display(element: etree._Element | None) -> str:
    """The text of a name-display element: its display-texts and accidental-texts joined."""
    if element is None:
        return ""
    pieces = []
    for child in element:
        if child.tag == "display-text":
            pieces.append(child.text or "")
        elif child.tag == "accidental-text":
            name = (child.text or "").strip()
            pieces.append(_SIGNS.get(name, name))
    return "".join(pieces).strip()


def miscellaneous(element: etree._Element) -> tuple[tuple[str, str], ...]:
    """The miscellaneous fields, name and text, in an element's `<identification>`. A field of ours is passed over."""
    fields = element.iterfind("identification/miscellaneous/miscellaneous-field")
    return tuple((field.get("name", ""), field.text or "") for field in fields if not ours(field))


def _text(element: etree._Element, name: str) -> str:
    return (element.findtext(name) or "").strip()


def _score_part(element: etree._Element, groups: tuple[str, ...]) -> Listed:
    instruments: dict[str, ScoreInstrument] = {}
    for child in element:
        if child.tag == "score-instrument":
            one = _instrument(child)
            instruments[one.id] = one
        elif child.tag == "midi-instrument":
            name = child.get("id", "")
            # Some exports give playback data and no score-instrument: the program is then all there is to go by.
            instruments[name] = _midi(child, instruments.get(name) or ScoreInstrument(name, _text(child, "midi-name")))
    return Listed(
        id=element.get("id", ""),
        name=_text(element, "part-name"),
        display_name=display(element.find("part-name-display")),
        abbreviation=_text(element, "part-abbreviation"),
        display_abbreviation=display(element.find("part-abbreviation-display")),
        instruments=tuple(instruments.values()),
        groups=groups,
        editions=tuple((group.text or "").strip() for group in element.iterchildren("group")),
        links=tuple(link.get("{http://www.w3.org/1999/xlink}href", "") for link in element.iterchildren("part-link")),
        fields=miscellaneous(element),
    )


def players(element: etree._Element) -> str:
    """How many play: "solo", the text of `<ensemble>` (or the word itself where it is empty), or nothing."""
    many = element.find("ensemble")
    if many is not None:
        return (many.text or "").strip() or "ensemble"
    return "solo" if element.find("solo") is not None else ""


def _instrument(element: etree._Element) -> ScoreInstrument:
    return ScoreInstrument(
        id=element.get("id", ""),
        name=_text(element, "instrument-name"),
        abbreviation=_text(element, "instrument-abbreviation"),
        sound=_text(element, "instrument-sound"),
        ensemble=players(element),
    )


def _midi(element: etree._Element, instrument: ScoreInstrument) -> ScoreInstrument:
    return replace(
        instrument,
        program=whole(element.findtext("midi-program")),
        unpitched=whole(element.findtext("midi-unpitched")),
        channel=whole(element.findtext("midi-channel")),
    )
