"""Tables for a plugin's README, made from its profiles and cards, so that they cannot say something else."""

from __future__ import annotations

import re

from xmlcheck.facets import Compass
from xmlcheck.registry import Registry


def renewed(text: str, plugin: str, registry: Registry) -> str:
    """The README text with the blocks between `<!-- instruments -->` and `<!-- rules -->` markers written anew."""
    for name, table in (("instruments", instruments(plugin, registry)), ("rules", rules(plugin, registry))):
        block = re.compile(rf"(<!-- {name} -->\n).*?(<!-- /{name} -->)", re.DOTALL)
        text = block.sub(lambda match, table=table: match[1] + table + match[2], text)  # type: ignore[misc]
    return text


def instruments(plugin: str, registry: Registry) -> str:
    """A row for each instrument of a plugin: id, English name, compass, and how sure its ends are."""
    rows = ["| id | name | compass, sounding | how sure |", "|---|---|---|---|"]
    for id in sorted(registry.offers):
        offer = registry.offers[id]
        if offer.entry.plugin != plugin or offer.abstract:
            continue
        profile = registry.profile(id)
        compass = profile.get(Compass)
        if compass is None:
            rows.append(f"| `{id}` | {profile.name} | not stated | |")
            continue
        low, high = compass.lowest, compass.highest
        rows.append(
            f"| `{id}` | {profile.name} | {low.value} to {high.value} | {low.certainty.value}, {high.certainty.value} |"
        )
    return "\n".join(rows) + "\n"


def rules(plugin: str, registry: Registry) -> str:
    """A row for each rule of a plugin: id, what it finds, the highest grade it gives."""
    rows = ["| rule | finds | grade |", "|---|---|---|"]
    cards = [rule.card for rule in registry.rules if rule.card.plugin == plugin]
    rows += [f"| `{card.id}` | {card.title} | {card.grade.value} |" for card in cards]
    return "\n".join(rows) + "\n"
