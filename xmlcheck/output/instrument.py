"""One instrument's page for a terminal: what it can do, value by value with who says so, and what is not checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from xmlcheck.entry import Entry
from xmlcheck.facets import UNIVERSAL, Breath, Compass, Convention, Polyphony, Reading, Techniques
from xmlcheck.output.keys import drawn
from xmlcheck.output.page import Line, Sheet
from xmlcheck.output.values import MARGIN, fact, listed, said, told, vouched
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry
from xmlcheck.rule import Derived, Need, facets_behind, required, requirements
from xmlcheck.shelf import Catalogue

_OWN = ("compass", "reading", "polyphony", "breath", "techniques")
"""Facets that have a form of their own on the page."""
_ORDER = {
    "Registers": ("registers", "vocal", "switches"),
    "Tuning and keys": (
        "sizes", "strings", "string_set", "fingerboard", "kettles", "bars", "reeds", "drones", "brass", "buttons", "pieces",
    ),
    "What sounds together": ("hand", "bow", "plucking", "picks", "hammers", "mallets", "keyboard", "strokes"),
    "Notes outside the tuning": ("retuning", "levers", "harp_pedals", "pressing", "fingering", "harmonics"),
    "Speed and length": ("bowing", "tonguing", "blowing", "ring", "ringing", "bellows", "pedals", "mutes"),
}  # fmt: skip
"""Where on the page the facets of plugins stand, by their keys; all others follow under a heading of their own."""


def instrument_page(profile: Profile, entry: Entry, registry: Registry | Catalogue, sheet: Sheet) -> Iterator[Line]:
    """All that the profile of one instrument states, each value with its certainty and sources, and what is checked by it."""
    yield ((profile.name, "strong"), (f"{sheet.dot}{profile.id}{sheet.dot}{profile.plugin}", "dim"))
    others = dict.fromkeys((*profile.names.values(), *entry.aliases))
    others.pop(profile.name, None)
    yield from fact("Names", ", ".join(others), sheet)
    kind = sheet.dot.join(text for text in (profile.tradition, profile.family, profile.mechanism) if text)
    yield from fact("Kind", kind, sheet)
    yield from _compass(profile, sheet)
    reading = profile.get(Reading)
    for convention in reading.conventions if reading else ():
        yield from fact("Reads", f"{_reads(convention)} {vouched(convention)}", sheet)
    yield from _facets(profile, sheet)
    yield from _techniques(profile, sheet)
    yield from _headed("Cautions", (("Caution", f"{item.text} {vouched(item)}") for item in profile.cautions), sheet)
    yield from _checked(profile, registry, sheet)
    yield from listed("Sources", (f"{key}: {text}" for key, text in profile.sources.items()), sheet)


def facets_needed(needs: Iterable[Need], derived: Mapping[Any, Derived]) -> set[str]:
    """Keys of the facets without which a rule does not run, those of the derived values it asks for included."""
    return set(facets_behind(required(needs), requirements(derived.values())))


def _headed(title: str, rows: Iterable[tuple[str, str]], sheet: Sheet) -> Iterator[Line]:
    """A heading and rows of name and text; nothing where there are none."""
    lines = [line for name, text in rows for line in fact(name, text, sheet)]
    if lines:
        yield ()
        yield ((f"  {title}", "strong"),)
        yield from lines


def _compass(profile: Profile, sheet: Sheet) -> Iterator[Line]:
    compass = profile.get(Compass)
    if compass is None:
        return
    yield from fact("Compass", f"{said(compass.lowest)} to {said(compass.highest)}", sheet)
    low, high = compass.comfortable_lowest, compass.comfortable_highest
    if low is not None or high is not None:
        yield from fact("Comfortable", f"{said(low) if low else '…'} to {said(high) if high else '…'}", sheet)
    comfortable = ((low or compass.lowest).value, (high or compass.highest).value)
    for number, line in enumerate(drawn(compass.lowest.value, compass.highest.value, comfortable, sheet.width - MARGIN)):
        yield (("  Keys".ljust(MARGIN) if number == 0 else " " * MARGIN, "dim"), (line, ""))
    for item in (compass.lowest, compass.highest, low, high):
        if item is not None and item.note:
            yield from fact("", f"{item.value}: {item.note}", sheet)


def _reads(convention: Convention) -> str:
    size = convention.semitones
    way = "higher" if size > 0 else "lower"
    step = f"{abs(size).normalize():f} semitones {way} than written" if size else "as written"
    clef = f", clef {convention.clef}" if convention.clef else ""
    note = f" {convention.note}" if convention.note else ""
    return f"{convention.id}: sounds {step}{clef}{', the usual way' if convention.usual else ''}.{note}"


def _facets(profile: Profile, sheet: Sheet) -> Iterator[Line]:
    """The facets of all plugins under the headings of the page, in its order."""
    left = {key: facet for key, facet in profile.facets.items() if key not in _OWN}
    for title, keys in _ORDER.items():
        rows = [row for key in keys if key in left for row in _rows(key, left.pop(key))]
        if title == "What sounds together":
            rows = [*_together(profile), *rows]
        if title == "Speed and length":
            rows = [*_breath(profile), *rows]
        yield from _headed(title, rows, sheet)
    for key, facet in left.items():
        yield from _headed(key.replace("_", " ").capitalize(), _rows("", facet), sheet)


def _rows(key: str, facet: Any) -> Iterator[tuple[str, str]]:
    """The values of one facet, its name beside the first."""
    for number, text in enumerate(told(facet)):
        yield key.replace("_", " ").capitalize() if number == 0 else "", text


def _together(profile: Profile) -> Iterator[tuple[str, str]]:
    polyphony = profile.get(Polyphony)
    if polyphony is not None:
        usual = f"; usually {said(polyphony.usual)}" if polyphony.usual else ""
        note = f" {polyphony.at_once.note}" if polyphony.at_once.note else ""
        yield "At once", f"{said(polyphony.at_once)}{usual}{note}"


def _breath(profile: Profile) -> Iterator[tuple[str, str]]:
    breath = profile.get(Breath)
    if breath is not None:
        levels = ((name, getattr(breath, name)) for name in ("soft", "middle", "loud"))
        yield "Breath", "; ".join(f"{name} {value.value:g} s {vouched(value)}" for name, value in levels if value is not None)
        if breath.circular is not None:
            yield "Circular", f"{said(breath.circular)} A matter for the player alone."


def _techniques(profile: Profile, sheet: Sheet) -> Iterator[Line]:
    techniques = profile.get(Techniques)
    rows = []
    for item in techniques.has if techniques else ():
        asked = ", ".join((*(f'"{word}"' for word in item.words), *item.marks))
        native = f" ({item.native})" if item.native else ""
        ends = f" Ends with {', '.join(map(_quoted, item.cancels))}." if item.lasting and item.cancels else ""
        note = f" {item.note}" if item.note else ""
        rows.append(("Technique", f"{item.title}{native}: {asked or 'no words of its own'}.{ends}{note} {vouched(item)}"))
    for foreign in techniques.foreign if techniques else ():
        told_as = ", ".join((*map(_quoted, foreign.words), *foreign.marks))
        nearest = f"; nearest: {foreign.instead}" if foreign.instead else ""
        rows.append(("Foreign", f"{told_as}{nearest} {vouched(foreign)}"))
    yield from _headed("Techniques", rows, sheet)


def _quoted(word: str) -> str:
    return f'"{word}"'


def _checked(profile: Profile, registry: Registry | Catalogue, sheet: Sheet) -> Iterator[Line]:
    """The rules that check it, those that lack a value, and how many are for other kinds of instruments altogether."""
    universal = {kind.FACET for kind in UNIVERSAL}  # type: ignore[attr-defined]
    asked = registry.asked
    owned: dict[str, set[str]] = {}
    for rule in asked:
        owned.setdefault(rule.card.plugin, set()).update(rule.facets - universal)
    applied: list[str] = []
    lacking: dict[str, list[str]] = {}
    elsewhere: dict[str, int] = {}
    for rule in asked:
        missing = sorted(rule.facets - set(profile.facets))
        own = owned[rule.card.plugin]
        if not missing:
            applied.append(f"{rule.card.id}: {rule.card.title}")
        elif not own or not own.isdisjoint(profile.facets):
            lacking.setdefault(", ".join(missing), []).append(rule.card.id)
        else:
            elsewhere[rule.card.plugin] = elsewhere.get(rule.card.plugin, 0) + 1
    yield from listed("Rules that check it", applied, sheet)
    texts = [f"for want of {facets}: {', '.join(rules)}" for facets, rules in sorted(lacking.items())]
    if elsewhere:
        texts.append(
            "made for other instruments: " + ", ".join(f"{count} of {name}" for name, count in sorted(elsewhere.items()))
        )
    yield from listed("What is not checked", texts, sheet)
    unowned = (f"{table}: no installed plugin owns this table; it is kept, unchecked" for table in profile.unowned)
    yield from listed("Not used", unowned, sheet)
