"""An instrument's page: pictures of its compass, tunings and sizes, and every value with its certainty and sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from xmlcheck import engrave
from xmlcheck.entry import Entry
from xmlcheck.finding import Certainty
from xmlcheck.output.html import compass, render, words
from xmlcheck.output.html.plain import pitch_of, records, table, texts
from xmlcheck.output.html.plans import row
from xmlcheck.output.page import printable
from xmlcheck.pitch import Pitch
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry
from xmlcheck.shelf import Catalogue

_OWN = frozenset(("cite", "certainty", "note", "id", "title", "origin", "native"))
_TUNINGS = 12
"""Tunings that are drawn; the others stand in the table."""


@dataclass(frozen=True, slots=True)
class Row:
    """One value: its name, what it is, how sure, its source keys, and what is to be said of it."""

    name: str
    value: str
    certainty: str
    cite: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Section:
    """One facet."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class InstrumentView:
    """All that one profile states. applied: rules that check it, id and title; lacking: facets and the rules that want them."""

    id: str
    name: str
    plugin: str
    names: str
    kind: str
    cautions: tuple[Row, ...]
    compass: Markup | None
    told: str
    bands: tuple[str, ...]
    pictures: tuple[tuple[Markup, str], ...]
    sections: tuple[Section, ...]
    applied: tuple[tuple[str, str], ...]
    lacking: tuple[tuple[str, str], ...]
    sources: tuple[tuple[str, str], ...]
    certainties: tuple[tuple[str, str], ...]


def make(profile: Profile, entry: Entry, registry: Registry | Catalogue) -> str:
    """The page of one instrument as HTML."""
    return render.page("instrument.html.j2", it=view(profile, entry, registry))


def view(profile: Profile, entry: Entry, registry: Registry | Catalogue) -> InstrumentView:
    """What the page shows."""
    clefs = engrave.clefs()
    known = compass.compass(profile.tables)
    drawn = compass.picture(known, None, clefs)
    others = dict.fromkeys((*profile.names.values(), *entry.aliases))
    others.pop(profile.name, None)
    applied, lacking = _checked(profile, registry)
    return InstrumentView(
        id=profile.id,
        name=printable(profile.name),
        plugin=profile.plugin,
        names=", ".join(map(printable, others)),
        kind=", ".join(printable(text) for text in (profile.tradition, profile.family, profile.mechanism) if text),
        cautions=tuple(Row("", words.sentence(item.text), item.certainty.value, item.cite, "") for item in profile.cautions),
        compass=Markup(drawn) if drawn else None,
        told=compass.told(known, None),
        bands=tuple(map(compass.band_text, known.bands)),
        pictures=tuple((Markup(svg), caption) for svg, caption in _pictures(profile.tables, clefs)),
        sections=tuple(_sections(profile.tables)),
        applied=applied,
        lacking=lacking,
        sources=tuple((printable(key), printable(text)) for key, text in profile.sources.items()),
        certainties=tuple((item.value, words.CERTAINTIES[item]) for item in reversed(Certainty)),
    )


def _checked(
    profile: Profile, registry: Registry | Catalogue
) -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
    applied: list[tuple[str, str]] = []
    lacking: dict[str, list[str]] = {}
    for rule in registry.asked:
        missing = sorted(rule.facets - set(profile.facets))
        if missing:
            lacking.setdefault(", ".join(missing), []).append(rule.card.id)
        else:
            applied.append((rule.card.id, printable(rule.card.title)))
    return tuple(applied), tuple((facets, ", ".join(rules)) for facets, rules in sorted(lacking.items()))


def _pictures(tables: Mapping[str, Any], clefs: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Open strings, named tunings and sizes, head by head."""
    strings = table(tables, "strings")
    opened = [pitch for item in records(strings.get("courses")) if (pitch := pitch_of(item.get("pitch"))) is not None]
    if opened:
        yield row(_labelled(opened, (), True), "Open strings, usual tuning", clefs), "Open strings, usual tuning"
    string_set = table(tables, "string_set")
    for owner, names, treble in ((strings, (), True), (string_set, _names(string_set), False)):
        for tuning in list(records(owner.get("tunings")))[:_TUNINGS]:
            pitches = [pitch_of(text) for text in texts(tuning.get("pitches"))]
            known = [pitch for pitch in pitches if pitch is not None]
            if known and len(known) == len(pitches):
                title = printable(tuning.get("title") or tuning.get("id") or "Tuning")
                yield row(_labelled(known, names, treble), title, clefs), title
    sizes = list(records(table(tables, "sizes").get("carried")))
    lowest = [
        (str(item.get("key") or item.get("id") or ""), pitch_of(item.get("lowest")), item.get("usual") is True)
        for item in sizes
    ]
    found = [(name, pitch, full) for name, pitch, full in lowest if pitch is not None]
    if len(found) > 1:
        yield row(found, "Lowest notes of the sizes carried", clefs), "Lowest notes of the sizes carried; full: the usual one"


def _labelled(pitches: list[Pitch], names: tuple[str, ...], treble: bool) -> list[tuple[str, Pitch, bool]]:
    """Heads with the players' names of the strings, or numbers; treble: the last string is number 1, as the standard counts."""
    numbers = [str(number) for number in range(1, len(pitches) + 1)]
    labels = names if len(names) == len(pitches) else numbers[::-1] if treble else numbers
    return [(label, pitch, False) for label, pitch in zip(labels, pitches, strict=True)]


def _names(owner: Mapping[str, Any]) -> tuple[str, ...]:
    given = owner.get("names")
    return texts(given.get("value") if isinstance(given, Mapping) else given)


def _sections(tables: Mapping[str, Any]) -> Iterator[Section]:
    for key, value in tables.items():
        rows = tuple(_rows(value, ""))
        if rows:
            yield Section(key.replace("_", " ").capitalize(), rows)


def _rows(value: Any, name: str) -> Iterator[Row]:
    """The values of a table one by one; a record is one row."""
    if isinstance(value, Mapping) and "value" in value:
        yield _row(name, _text(value["value"]), value)
    elif isinstance(value, Mapping):
        for key, item in value.items():
            yield from _rows(item, f"{name} {key.replace('_', ' ')}".strip())
    elif isinstance(value, list) and value and all(isinstance(item, Mapping) for item in value):
        for number, item in enumerate(value, 1):
            native = f" ({printable(item['native'])})" if item.get("native") else ""
            title = f"{printable(item.get('title') or item.get('id') or f'{name} {number}')}{native}"
            told = (f"{key.replace('_', ' ')}: {_text(held)}" for key, held in item.items() if key not in _OWN)
            yield _row(title, "; ".join(text for text in told if not text.endswith(": ")), item)
    elif value not in (None, "", []):
        yield Row(name, _text(value), "", (), "")


def _row(name: str, value: str, held: Mapping[str, Any]) -> Row:
    stated = held.get("certainty", Certainty.MEMORY.value)
    return Row(printable(name), value, printable(stated), texts(held.get("cite")), words.signs(str(held.get("note") or "")))


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return _text(value["value"]) if "value" in value else ", ".join(f"{key} {_text(item)}" for key, item in value.items())
    if isinstance(value, (list, tuple)):
        return ", ".join(map(_text, value))
    return words.signs(str(value))
