"""The whole table of hostile inputs, by kind."""

from __future__ import annotations

from tests.hostile.row import Row
from tests.hostile.rows_bytes import ENCODING, SIZE
from tests.hostile.rows_names import NAMES
from tests.hostile.rows_numbers import FLOODS, NUMBERS
from tests.hostile.rows_places import PLACES
from tests.hostile.rows_xml import XML
from tests.hostile.rows_zip import ZIP

KINDS: dict[str, tuple[Row, ...]] = {
    "Size, depth, floods": SIZE,
    "Encodings": ENCODING,
    "Entities and references": XML,
    "Compressed scores": ZIP,
    "Absurd numbers": tuple(NUMBERS),
    "Floods of music": FLOODS,
    "Names and ids": NAMES,
    "Paths, links, outputs": PLACES,
}
ROWS = [row for rows in KINDS.values() for row in rows]
