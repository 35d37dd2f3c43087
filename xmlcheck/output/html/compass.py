"""The compass picture: what a part uses beside what the instrument has, registers shaded, on a staff.

Eats the snapshot of a findings file (or the tables of a profile): plain values, from any hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from xmlcheck.finding import Certainty
from xmlcheck.output.html.plain import pitch_of, records, table
from xmlcheck.output.html.staff import Staff, height
from xmlcheck.output.html.words import signs
from xmlcheck.pitch import Pitch

_NARROW = 3
"""Letter steps: a thinner register has no room for its name in the picture."""


@dataclass(frozen=True, slots=True)
class Band:
    """A register: its name, its ends, and what is said of its dynamics."""

    title: str
    lowest: Pitch
    highest: Pitch
    told: str


@dataclass(frozen=True, slots=True)
class Compass:
    """Ends of the compass, of its comfortable part, the registers and the open strings; what is not known is None or empty."""

    lowest: Pitch | None
    highest: Pitch | None
    soft_lowest: Pitch | None
    soft_highest: Pitch | None
    bands: tuple[Band, ...]
    strings: tuple[Pitch, ...]
    certainty: str


def compass(facets: Any) -> Compass:
    """What facet tables say of the compass; whatever has not the form of a value is passed over."""
    given = table(facets, "compass")
    bands = tuple(_bands(table(facets, "registers").get("bands")))
    courses = table(facets, "strings").get("courses")
    strings = (pitch_of(item.get("pitch")) for item in records(courses))
    sure = {_certainty(given.get(key)) for key in ("lowest", "highest")} - {""}
    ends = (pitch_of(given.get(f"{kind}{end}")) for kind in ("", "comfortable_") for end in ("lowest", "highest"))
    lowest, highest, soft_lowest, soft_highest = ends
    return Compass(
        lowest,
        highest,
        soft_lowest,
        soft_highest,
        bands,
        tuple(pitch for pitch in strings if pitch is not None),
        " / ".join(sorted(sure)),
    )


def told(known: Compass, used: tuple[str, str] | None) -> str:
    """The picture in words: what stands under it, and in its place where nobody sees it."""
    pieces = []
    if known.lowest is not None and known.highest is not None:
        text = f"The instrument has {_name(known.lowest)} to {_name(known.highest)}"
        if known.soft_lowest is not None and known.soft_highest is not None:
            text += f", comfortable from {_name(known.soft_lowest)} to {_name(known.soft_highest)}"
        pieces.append(f"{text} ({known.certainty})." if known.certainty else f"{text}.")
    if used is not None:
        pieces.append(f"This part uses {signs(used[0])} to {signs(used[1])}, sounding.")
    return " ".join(pieces)


def band_text(band: Band) -> str:
    """`otsu: D4 to C5, pp to ff`."""
    return f"{signs(band.title)}: {_name(band.lowest)} to {_name(band.highest)}" + (f", {band.told}" if band.told else "")


def picture(known: Compass, used: tuple[str, str] | None, clefs: Mapping[str, str]) -> str | None:
    """The compass as SVG; None where there is nothing to draw."""
    part = tuple(pitch for pitch in map(pitch_of, used or ()) if pitch is not None)
    ends = [pitch for pitch in (known.lowest, known.highest, known.soft_lowest, known.soft_highest) if pitch is not None]
    shown = [height(pitch) for pitch in (*ends, *part, *known.strings)]
    shown += [height(pitch) for band in known.bands for pitch in (band.lowest, band.highest)]
    if not shown:
        return None
    columns = [name for name, there in (("has", ends), ("strings", known.strings), ("uses", part)) if there]
    width = 60.0 + 92 * len(columns) + (110 if known.bands else 0)
    staff = Staff(min(shown), max(shown), width, clefs, head=12, foot=26)
    for number, band in enumerate(known.bands):
        staff.shade(height(band.lowest), height(band.highest), f"band b{number % 2}")
    staff.rule()
    for band in known.bands:
        low, high = height(band.lowest), height(band.highest)
        if high - low >= _NARROW:
            staff.text(width - 6, staff.y((low + high) / 2) + 4, signs(band.title), "bandname", "end")
    for place, name in enumerate(columns):
        x = 62.0 + 92 * place
        if name == "has":
            _has(staff, x, known)
        elif name == "strings":
            _strings(staff, x, known.strings)
        else:
            _uses(staff, x, part, known)
        words = {"has": "has", "strings": "open strings", "uses": "this part uses"}[name]
        staff.text(x - 8, staff.tall - 6, words, "column")
    return staff.svg(told(known, used) or "Compass")


def _has(staff: Staff, x: float, known: Compass) -> None:
    if known.lowest is not None and known.highest is not None:
        staff.bar(x, height(known.lowest), height(known.highest), "reach")
    if known.soft_lowest is not None and known.soft_highest is not None:
        staff.bar(x, height(known.soft_lowest), height(known.soft_highest), "gladly")
    for pitch in (known.lowest, known.highest):
        if pitch is not None:
            staff.note(x, pitch, "open")


def _strings(staff: Staff, x: float, strings: tuple[Pitch, ...]) -> None:
    """Open strings, named where names do not run into one another."""
    named = -100
    for pitch in sorted(strings, key=height):
        clear = height(pitch) - named >= _NARROW
        staff.note(x, pitch, "open", name="right" if clear else "")
        named = height(pitch) if clear else named


def _uses(staff: Staff, x: float, part: tuple[Pitch, ...], known: Compass) -> None:
    low, high = height(part[0]), height(part[-1])
    inside_low = low if known.lowest is None else max(low, height(known.lowest))
    inside_high = high if known.highest is None else min(high, height(known.highest))
    staff.bar(x, inside_low, inside_high, "used")
    staff.bar(x, low, min(inside_low, high), "outside")
    staff.bar(x, max(inside_high, low), high, "outside")
    for pitch in dict.fromkeys(part):
        under = known.lowest is not None and pitch.cents < known.lowest.cents
        over = known.highest is not None and pitch.cents > known.highest.cents
        staff.note(x, pitch, "full", name="")
        word = ", below" if under else ", above" if over else ""
        staff.text(x + 11, staff.y(height(pitch)) + 4, f"{_name(pitch)}{word}", "strong" if word else "name")


def _bands(items: Any) -> Iterator[Band]:
    for item in records(items):
        lowest, highest = pitch_of(item.get("lowest")), pitch_of(item.get("highest"))
        if lowest is None or highest is None:
            continue
        ends = [str(item[key]) for key in ("softest", "loudest") if isinstance(item.get(key), str)]
        told = " to ".join(dict.fromkeys(ends)) + (", speaks slowly" if item.get("slow") is True else "")
        yield Band(str(item.get("title") or item.get("id") or ""), lowest, highest, told.removeprefix(", "))


def _name(pitch: Pitch) -> str:
    return signs(pitch.name)


def _certainty(value: Any) -> str:
    stated = value.get("certainty") if isinstance(value, Mapping) else None
    return stated if isinstance(stated, str) and stated in {item.value for item in Certainty} else ""
