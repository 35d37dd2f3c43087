"""A compass drawn as a row of white keys: two lines of text that need no colour and no special signs."""

from __future__ import annotations

from collections.abc import Sequence

from xmlcheck.pitch import Pitch

_WHITE = (0, 0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6)
LESS, GLADLY = "-", "="
"""Keys inside the compass, and those that players take gladly."""


def drawn(lowest: Pitch, highest: Pitch, comfortable: tuple[Pitch, Pitch] | None, width: int) -> Sequence[str]:
    """Names of the octaves over one sign a white key: `=` where it is comfortable, `-` where it is not; nothing outside.

    Whole octaves are drawn, C to C. Empty where they do not fit into `width` columns.
    """
    first, last = lowest.cents // 1200, -(-highest.cents // 1200)
    keys = 7 * (last - first) + 1
    if keys > width:
        return ()
    signs = [" "] * keys
    low, high = _key(lowest, first), _key(highest, first)
    for key in range(low, high + 1):
        signs[key] = LESS
    if comfortable is not None:
        for key in range(_key(comfortable[0], first), _key(comfortable[1], first) + 1):
            signs[key] = GLADLY
    names = "".join(f"C{octave - 1}".ljust(7) for octave in range(first, last + 1))
    return (names.rstrip(), "".join(signs).rstrip())


def _key(pitch: Pitch, first: int) -> int:
    """The white key at or below a pitch, counted from the C of the first octave."""
    semitones = round(pitch.cents / 100)
    return 7 * (semitones // 12 - first) + _WHITE[semitones % 12]
