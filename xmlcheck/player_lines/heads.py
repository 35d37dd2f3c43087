"""What stands at the head of a player's copy: pitch standard, mode and tonic, microtonal signs."""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.finding import PartInfo, Report
from xmlcheck.model import Key, Note, Part
from xmlcheck.player_lines.degrees import tonic
from xmlcheck.player_lines.line import Line, first_from, line_at
from xmlcheck.player_lines.wish import Wish
from xmlcheck.player_lines.words import said

Fields = tuple[tuple[str, str], ...]
PITCH_FIELDS = ("pitch standard", "pitch", "tuning standard")
MODE_FIELDS = ("mode", "makam", "maqam", "maqām", "dastgah", "dastgāh", "raga", "rāga", "scale")
TONIC_FIELDS = ("tonic", "final", "durak", "karar", "qarar", "sa")
"""Names of header fields (miscellaneous-field), lower case: common practice, no source."""
_FIFTHS_ABOVE = {"lydian": -1, "mixolydian": 1, "dorian": 2, "aeolian": 3, "phrygian": 4, "locrian": 5}
"""Fifths from the signature's major tonic to the tonic of each mode. Programs write major or minor whatever the music is, so
these two say nothing (common practice, no source)."""
_PLAIN_SIGNS = {
    "", "sharp", "natural", "flat", "double-sharp", "sharp-sharp", "flat-flat", "double-flat", "natural-sharp", "natural-flat",
    "triple-sharp", "triple-flat",
}  # fmt: skip
"""Accidentals of whole semitones (MusicXML 4.0, accidental-value)."""


def size_line(report: Report, info: PartInfo, part: Part, notes: tuple[Note, ...], wish: Wish) -> Iterator[Line]:
    """The one key or size that the player brings, where no plan of the report names it: with one to choose there is no plan."""
    carried = info.profile.get("facets", {}).get("sizes", {}).get("carried", ())
    first = first_from(notes, 0)
    planned = any(plan.part == part.id and plan.kind in ("key", "size") for plan in report.plans)
    if wish.sized and len(carried) == 1 and not planned and first is not None:
        yield line_at(part, first, str(carried[0].get("title", "")))


def head_lines(part: Part, fields: Fields, notes: tuple[Note, ...], wish: Wish) -> Iterator[Line]:
    """The lines before the first note, and each new mode where it begins."""
    first = first_from(notes, 0)
    if first is None:
        return
    own = {name.strip().lower(): " ".join(text.split()) for name, text in fields}
    pitch = f"A4 = {wish.pitch_standard:g} Hz" if wish.pitch_standard else _field(own, PITCH_FIELDS)
    if pitch:
        yield line_at(part, first, f"{said('pitch', wish.language)}: {pitch}")
    yield from _modes(part, own, notes, first, wish)
    signs = signs_text(notes)
    if signs:
        yield line_at(part, first, f"{said('signs', wish.language)}: {signs}")


def _modes(part: Part, own: dict[str, str], notes: tuple[Note, ...], first: Note, wish: Wish) -> Iterator[Line]:
    mode, final = _field(own, MODE_FIELDS), _field(own, TONIC_FIELDS)
    if mode or final:
        told = [f"{said('mode', wish.language)}: {mode}"] if mode else []
        told += [f"{said('tonic', wish.language)}: {final}"] if final else []
        yield line_at(part, first, ", ".join(told))
        return
    last = ""
    for key in part.keys:
        text = _mode(key)
        at = first_from(notes, key.onset)
        if key.staff in (0, 1) and text != last and at is not None:
            last = text
            if text:
                yield line_at(part, at, f"{said('mode', wish.language)}: {text}")


def _mode(key: Key) -> str:
    """`D dorian`, as written; empty where the file does not say a mode of its own."""
    above = _FIFTHS_ABOVE.get(key.mode.strip().lower())
    if above is None or key.fifths is None:
        return ""
    return f"{tonic(key.fifths + above).name.rstrip('-0123456789')} {key.mode.strip().lower()}"


def signs_text(notes: tuple[Note, ...]) -> str:
    """The microtonal signs of a part with the cents that the file gives them: `quarter-flat -50 cents, koron -60 cents`."""
    found: dict[str, set[int]] = {}
    for note in notes:
        if note.written is not None and note.sign and (note.sign not in _PLAIN_SIGNS or note.written.alter % 1):
            found.setdefault(note.sign, set()).add(round(note.written.alter * 100))
    return ", ".join(f"{sign} {' / '.join(f'{one:+d}' for one in sorted(cents))} cents" for sign, cents in found.items())


def _field(own: dict[str, str], names: tuple[str, ...]) -> str:
    return next((own[name] for name in names if own.get(name)), "")
