"""Plans as pictures and tables: what the strings are tuned to and when that changes, sizes to choose from, pedals, breaths.

Eats plan lines of a findings file: `values` come from any plugin, so each picture is drawn only where they have its form.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from lxml import etree
from markupsafe import Markup

from xmlcheck.finding import Plan, PlanLine
from xmlcheck.output.html.plain import finite, pitch_of, records, table, texts
from xmlcheck.output.html.staff import Staff, height
from xmlcheck.output.html.words import clock, signs, where
from xmlcheck.pitch import Pitch

TITLES = {
    "tuning": "Tuning",
    "retuning": "Tuning and retuning",
    "key": "Key",
    "size": "Size or key of the instrument",
    "breath": "Breaths",
    "triggers": "Trigger notes",
    "grid": "Rhythms that fit the grid",
}
SIGNS = {"tuning": "T", "retuning": "T", "key": "K", "size": "K", "breath": "\N{RIGHT SINGLE QUOTATION MARK}", "triggers": "x"}
"""What stands in the strip of bars for a line of a plan."""
_STEP = 38.0
_FARTHEST = 60
"""Semitones: no string is retuned farther."""
_PEDALS = "DCB|EFGA"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a plan for the page. time: of the first pass, `1:07`. caution: where following it can do harm."""

    where: str
    time: str
    text: str
    caution: str


@dataclass(frozen=True, slots=True)
class PlanView:
    """All that one part's plans of one kind say. pictures: SVG of our own drawing, its texts escaped, each with its words."""

    kind: str
    title: str
    sign: str
    lines: tuple[Line, ...]
    pictures: tuple[tuple[Markup, str], ...]
    rests_on: tuple[str, ...]
    ids: tuple[str, ...]


def views(plans: Iterable[Plan], facets: Any, clefs: Mapping[str, str]) -> tuple[PlanView, ...]:
    """The plans of one part, those of a kind together. facets: of the instrument's snapshot."""
    kinds: dict[str, list[Plan]] = {}
    for plan in plans:
        kinds.setdefault(plan.kind, []).append(plan)
    return tuple(_view(kind, together, facets, clefs) for kind, together in kinds.items())


def _view(kind: str, plans: list[Plan], facets: Any, clefs: Mapping[str, str]) -> PlanView:
    lines = [line for plan in plans for line in plan.lines]
    lines.sort(key=lambda line: -1 if line.place.measure_index is None else line.place.measure_index)
    pictures = [*_tunings(lines, clefs), *_pedals(lines), *_sizes(lines, facets, clefs)]
    if kind == "breath":
        pictures += _breaths(lines)
    return PlanView(
        kind,
        TITLES.get(kind, signs(kind).capitalize()),
        SIGNS.get(kind, "·"),
        tuple(Line(where(line.place), clock(line.place.seconds), signs(line.text), _caution(line)) for line in lines),
        tuple((Markup(svg), caption) for svg, caption in pictures),
        tuple(dict.fromkeys(signs(item) for plan in plans for item in plan.rests_on)),
        tuple(plan.id for plan in plans),
    )


def _caution(line: PlanLine) -> str:
    caution = line.values.get("caution")
    return signs(caution) if isinstance(caution, str) else ""


def _tunings(lines: Iterable[PlanLine], clefs: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """The strings in their order: first the opening, then once more for each retuning, what was moved being full."""
    now: dict[str, Pitch] = {}
    for line in lines:
        listed = line.values.get("strings")
        moved = {name for change in records(line.values.get("changes")) for name in texts(change.get("strings"))}
        if isinstance(listed, list) and listed:
            pairs = [(str(item.get("string", "")), pitch_of(item.get("pitch"))) for item in records(listed)]
            now = {name: pitch for name, pitch in pairs if pitch is not None}
            title, caption = (
                f"Opening tuning: {_told(now)}",
                "Opening" + (", full heads: changed from the usual" if moved else ""),
            )
        elif now and moved:
            now = {name: _moved(name, pitch, line) for name, pitch in now.items()}
            changed = {name: pitch for name, pitch in now.items() if name in moved}
            caption = f"After {where(line.place)}, full heads: retuned"
            title = f"{caption}: {_told(changed)}"
        else:
            continue
        if now:
            yield row([(name, pitch, name in moved) for name, pitch in now.items()], title, clefs), caption


def _told(strings: Mapping[str, Pitch]) -> str:
    return ", ".join(f"{signs(name)} {signs(pitch.name)}" for name, pitch in strings.items())


def _moved(name: str, pitch: Pitch, line: PlanLine) -> Pitch:
    """A string's pitch after a line of the plan, spelled as the plan spells it where that is the same height."""
    for change in records(line.values.get("changes")):
        semitones = finite(change.get("semitones"))
        if name in texts(change.get("strings")) and semitones is not None and abs(semitones) < _FARTHEST:
            wanted = pitch.cents + round(100 * semitones)
            named = (pitch_of(f"{change.get('to', '')}{pitch.octave + octaves}") for octaves in (-1, 0, 1))
            spelled = next((item for item in named if item is not None and item.cents == wanted), None)
            return spelled or pitch.moved(Decimal(wanted - pitch.cents) / 100)
    return pitch


def _sizes(lines: Iterable[PlanLine], facets: Any, clefs: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """The lowest notes of all sizes that players carry, the chosen ones full."""
    chosen = {str(line.values["size"]) for line in lines if isinstance(line.values.get("size"), str)}
    carried = [(item, pitch_of(item.get("lowest"))) for item in records(table(facets, "sizes").get("carried"))]
    heads = [
        (str(item.get("key") or item.get("id") or ""), pitch, str(item.get("id")) in chosen) for item, pitch in carried if pitch
    ]
    if chosen and len(heads) > 1 and any(full for _, _, full in heads):
        names = ", ".join(name for name, _, full in heads if full)
        yield (
            row(heads, f"Lowest notes of the sizes that players carry; chosen: {names}", clefs),
            "Lowest notes of the sizes carried",
        )


def row(heads: list[tuple[str, Pitch, bool]], title: str, clefs: Mapping[str, str]) -> str:
    """Heads side by side, a name under each; True fills a head. Twenty and more stand closer together."""
    step = _STEP if len(heads) <= 20 else 26.0
    steps = [height(pitch) for _, pitch, _ in heads]
    staff = Staff(min(steps), max(steps), 46 + step * len(heads), clefs, head=10, foot=38)
    staff.rule()
    for number, (name, pitch, full) in enumerate(heads):
        x = 52 + step * number
        staff.note(x, pitch, "moved" if full else "open", name="under")
        staff.text(x, staff.tall - 20, signs(name)[:6], "strong" if full else "name", "middle")
        staff.text(x, staff.tall - 6, signs(pitch.name), "column", "middle")
    return staff.svg(title)


def _pedals(lines: Iterable[PlanLine]) -> Iterator[tuple[str, str]]:
    """Pedal diagrams: seven pedals about a post; up is flat, in the middle natural, down sharp."""
    for line in lines:
        pedals = table(line.values, "pedals")
        if not pedals:
            continue
        root = etree.Element("svg", {"role": "img", "class": "staff", "viewBox": "0 0 190 64", "width": "190", "height": "64"})
        etree.SubElement(root, "title").text = signs(line.text)
        etree.SubElement(root, "path", {"d": "M8 28H182", "class": "rule"})
        for number, letter in enumerate(_PEDALS):
            x = 18 + 22 * number
            if letter == "|":
                etree.SubElement(root, "path", {"d": f"M{x} 8V46", "class": "rule"})
                continue
            position = pedals.get(letter)
            place = 28 - 12 * (-position if position in (-1, 0, 1) else 0)
            kind = "reach" if position is None else "used"
            etree.SubElement(root, "path", {"d": f"M{x} {place - 8}V{place + 8}", "class": kind})
            name = etree.SubElement(root, "text", {"x": f"{x}", "y": "61", "class": "column", "text-anchor": "middle"})
            name.text = letter
        text: str = etree.tostring(root, encoding="unicode")
        yield text, "Pedals to begin with: flat above the line, natural on it, sharp below; thin: not needed"


def _breaths(lines: list[PlanLine]) -> Iterator[tuple[str, str]]:
    """Breaths on a line of seconds, as first played."""
    given = ((finite(line.place.seconds), line.place.bar or "") for line in lines)
    times = sorted((seconds, bar) for seconds, bar in given if seconds is not None)
    if len(times) < 2:
        return
    start, end = times[0][0], times[-1][0]
    span, width = max(end - start, 1.0), 640.0
    size = {"viewBox": f"0 0 {width:g} 58", "width": f"{width:g}", "height": "58"}
    root = etree.Element("svg", {"role": "img", "class": "staff", **size})
    title = f"{len(times)} breaths between {clock(start)} and {clock(end)}"
    etree.SubElement(root, "title").text = title
    etree.SubElement(root, "path", {"d": f"M10 32H{width - 10:g}", "class": "rule"})
    last = -100.0
    for seconds, bar in times:
        x = 14 + (width - 28) * (seconds - start) / span
        etree.SubElement(root, "path", {"d": f"M{x:.1f} 22V42", "class": "used thin"})
        if x - last >= 34:
            for y, text, kind in ((54, clock(seconds), "column"), (16, signs(bar), "name")):
                name = etree.SubElement(root, "text", {"x": f"{x:.1f}", "y": f"{y}", "class": kind, "text-anchor": "middle"})
                name.text = text
            last = x
    text_: str = etree.tostring(root, encoding="unicode")
    yield text_, "Where breaths can go, by bar and by the clock"
