"""A comparison in one line, for whoever looks over the exports as they come."""

from __future__ import annotations

from itertools import groupby

from xmlcheck.comparing import Comparison
from xmlcheck.comparing.change import Change, Stretch
from xmlcheck.output.page import printable

MOST = 3
"""Parts that are named in the line; of the others it says how many (ours)."""
_LAYERS = (("sound", "to be heard"), ("notation", "on the page only"), ("identity", "of names and instruments"))


def told(comparison: Comparison) -> str:
    """What changed: one change in full, several by layer and place; then what became of the findings."""
    findings = _findings(comparison)
    return f"since the last export: {_music(comparison)}{f'; {findings}' if findings else ''}"


def _music(comparison: Comparison) -> str:
    changes = comparison.changes
    if not changes:
        return "nothing changed"
    names = {match.old: match.old_name for match in comparison.parts} | {
        match.new: match.new_name for match in comparison.parts
    }
    if len(changes) == 1:
        return f"{_place(changes[0].part, list(changes), names)}: {printable(changes[0].text)}"
    counts = comparison.counts()
    layers = ", ".join(f"{counts[layer]} {words}" for layer, words in _LAYERS if counts[layer])
    places = [_place(part, list(own), names) for part, own in groupby(changes, key=lambda change: change.part)]
    more = len(places) - MOST
    rest = f" and {more} more part{'' if more == 1 else 's'}" if more > 0 else ""
    return f"{len(changes)} changes ({layers}): {', '.join(places[:MOST])}{rest}"


def _place(part: str | None, changes: list[Change], names: dict[str | None, str | None]) -> str:
    """A part and the bars in which it changed, by the new file's numbers; by the old one's for bars that are gone."""
    name = "the whole score" if part is None else printable(names.get(part) or part)
    stretches = [stretch for change in changes if (stretch := change.new or change.old) is not None]
    return f"{name} {_bars(stretches)}" if stretches else name


def _bars(stretches: list[Stretch]) -> str:
    first = min(stretches, key=lambda stretch: stretch.bar_index)
    last = max(stretches, key=lambda stretch: stretch.to_bar_index)
    if first.bar_index == last.to_bar_index:
        return f"bar {printable(first.bar)}"
    return f"bars {printable(first.bar)}-{printable(last.to_bar)}"


def _findings(comparison: Comparison) -> str:
    found = comparison.findings
    if found is None or not (found.gone or found.new):
        return ""
    counts = [f"{len(items)} {word}" for items, word in ((found.gone, "gone"), (found.new, "new")) if items]
    return f"findings: {', '.join(counts)}"
