"""Pages about what is installed: one rule's card, one instrument's profile, and lists of instruments and plugins."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from typing import Any

from xmlcheck.cited import Cited
from xmlcheck.facets import Breath, Compass, Convention, Polyphony, Reading, Techniques
from xmlcheck.finding import Certainty
from xmlcheck.identify import Entry
from xmlcheck.output.page import Line, Sheet, block, cells, printable
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry
from xmlcheck.rule import Derived, Need, Rule

_TOLD = ("compass", "reading", "polyphony", "breath", "techniques")


def rule_page(rule: Rule, derived: Mapping[Any, Derived], sheet: Sheet) -> Iterator[Line]:
    """A rule's card: what it says, why, what to do, its sources, what it needs, and its settings."""
    card = rule.card
    yield ((card.title, "strong"), (f"{sheet.dot}{card.id}{sheet.dot}{card.plugin}", "dim"))
    yield from _fact("Grade", f"{sheet.shape(card.grade)} {card.grade.value} at most, for the {card.to}", sheet)
    yield from _fact("Mark", f"[check n] {card.label}", sheet)
    yield from _fact("Says", card.message, sheet)
    yield from _fact("Why", card.why, sheet)
    yield from _fact("Remedy", card.remedy, sheet)
    for text in card.alternatives:
        yield from _fact("Or", text, sheet)
    yield from _fact("Caution", card.caution, sheet)
    yield from _fact("Explains", ", ".join(card.explains), sheet)
    yield from _fact("Needs", ", ".join(sorted(facets_needed(rule.needs, derived))) or "no facet: it checks any part", sheet)
    for need in rule.needs:
        if need.setting:
            yield from _fact("Setting", f'{need.name} = {need.default!r}, in xmlcheck.toml: [settings."{card.id}"]', sheet)
    yield from _fact("How often", card.base_rate, sheet)
    for key in card.cite:
        yield from _fact("Source", card.sources.get(key, key), sheet)


def instrument_page(profile: Profile, entry: Entry, registry: Registry, sheet: Sheet) -> Iterator[Line]:
    """All that the profile of one instrument states, each value with its certainty and sources, and what is checked by it."""
    yield ((profile.name, "strong"), (f"{sheet.dot}{profile.id}{sheet.dot}{profile.plugin}", "dim"))
    others = dict.fromkeys((*profile.names.values(), *entry.aliases))
    others.pop(profile.name, None)
    yield from _fact("Names", ", ".join(others), sheet)
    kind = sheet.dot.join(text for text in (profile.tradition, profile.family, profile.mechanism) if text)
    yield from _fact("Kind", kind, sheet)
    for caution in profile.cautions:
        yield from _fact("Caution", f"{caution.text} {_vouched(caution)}", sheet)
    yield from _compass(profile, sheet)
    reading = profile.get(Reading)
    for convention in reading.conventions if reading else ():
        yield from _fact("Reads", f"{_reads(convention)} {_vouched(convention)}", sheet)
    yield from _sound(profile, sheet)
    for key, facet in profile.facets.items():
        if key not in _TOLD:
            yield from _fact(key.replace("_", " ").capitalize(), "; ".join(_leaves(facet)), sheet)
    yield from _checked(profile, registry, sheet)
    yield from _listed("Sources", (f"{key}: {text}" for key, text in profile.sources.items()), sheet)


def instrument_list(entries: Iterable[Entry], sheet: Sheet) -> Iterator[Line]:
    """One instrument a line: id, then its names."""
    chosen = sorted(entries, key=lambda entry: entry.id)
    margin = min(24, max((cells(entry.id) for entry in chosen), default=0) + 2)
    for entry in chosen:
        names = list(dict.fromkeys((entry.names.get("en", entry.id), *entry.names.values())))
        first = entry.id.ljust(margin)
        if cells(first) > margin:
            yield ((entry.id, ""),)
            first = ""
        yield from block(", ".join(names), sheet, margin, first=first)


def plugin_list(registry: Registry, sheet: Sheet) -> Iterator[Line]:
    """One plugin a line: name, version, profiles, rules, and how many of its values each certainty vouches for."""
    head = ["plugin", "version", "profiles", "rules", *(item.value for item in reversed(Certainty))]
    rows = [head]
    for plugin in registry.plugins:
        counts = dict.fromkeys(Certainty, 0)
        for offer in registry.offers.values():
            if offer.entry.plugin == plugin.name:
                for certainty in certainties(offer.table()):
                    counts[certainty] += 1
        numbers = (plugin.profiles, plugin.rules, *(counts[item] for item in reversed(Certainty)))
        rows.append([plugin.name, plugin.version, *map(str, numbers)])
    widths = [max(len(row[column]) for row in rows) for column in range(len(head))]
    for number, row in enumerate(rows):
        sized = list(zip(row, widths, strict=True))
        told = [*(text.ljust(width) for text, width in sized[:2]), *(text.rjust(width) for text, width in sized[2:])]
        yield (("  ".join(told), "" if number else "dim"),)


def certainties(table: Any, listed: bool = False) -> Iterator[Certainty]:
    """The certainty of every value in a profile's tables; a value that states none is from memory.

    A record in a list (a technique, a caution) is one value, unless its own leaves are values.
    """
    if isinstance(table, Mapping):
        record = listed and not any(isinstance(item, Mapping) and "value" in item for item in table.values())
        if record or not {"value", "certainty", "cite"}.isdisjoint(table):
            stated = table.get("certainty", "memory")
            yield Certainty(stated) if stated in {item.value for item in Certainty} else Certainty.MEMORY
        if "value" not in table:
            for item in table.values():
                yield from certainties(item)
    elif isinstance(table, list):
        for item in table:
            yield from certainties(item, listed=True)


def facets_needed(needs: Iterable[Need], derived: Mapping[Any, Derived]) -> set[str]:
    """Keys of the facets without which a rule does not run, those of the derived values it asks for included."""
    found: set[str] = set()
    for need in needs:
        if need.setting or need.optional:
            continue
        facet = getattr(need.kind, "FACET", None)
        if facet is not None:
            found.add(facet)
        elif need.kind in derived:
            found |= facets_needed(derived[need.kind].needs, derived)
    return found


def _compass(profile: Profile, sheet: Sheet) -> Iterator[Line]:
    compass = profile.get(Compass)
    if compass is None:
        return
    yield from _fact("Compass", f"{_said(compass.lowest)} to {_said(compass.highest)}", sheet)
    low, high = compass.comfortable_lowest, compass.comfortable_highest
    if low is not None or high is not None:
        yield from _fact("Comfortable", f"{_said(low) if low else '…'} to {_said(high) if high else '…'}", sheet)


def _reads(convention: Convention) -> str:
    size = convention.semitones
    way = "higher" if size > 0 else "lower"
    step = f"{abs(size).normalize():f} semitones {way} than written" if size else "as written"
    clef = f", clef {convention.clef}" if convention.clef else ""
    note = f" {convention.note}" if convention.note else ""
    return f"{convention.id}: sounds {step}{clef}{', the usual way' if convention.usual else ''}.{note}"


def _sound(profile: Profile, sheet: Sheet) -> Iterator[Line]:
    polyphony = profile.get(Polyphony)
    if polyphony is not None:
        usual = f"; usually {_said(polyphony.usual)}" if polyphony.usual else ""
        yield from _fact("At once", f"{_said(polyphony.at_once)}{usual}", sheet)
    breath = profile.get(Breath)
    if breath is not None:
        levels = ((name, getattr(breath, name)) for name in ("soft", "middle", "loud"))
        told = [f"{name} {value.value:g} s {_vouched(value)}" for name, value in levels if value is not None]
        yield from _fact("Breath", "; ".join(told), sheet)
    techniques = profile.get(Techniques)
    for item in techniques.has if techniques else ():
        asked = ", ".join((*(f'"{word}"' for word in item.words), *item.marks))
        native = f" ({item.native})" if item.native else ""
        note = f" {item.note}" if item.note else ""
        yield from _fact("Technique", f"{item.title}{native}: {asked or 'no words of its own'}.{note} {_vouched(item)}", sheet)
    for foreign in techniques.foreign if techniques else ():
        told_as = ", ".join((*(f'"{word}"' for word in foreign.words), *foreign.marks))
        nearest = f"; nearest: {foreign.instead}" if foreign.instead else ""
        yield from _fact("Foreign", f"{told_as}{nearest} {_vouched(foreign)}", sheet)


def _checked(profile: Profile, registry: Registry, sheet: Sheet) -> Iterator[Line]:
    applied: list[str] = []
    lacking: dict[str, list[str]] = {}
    for rule in registry.rules:
        missing = sorted(facets_needed(rule.needs, registry.derived) - set(profile.facets))
        if missing:
            lacking.setdefault(", ".join(missing), []).append(rule.id)
        else:
            applied.append(f"{rule.id}: {rule.card.title}")
    yield from _listed("Rules that check it", applied, sheet)
    told = (f"for want of {facets}: {', '.join(rules)}" for facets, rules in sorted(lacking.items()))
    yield from _listed("Rules that do not", told, sheet)
    unowned = (f"{table}: no installed plugin owns this table; it is kept, unchecked" for table in profile.unowned)
    yield from _listed("Not used", unowned, sheet)


def _leaves(value: Any, name: str = "") -> Iterator[str]:
    """A facet of any plugin, its values told one by one with their certainty."""
    opening = f"{name.replace('_', ' ')} " if name else ""
    if isinstance(value, Cited):
        note = f" - {value.note}" if value.note else ""
        inner = value.value
        told = ", ".join(map(_text, inner)) if isinstance(inner, tuple) else _text(inner)
        yield f"{opening}{told}{note} {_vouched(value)}"
    elif isinstance(value, tuple):
        for number, item in enumerate(value, 1):
            yield from _leaves(item, f"{name} {getattr(item, 'id', number)}".strip())
    elif hasattr(value, "__dataclass_fields__"):
        own = {item.name: getattr(value, item.name) for item in fields(value)}
        if "certainty" in own:
            kept = (f"{key.replace('_', ' ')} {_text(item)}" for key, item in own.items() if _worth(key, item))
            yield f"{opening}({', '.join(kept)}) {_vouched(value)}"
        else:
            for key, item in own.items():
                yield from _leaves(item, key)
    elif value not in (None, ""):
        yield f"{opening}{_text(value)}"


def _worth(key: str, item: Any) -> bool:
    return key not in ("id", "cite", "certainty") and item not in (None, "", (), False)


def _text(value: Any) -> str:
    if isinstance(value, tuple):
        return " ".join(map(_text, value))
    if isinstance(value, Cited):
        return _said(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _said(value: Cited[Any]) -> str:
    return f"{_text(value.value)} {_vouched(value)}"


def _vouched(value: Any) -> str:
    """`[S1, S2; documented]`, with the layer it came from where that is not the profile itself."""
    origin = getattr(value, "origin", "")
    pieces = (", ".join(value.cite), value.certainty.value, f"from {origin}" if origin else "")
    return f"[{'; '.join(piece for piece in pieces if piece)}]"


def _fact(name: str, text: str, sheet: Sheet) -> Iterator[Line]:
    if text.strip():
        yield from block(printable(text), sheet, 14, first=f"  {name}")


def _listed(title: str, texts: Iterable[str], sheet: Sheet) -> Iterator[Line]:
    lines = [line for text in texts for line in block(printable(text), sheet, 6, first="    ")]
    if lines:
        yield ()
        yield ((f"  {title}", "strong"),)
        yield from lines
