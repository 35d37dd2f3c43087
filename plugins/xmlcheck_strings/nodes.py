"""Nodes and partials of a string: where a harmonic is touched, and what sounds. Arithmetic of equal parts; no source needed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import gcd, log2

from xmlcheck.plugin import Note, Tone
from xmlcheck_strings.board import Board
from xmlcheck_strings.facets import Harmonics

TOUCH_CENTS, PARTIAL_CENTS = 45, 45
"""Cents by which a written place may miss the node, a written sound the partial: the seventh partial is 31 cents off (ours)."""
SPANNED = (3, 4, 5, 7, 12)
"""Intervals of artificial harmonics in semitones: nodes 1/6, 1/5, 1/4, 1/3 and 1/2 of what is left of the string."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A harmonic that cannot be: what was asked, and the nearest that can (may be empty)."""

    asked: str
    nearest: str = ""


@lru_cache(maxsize=32)
def nodes(highest: int) -> tuple[tuple[float, int], ...]:
    """Every node up to the partial `highest`: semitones above the open string, and the partial that sounds there."""
    found = [(-12 * log2(1 - m / n), n) for n in range(2, highest + 1) for m in range(1, n) if gcd(m, n) == 1]
    return tuple(sorted(found))


def partials(highest: int) -> tuple[float, ...]:
    """Semitones of the partials 2 to `highest` above the open string."""
    return tuple(12 * log2(n) for n in range(2, highest + 1))


def judge(tone: Tone, board: Board, harmonics: Harmonics, moved: int = 0) -> Fault | None:
    """What is the matter with a harmonic; None for nothing, or where the file does not say enough. moved: cents of the reading."""
    heads = {note.harmonic.head: note for note in tone.notes if note.harmonic is not None and note.harmonic.head}
    kind = next((note.harmonic.kind for note in tone.notes if note.harmonic is not None and note.harmonic.kind), "")
    touching = heads.get("touching") or next((note for note in tone.notes if note.notehead == "diamond"), None)
    if tone.stopped is not None and touching is not None:
        stopped, touched = tone.stopped.cents + moved, _cents(touching, moved)
        if kind == "artificial" or not any(abs(stopped - opened) <= 40 for opened in board.open):
            return _artificial(touched - stopped, stopped, board, harmonics)
    if kind == "artificial":
        return None
    top = harmonics.natural.value
    if touching is not None:  # a head on an open string names the string of a natural harmonic
        cents = _cents(touching, moved)
        return None if _touched(board, cents, top) else Fault(*_off(board, cents, top, touching))
    sounding = heads.get("sounding")
    if kind == "natural" and sounding is not None and not _sounds(board, _cents(sounding, moved), top):
        return Fault(f"{_name(sounding)} is no partial of an open string up to partial {top}")
    return None


def _artificial(touched: int, stopped: int, board: Board, harmonics: Harmonics) -> Fault | None:
    step = round(touched / 100)
    if step not in SPANNED:
        nearest = min(SPANNED, key=lambda item: abs(item - step))
        return Fault(f"touched {step} semitones above the stopped note there is no node", f"{nearest} semitones above it")
    allowed = harmonics.artificial.value if harmonics.artificial is not None else None
    if allowed is not None and not allowed:
        return Fault("artificial harmonics are not asked for on this instrument")
    if allowed is not None and step in allowed:
        return None
    grip = board.neck.grip
    ways = [stop for stop in board.stops(stopped) if stop.stop]
    if grip is None or not board.neck.scale_mm or not ways:
        return None
    least = min(board.x(stop.stop + step) - board.x(stop.stop) for stop in ways)
    if least > grip.stretch_mm:
        return Fault(
            f"the touched place lies {least:.0f} mm beyond the stopped one, and the hand reaches {grip.stretch_mm:.0f} mm"
        )
    return None


def _touched(board: Board, cents: int, top: int) -> bool:
    """Whether some string has a node here; the open string itself counts, where the head names the string."""
    return any(
        abs(cents - opened) <= TOUCH_CENTS or any(abs(cents - opened - 100 * node) <= TOUCH_CENTS for node, _ in nodes(top))
        for opened in board.open
    )


def _sounds(board: Board, cents: int, top: int) -> bool:
    return any(abs(cents - opened - 100 * partial) <= PARTIAL_CENTS for opened in board.open for partial in partials(top))


def _off(board: Board, cents: int, top: int, head: Note) -> tuple[str, str]:
    string, node, partial = min(
        ((opened, node, partial) for opened in board.open for node, partial in nodes(top)),
        key=lambda item: (abs(cents - item[0] - 100 * item[1]), item[2]),
    )
    off = (string + 100 * node - cents) / 100
    where = f"{abs(off):.1f} semitones {'higher' if off > 0 else 'lower'}"
    return f"touched at {_name(head)} no string has a node", f"the node of partial {partial}, {where}"


def _cents(note: Note, moved: int) -> int:
    assert note.sounding is not None  # heads of a tone are pitched
    return note.sounding.cents + moved


def _name(note: Note) -> str:
    return note.sounding.name if note.sounding is not None else ""
