"""Numbers for new bars that leave those of all other bars as they are: 12A, 12B after bar 12.

Common practice, no source: bars put in after the parts were printed take the number before them and a letter.
"""

from __future__ import annotations

import re
from string import ascii_uppercase

_NUMBER = re.compile(r"(.*?\d+)([A-Z]*)$")


def numbers(after: str | None, count: int, taken: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Numbers for `count` bars after the bar `after` (None: before the first). taken: numbers that bars of the file have.

    After 12: 12A, 12B ...; after 12A: 12B; before the first bar: 0A, 0B. Over Z the letters go on as AA, AB.
    """
    match = _NUMBER.match(after or "0")
    base, letters = (match[1], match[2]) if match else (after or "0", "")
    found: list[str] = []
    place = _value(letters) + 1
    while len(found) < count:
        name = f"{base}{_letters(place)}"
        if name not in taken:
            found.append(name)
        place += 1
    return tuple(found)


def _value(letters: str) -> int:
    value = 0
    for letter in letters:
        value = value * 26 + ascii_uppercase.index(letter) + 1
    return value


def _letters(value: int) -> str:
    text = ""
    while value > 0:
        value, rest = divmod(value - 1, 26)
        text = ascii_uppercase[rest] + text
    return text
