"""A comparison as a table to read: what changed bar by bar, what follows from it, who needs a new page, what was lost.

Eats a comparison and nothing else. Readable at 80 columns, in black, and in a pipe.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from xmlcheck.comparing.account import Accounting, Entry
from xmlcheck.comparing.change import Change, Stretch
from xmlcheck.comparing.comparison import Comparison
from xmlcheck.comparing.consequences import Consequences, Said
from xmlcheck.comparing.reissue import HEADING, NONE, Reissue
from xmlcheck.comparing.transfer import Transfer
from xmlcheck.output.page import Line, Sheet, block, printable, section

_BODY = 8
FOLD = 6
"""Changes of single notes in one bar up to which each has a line of its own."""
MOST = 40
"""Lines of one list; the JSON form has all."""
_SINGLE = frozenset(
    ("note-added", "note-removed", "pitch", "rhythm", "respelled", "divided", "tied", "lyrics", "articulation", "slur")
)
_LAYERS = (("sound", "to be heard"), ("notation", "on the page only"), ("identity", "of names and instruments"))


def table(comparison: Comparison, sheet: Sheet, old: str = "", new: str = "") -> Iterator[Line]:
    """The lines of one comparison. old, new: how to call the files, where their own names are not enough."""
    arrow = " → " if sheet.unicode else " -> "
    yield ((f"{printable(old or comparison.old.name)}{arrow}{printable(new or comparison.new.name)}", "strong"),)
    if comparison.account is not None:
        yield from _account(comparison.account, sheet)
        return
    yield from block(_summary(comparison), sheet)
    yield ((sheet.rule, "dim"),)
    yield from _changes(comparison, sheet)
    if comparison.transfer is not None:
        yield from _transfer(comparison.transfer, sheet)
    if comparison.findings is not None:
        yield from _findings(comparison.findings, _names(comparison), sheet)
    yield from _pages(comparison.reissue, sheet)
    yield from section("Notices", map(printable, comparison.notices), sheet)


def _summary(comparison: Comparison) -> str:
    if not comparison.changes:
        return "nothing changed"
    counts = comparison.counts()
    told = ", ".join(f"{counts[layer]} {words}" for layer, words in _LAYERS if counts[layer])
    return f"{_counted(len(comparison.changes), 'change')}: {told}"


def _changes(comparison: Comparison, sheet: Sheet) -> Iterator[Line]:
    names = _names(comparison)
    for part, found in groupby(comparison.changes, key=lambda change: change.part):
        own = list(found)
        yield ()
        name = printable(names.get(part) or part) if part is not None else "The whole score"
        yield (name, "strong"), (f"{sheet.dot}{_counted(len(own), 'change')}", "dim")
        for lines in _folded(own, sheet):
            yield from lines


def _names(comparison: Comparison) -> dict[str, str]:
    """Part ids to names; those of the new file count where both have one."""
    found = {match.old: match.old_name for match in comparison.parts} | {
        match.new: match.new_name for match in comparison.parts
    }
    return {id: name for id, name in found.items() if id is not None and name is not None}


def _folded(changes: Sequence[Change], sheet: Sheet) -> Iterator[list[Line]]:
    """The changes line by line; many single notes of one bar as one line."""
    for place, found in groupby(changes, key=_bar_of):
        own = list(found)
        if place is not None and len(own) > FOLD:
            kinds = ", ".join(f"{count} {_kind(kind)}" for kind, count in Counter(one.kind for one in own).most_common())
            text = f"{_where(own[0], False)}: {len(own)} changes ({kinds})"
            yield list(block(text, sheet, _BODY, first=f"  {own[0].number:>3}-"))
            continue
        for change in own:
            yield list(_change(change, sheet))


def _bar_of(change: Change) -> int | None:
    if change.kind in _SINGLE and change.new is not None and change.new.bar_index == change.new.to_bar_index:
        return change.new.bar_index
    return None


def _kind(kind: str) -> str:
    return kind.replace("-", " ")


def _change(change: Change, sheet: Sheet) -> Iterator[Line]:
    where = _where(change, True)
    text = f"{where}{sheet.dot}{change.text}" if where else change.text
    more = ""
    if change.kind == "bars-inserted":
        own = change.values.get("numbers") or []
        if own:
            span = own[0] if len(own) == 1 else f"{own[0]}-{own[-1]}"
            more = f"; numbered {span}, all other bars keep their numbers"
    yield from block(printable(text + more), sheet, _BODY, first=f"  {change.number:>3}")


def _where(change: Change, beat: bool) -> str:
    if change.new is None:
        return ""
    place = _span(change.new)
    if beat and change.new.beat is not None:
        place += f", beat {change.new.beat}"
    return place


def _span(stretch: Stretch) -> str:
    if stretch.bar_index == stretch.to_bar_index:
        return f"bar {stretch.bar}"
    return f"bars {stretch.bar}-{stretch.to_bar}"


def _findings(found: Consequences, names: Mapping[str, str], sheet: Sheet) -> Iterator[Line]:
    lines: list[Line] = []
    for title, items in (("gone", found.gone), ("new", found.new)):
        for item in items[:MOST]:
            lines += block(f"{title}: {_said(item, names)}", sheet, 4, first="  ")
        if len(items) > MOST:
            lines += block(f"{title}: and {len(items) - MOST} more", sheet, 4, first="  ")
    changed = sum(one.changed for one in found.still)
    more = f", {changed} of them with other words" if changed else ""
    lines += block(f"{_counted(len(found.still), 'finding')} still there{more}", sheet, 4, first="  ")
    if found.same_notes:
        told = f"The same notes at a new tempo: {', '.join(found.rechecked)} were checked again; what is new or gone is owed to it."
        lines += block(told, sheet, 4, first="  ")
    for plan in found.plans:
        fates = {"holds": "still holds", "changed": "is another now", "new": "is new", "gone": "is not needed any more"}
        lines += block(
            f"{printable(names.get(plan.part, plan.part))}: the {plan.kind} plan {fates[plan.fate]}", sheet, 4, first="  "
        )
        if plan.fate == "changed":
            for was, now in zip(plan.was, plan.now, strict=False):
                if was != now:
                    lines += block(f"{printable(was)}; now: {printable(now)}", sheet, 6, first="    ")
    yield ()
    yield (("Findings", "strong"),)
    yield from lines


def _said(item: Said, names: Mapping[str, str]) -> str:
    number = item.number if item.number is not None else item.old_number
    place = f"bar {item.bar}, " if item.bar is not None else ""
    accepted = " (accepted)" if item.accepted else ""
    part = names.get(item.part or "", item.part or "the score")
    return printable(f"{item.grade} {number}, {part}, {place}{item.label} ({item.rule}){accepted}")


def _pages(reissues: Sequence[Reissue], sheet: Sheet) -> Iterator[Line]:
    texts = []
    for one in reissues:
        if one.advice == NONE:
            continue
        where = ", ".join(_span(place) for place in one.places) if one.advice != HEADING else "first page"
        texts.append(
            f"{printable(one.name)}: {one.advice}{f', {where}' if where else ''}. Tell the player: {printable(one.tell)}."
        )
    untouched = [printable(one.name) for one in reissues if one.advice == NONE]
    if texts and untouched:
        texts.append(f"No new page: {', '.join(untouched)}.")
    yield from section("New pages", texts, sheet)


def _transfer(found: Transfer, sheet: Sheet) -> Iterator[Line]:
    yield ()
    yield (("Lost on the way", "strong"),)
    if not (found.losses or found.elements):
        yield from block("nothing", sheet, 4, first="  ")
    for loss in found.losses:
        count = f"{loss.lost} lost or altered" if loss.lost else f"{len(loss.numbers)} added"
        yield from block(f"{loss.group}: {count}", sheet, 4, first="  ")
        for text in loss.told[:MOST]:
            yield from block(printable(text), sheet, 6, first="    ")
        if len(loss.told) > MOST:
            yield from block(f"and {len(loss.told) - MOST} more", sheet, 6, first="    ")
    for item in found.texts:
        yield from block(printable(f'{item.fault} lost: "{item.was}" came back as "{item.now}"'), sheet, 4, first="  ")
    elements = (f"{one.element} {one.old}{' to ' if one.new else ', '}{one.new or 'none left'}" for one in found.elements)
    yield from section("Elements that became fewer", ["; ".join(elements)] if found.elements else [], sheet)


def _account(found: Accounting, sheet: Sheet) -> Iterator[Line]:
    yield from block(
        f"{_counted(found.notes, 'note')}: {found.found} found, {found.octave} in another octave, {found.moved} moved, "
        f"{found.left_out} left out; {found.doubled} doubled; {found.added} added; {found.told}",
        sheet,
    )
    yield ((sheet.rule, "dim"),)
    for fate, title in (("left out", "Left out"), ("moved", "Moved"), ("octave", "In another octave")):
        own = [entry for entry in found.entries if entry.fate == fate]
        lines = [_entry(entry) for entry in own[:MOST]]
        if len(own) > MOST:
            lines.append(f"and {len(own) - MOST} more")
        yield from section(title, lines, sheet)
    yield from section("Trigger notes that arrived", [_entry(entry) for entry in found.triggers[:MOST]], sheet)


def _entry(entry: Entry) -> str:
    where = f" in {', '.join(entry.parts)}" if entry.parts else ""
    now = f", now {entry.now}" if entry.now else ""
    return printable(f"{entry.part}, bar {entry.bar}, beat {entry.beat}: {entry.sounding}{now}{where}")


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
