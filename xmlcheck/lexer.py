"""One lexer over the bytes of an XML document: where elements start, where our own marks stand, where a header line may go.

It knows tags, comments, CDATA, processing instructions and DOCTYPE, and no more. `<` opens markup and nothing else in
well-formed XML 1.0 (section 2.4), and in every encoding accepted here it is its own byte, never part of another character; so
one regular expression finds every start tag. UTF-16 is folded to one byte a code unit first. (`]` can be the second byte of a
character in the encodings of East Asia: a CDATA section may then seem to end early, which the parser's count will tell.)
Malformed input costs linear time and gives a wrong answer; the parser has the last word on it (`document`).
"""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

TARGET = "xmlcheck"
"""The name of our processing instructions: `<?xmlcheck file ...?>`, `<?xmlcheck begin?>`, `<?xmlcheck end?>`."""

# What is not closed takes the rest of the text: nothing is searched twice, so time stays linear.
_ASIDE = rb"!--.*?(?:-->|\Z)|\?(?P<instruction>.*?)(?:\?>|\Z)"
_SUBSET = rb"\[(?:[^\]\"'<]|\"[^\"]*\"|'[^']*'|<!--.*?(?:-->|\Z)|<\?.*?(?:\?>|\Z)|<!)*+\]\s*+"
_DOCTYPE = rb"!DOCTYPE(?:(?:[^\"'\[>]|\"[^\"]*\"|'[^']*')*+(?:" + _SUBSET + rb")?+>|.*\Z)"
_SKIPPED = _ASIDE + rb"|!\[CDATA\[.*?(?:\]\]>|\Z)|" + _DOCTYPE
_TAG = re.compile(rb"<(?:[^\"'<>]|\"[^\"<]*\"|'[^'<]*')*+>")
_MUSIC = re.compile(rb"<(?:note|measure|part|attributes|barline|forward|backup|harmony)[\s/>]")
_SHA = re.compile(rb"\ssha256=\"([0-9a-f]{64})\"")
_COMMENTS = re.compile(rb"<!--.*?(?:-->|\Z)|<\?.*?(?:\?>|\Z)", re.DOTALL)
_HIGH = bytes([0]) + bytes([0x80]) * 255


@dataclass(frozen=True, slots=True)
class Tag:
    """A start or end tag in units: `name`, whether it is an end tag, start and end of the whole tag, `<a/>` or not."""

    name: str
    closes: bool
    start: int
    end: int
    empty: bool


@dataclass(frozen=True, slots=True)
class Stripped:
    """A document without our marks: its bytes, the sha256 that the marks recorded (None: no header), how many marks went."""

    data: bytes
    recorded: str | None
    marks: int


def units(data: bytes, encoding: str) -> tuple[bytes, int]:
    """The document as one byte a code unit, and the width of a unit in bytes: 2 for UTF-16, else 1 and the data itself.

    A UTF-16 unit beyond Latin-1 becomes some byte above 0x7F, so that it can never look like markup.
    """
    if not encoding.startswith("utf-16"):
        return data, 1
    even = len(data) - len(data) % 2
    low, high = data[0:even:2], data[1:even:2]
    if encoding.endswith("be"):
        low, high = high, low
    if high.count(0) == len(high):
        return low, 2
    folded = int.from_bytes(low, "big") | int.from_bytes(high.translate(_HIGH), "big")
    return folded.to_bytes(len(low), "big"), 2


def starts(text: bytes, width: int, names: tuple[str, ...]) -> tuple[array[int], list[str]]:
    """Byte offsets of all start tags with these names in document order, and the names. Takes what `units` gives."""
    found = [match for match in _pattern(names, False).finditer(text) if match["name"]]
    offsets = array("Q", [match.start() * width for match in found])
    return offsets, b" ".join([match["name"] for match in found]).decode().split()


def tags(text: bytes, names: tuple[str, ...]) -> Iterator[Tag]:
    """Start and end tags with these names, in order. `text` and offsets are in units."""
    for match in _pattern(names, True).finditer(text):
        if match["name"]:
            whole = _TAG.match(text, match.start())
            end = whole.end() if whole else match.end()
            closes = match["slash"] is not None
            yield Tag(match["name"].decode(), closes, match.start(), end, text[end - 2 : end] == b"/>")


def elements(text: bytes, name: str) -> Iterator[tuple[int, int]]:
    """Spans, in units, of the elements with this name that hold something: from the start tag's `<` to the end tag's `>`.

    For names that never nest in themselves.
    """
    start = None
    for tag in tags(text, (name,)):
        if tag.closes and start is not None:
            yield start, tag.end
            start = None
        elif not tag.closes and not tag.empty:
            start = tag.start


def root_start(text: bytes) -> tuple[int, str] | None:
    """Where the root's start tag stands, in units, and its name as written; None where there is no tag."""
    for match in _any_tag().finditer(text):
        if match["name"]:
            return match.start(), match["name"].decode("ascii", "replace")
    return None


def entities_declared(text: bytes) -> bool:
    """Whether the DOCTYPE declares an entity of its own, internal, external or parameter."""
    for match in _any_tag().finditer(text):
        if match["name"]:
            break
        if match[0].startswith(b"<!DOCTYPE"):
            return b"<!ENTITY" in _COMMENTS.sub(b"", match[0])
    return False


def names(text: bytes) -> set[str]:
    """The names of all start tags in a piece of a document."""
    return {match["name"].decode("ascii", "replace") for match in _any_tag().finditer(text) if match["name"]}


def field_place(text: bytes) -> tuple[int, tuple[str, ...]] | None:
    """Where the score's own miscellaneous-field may stand, in units, and the elements it still needs around it.

    Header order of MusicXML 4.0: identification before defaults, credit and part-list; miscellaneous last in it. None where
    nothing can be inserted: an empty-element tag has no inside, and its bytes are not ours to change.
    """
    within = False
    for tag in tags(text, ("identification", "miscellaneous", "defaults", "credit", "part-list")):
        if tag.name in ("identification", "miscellaneous"):
            if tag.empty:
                return None
            if tag.closes:
                return tag.start, () if tag.name == "miscellaneous" else ("miscellaneous",)
            within = True
        elif not within:
            return tag.start, ("identification", "miscellaneous")
    return None


def strip(data: bytes, encoding: str) -> Stripped:
    """Takes our marks out: every begin/end pair with what stands between, the header instruction, and single leftovers.

    A pair that has come to hold music (somebody edited the file) loses its instructions only; music is never taken out.
    """
    text, width = units(data, encoding)
    if b"<?" + TARGET.encode() not in text:
        return Stripped(data, None, 0)
    spans, recorded, opened = [], None, None
    for start, end, content in _instructions(text):
        spans.append((start, end))
        if content == b"begin":
            opened = end
        elif content == b"end" and opened is not None:
            if _MUSIC.search(text, opened, start) is None:
                spans[-1] = (opened, end)
            opened = None
        elif content.startswith(b"file"):
            sha = _SHA.search(content)
            recorded = sha[1].decode() if sha else recorded
    return Stripped(cut(data, spans, width), recorded, len(spans))


def cut(data: bytes, spans: list[tuple[int, int]], width: int) -> bytes:
    """The bytes without these spans, which are in units, in order, and do not overlap."""
    kept, last = [], 0
    for start, end in spans:
        kept.append(data[last * width : start * width])
        last = end
    return b"".join((*kept, data[last * width :]))


def _instructions(text: bytes) -> Iterator[tuple[int, int, bytes]]:
    """Our processing instructions: start, end, and what follows the target."""
    target = TARGET.encode()
    for match in _pattern((), False).finditer(text):
        head, *rest = (match["instruction"] or b"").split(None, 1)[:2] or [b""]
        if head == target and match[0].endswith(b"?>"):
            yield match.start(), match.end(), b"".join(rest).strip()


@lru_cache(maxsize=32)
def _pattern(names: tuple[str, ...], ends: bool) -> re.Pattern[bytes]:
    choice = "|".join(re.escape(name) for name in names).encode() or rb"(?!)"
    slash = rb"(?P<slash>/)?" if ends else b""
    return re.compile(rb"<(?:" + slash + rb"(?P<name>" + choice + rb")(?=[\s/>])|" + _SKIPPED + rb")", re.DOTALL)


@lru_cache(maxsize=1)
def _any_tag() -> re.Pattern[bytes]:
    return re.compile(rb"<(?:(?P<name>[^\s<>/!?=\"'&]+)|" + _SKIPPED + rb")", re.DOTALL)
