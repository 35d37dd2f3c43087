"""Notes that are written alike are read once: most notes of a file repeat another one byte for byte, their place aside."""

from __future__ import annotations

from typing import Any

from xmlcheck.document import Document
from xmlcheck.reader.draft import Draft
from xmlcheck.reader.faults import Faults
from xmlcheck.reader.grid import Ticks
from xmlcheck.reader.notices import Notices


class Alike:
    """Drafts by the bytes of a note from the end of its start tag to its end tag, for one reading of a document.

    What a duration means depends on the divisions in force, so they belong to the key. Left out are notes with a comment, an
    instruction or CDATA inside, whose end cannot be told by sight, and notes that gave cause for a notice, which counts them.
    """

    def __init__(self, document: Document, notices: Notices, faults: Faults) -> None:
        encoding = document.source.encoding
        self._data, self._starts = document.source.data, document.starts
        self._notices, self._faults = notices, faults
        self._closed, self._end = ">".encode(encoding), "</note>".encode(encoding)
        self._comment, self._instruction = "<!".encode(encoding), "<?".encode(encoding)
        self._unit = len(self._closed)
        self._drafts: dict[tuple[bytes, int], dict[str, Any]] = {}
        self._key: tuple[bytes, int] | None = None
        self._told = 0

    def known(self, anchor: int, ticks: Ticks) -> Draft | None:
        """A draft of the note at this anchor, if one like it was read before; else None, and `keep` what is read."""
        self._key = None
        if self._starts is None or anchor < 0:
            return None
        start = self._data.find(self._closed, self._starts[anchor])
        end = self._data.find(self._end, start)
        key = self._data[start:end], id(ticks)
        values = self._drafts.get(key)
        if values is not None:
            draft = Draft()
            draft.__dict__.update(values)
            return draft
        if end > 0 and not (end - start) % self._unit:
            self._key, self._told = key, self._notices.count + self._faults.count
        return None

    def keep(self, draft: Draft) -> None:
        """Remembers what the note asked for last says."""
        if self._key is None or self._notices.count + self._faults.count != self._told:
            return
        inside = self._key[0]
        if self._comment not in inside and self._instruction not in inside:
            self._drafts[self._key] = dict(draft.__dict__)
