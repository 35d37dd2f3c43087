"""Pages about what is installed: one rule's card, and lists of instruments and plugins. An instrument: output/instrument.py."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from xmlcheck.entry import Entry
from xmlcheck.finding import Certainty
from xmlcheck.output.instrument import facets_needed, instrument_page
from xmlcheck.output.page import Line, Sheet, block, cells
from xmlcheck.output.values import fact
from xmlcheck.registry import Registry
from xmlcheck.rule import Derived, Rule

__all__ = ["certainties", "facets_needed", "instrument_list", "instrument_page", "plugin_list", "rule_page"]


_NONE: Mapping[str, str] = MappingProxyType({})


def rule_page(rule: Rule, derived: Mapping[Any, Derived], sheet: Sheet) -> Iterator[Line]:
    """A rule's card: what it says, why, what to do, its sources, what it needs, and its settings."""
    card = rule.card
    yield ((card.title, "strong"), (f"{sheet.dot}{card.id}{sheet.dot}{card.plugin}", "dim"))
    yield from fact("Grade", f"{sheet.shape(card.grade)} {card.grade.value} at most, for the {card.to}", sheet)
    yield from fact("Mark", f"[check n] {card.label}", sheet)
    yield from fact("Says", card.message, sheet)
    yield from fact("Why", card.why, sheet)
    yield from fact("Remedy", card.remedy, sheet)
    for text in card.alternatives:
        yield from fact("Or", text, sheet)
    yield from fact("Caution", card.caution, sheet)
    yield from fact("Explains", ", ".join(card.explains), sheet)
    yield from fact("Needs", ", ".join(sorted(facets_needed(rule.needs, derived))) or "no facet: it checks any part", sheet)
    for need in rule.needs:
        if need.setting:
            yield from fact("Setting", f'{need.name} = {need.default!r}, in xmlcheck.toml: [settings."{card.id}"]', sheet)
    yield from fact("How often", card.base_rate, sheet)
    for key in card.cite:
        yield from fact("Source", card.sources.get(key, key), sheet)


def instrument_list(entries: Iterable[Entry], sheet: Sheet, remarks: Mapping[str, str] = _NONE) -> Iterator[Line]:
    """One instrument a line: id, then its names, or its English name and the remark on it."""
    chosen = sorted(entries, key=lambda entry: entry.id)
    margin = min(24, max((cells(entry.id) for entry in chosen), default=0) + 2)
    for entry in chosen:
        names = list(dict.fromkeys((entry.names.get("en", entry.id), *entry.names.values())))
        first = entry.id.ljust(margin)
        if cells(first) > margin:
            yield ((entry.id, ""),)
            first = ""
        text = f"{names[0]}{sheet.dot}{remarks[entry.id]}" if entry.id in remarks else ", ".join(names)
        yield from block(text, sheet, margin, first=first)


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
