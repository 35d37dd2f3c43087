"""Check marks in the user's own bytes: insertions at recorded places, and their removal without a trace.

Nothing is re-serialised. A mark is a <direction> between two processing instructions; MusicXML 4.0 allows it anywhere among
the children of a measure, in the order direction-type, offset, footnote, level, voice, staff, sound. `unmark` takes out what
stands between the instructions and proves by the recorded sha256 that the original is back.
"""

from __future__ import annotations

import hashlib
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from html import escape, unescape
from typing import Literal

from xmlcheck import lexer
from xmlcheck.container import replace_member
from xmlcheck.document import ANCHORED, parse
from xmlcheck.errors import SourceChanged, XmlcheckError
from xmlcheck.finding import SCHEMA, Finding, Grade, Place, Report
from xmlcheck.player_lines.line import Line
from xmlcheck.player_lines.lines import lines as player_lines
from xmlcheck.player_lines.wish import Wishes
from xmlcheck.player_lines.words import plan_text
from xmlcheck.reader import read
from xmlcheck.source import Source, from_bytes, inserting, original

Marks = Literal["usual", "all", "none"]
"""usual: open findings graded halt or query. all: also tidy and accepted ones. none: the header instruction only."""

_BEGIN, _END = f"<?{lexer.TARGET} begin?>", f"<?{lexer.TARGET} end?>"
_FIELD = (
    f'<miscellaneous-field name="{lexer.TARGET}">'
    f"Desk copy with check marks; take them out with: {lexer.TARGET} unmark</miscellaneous-field>"
)
_PLAYER_FIELD = (
    f'<miscellaneous-field name="{lexer.TARGET}">'
    f"Player's copy with lines for the player; take them out with: {lexer.TARGET} unmark</miscellaneous-field>"
)
PLAYER_PLANS = ("tuning", "retuning", "key", "size", "breath")
"""Kinds of plans whose lines a player follows."""
_ABOVE_MEASURE = ("part", "measure")  # a direction is no sibling of these
_SMALL, _SHARE = 7.0, 0.7  # points, where the file gives no text size; share of the text size, where it does
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # XML 1.0 section 2.2, Char
_LABEL = re.compile(r"\s*\[check \d+(?:, ?\d+)*\]")
_IN_DIRECTION = {"direction", "direction-type", "words", "offset", "footnote", "level", "voice", "staff"}
_FIELD_TAG = re.compile(rb"""<miscellaneous-field\s[^<>]*?\bname\s*=\s*["']xmlcheck["']""")


def chosen(findings: Iterable[Finding], marks: Marks = "usual") -> tuple[Finding, ...]:
    """The findings that get a mark, in order."""
    if marks == "none":
        return ()
    return tuple(
        finding
        for finding in findings
        if finding.place.anchor is not None
        and (marks == "all" or (finding.accepted is None and finding.grade.rank >= Grade.QUERY.rank))
    )


def annotate(data: bytes, report: Report, marks: Marks = "usual") -> bytes:
    """The file with check marks: the same bytes and insertions. An .mxl comes back as .mxl, its other entries untouched.

    A file that is already annotated is stripped first. Raises SourceChanged where the report speaks of other bytes, and
    what `source.from_bytes` raises.
    """
    source = _checked_source(data, report)
    anchors: dict[int, list[Finding]] = defaultdict(list)
    for finding in chosen(report.findings, marks):
        if finding.place.anchor is not None:
            anchors[finding.place.anchor].append(finding)
    size = _text_size(report)
    directions = {anchor: _direction(findings, size) for anchor, findings in anchors.items()}
    return _packed(source, _insert(source, _insertions(source, report, directions, _FIELD)))


def player_copy(data: bytes, report: Report, wishes: Wishes | None = None) -> bytes:
    """The player's copy: the same bytes with lines for the player; no grades, no numbers of findings.

    The plans' lines (tuning, retuning, key, size, breath), pitch standard, mode, microtonal signs, technique terms, and numbers
    under the notes for players who read them. wishes: what each player asks for. `unmark` takes all of it out as well. Raises
    SourceChanged where the report speaks of other bytes, and what `source.from_bytes` raises.
    """
    wishes = wishes or Wishes()
    source = _checked_source(data, report)
    document = parse(source)
    found = list(player_lines(read(document), report, wishes)) if document.starts is not None else []
    for plan in report.plans:
        language = wishes.of(plan.part).language
        for line in plan.lines if plan.kind in PLAYER_PLANS else ():
            if line.place.anchor is not None:
                found.append(Line(line.place.anchor, plan_text(line.text, language), line.place))
    size = _text_size(report)
    directions: dict[int, str] = defaultdict(str)
    for one in sorted(found, key=lambda one: one.below):
        directions[one.anchor] += _words([one.place], one.text, size, one.below)
    return _packed(source, _insert(source, _insertions(source, report, directions, _PLAYER_FIELD)))


def _checked_source(data: bytes, report: Report) -> Source:
    source = original(from_bytes(data, report.source.name))
    if source.member_sha256 != report.source.member_sha256:
        raise SourceChanged(f"{source.name}: the findings were made from other bytes than these; check the file again.")
    return source


def unmark(data: bytes, anyway: bool = False, name: str = "the file") -> bytes:
    """The file without check marks, byte for byte the original (of an .mxl: the score member is).

    A file without marks comes back as it is. Raises SourceChanged where the rest is not what the header recorded, unless
    `anyway`.
    """
    source = from_bytes(data, name)
    stripped = lexer.strip(source.data, source.encoding)
    if not stripped.marks:
        return data
    if not anyway and hashlib.sha256(stripped.data).hexdigest() != stripped.recorded:
        raise SourceChanged(
            f"{name}: without its check marks it is not the file that was checked, so somebody edited it since; "
            "nothing was changed (--anyway takes the marks out all the same)."
        )
    return _packed(source, stripped.data)


def is_marked(data: bytes) -> bool:
    """Whether the file carries check marks of this tool. Bytes that cannot be read at all carry none."""
    try:
        source = from_bytes(data, "")
    except XmlcheckError:
        return False
    return lexer.strip(source.data, source.encoding).marks > 0


def unmark_by_label(data: bytes, name: str = "the file") -> tuple[bytes, list[str]]:
    """For files whose instructions another program lost: takes out directions that hold nothing but words opening "[check n]".

    Returns the bytes and the words of each, in order; a direction that holds more stays, and its line says so. The other
    program has rewritten the file, so these bytes are not those of the original.
    """
    given = from_bytes(data, name)
    source = original(given)
    text, width = lexer.units(source.data, source.encoding)
    spans: list[tuple[int, int]] = []
    lines: list[str] = []
    for start, end in lexer.elements(text, "direction"):
        inner = text[start:end]
        words = [_text(source, start + a, start + b) for a, b in lexer.elements(inner, "words")]
        ours = [line for line in words if _LABEL.match(line)]
        if ours:
            alone = ours == words and lexer.names(inner) <= _IN_DIRECTION
            spans += [(start, end)] if alone else []
            lines.append(" ".join(ours) + ("" if alone else " (left in place: its direction holds more)"))
    for start, end in lexer.elements(text, "miscellaneous-field"):
        if _FIELD_TAG.match(text, start):
            spans.append((start, end))
    if not spans and source is given:
        return data, lines
    return _packed(source, lexer.cut(source.data, sorted(spans), width)), lines


def _insertions(source: Source, report: Report, directions: Mapping[int, str], header_field: str) -> list[tuple[int, str]]:
    """Byte offsets and texts to insert, in order. directions: what stands before the element of each anchor."""
    text, width = lexer.units(source.data, source.encoding)
    offsets, names = lexer.starts(text, width, ANCHORED)
    placed = {
        anchor: direction
        for anchor, direction in directions.items()
        if 0 <= anchor < len(offsets) and names[anchor] not in _ABOVE_MEASURE
    }
    root = lexer.root_start(text)
    version = re.sub(r"[^\w.+-]", "", report.tool[1], flags=re.ASCII)
    head = f'<?{lexer.TARGET} file tool="{lexer.TARGET} {version}" schema="{SCHEMA}" sha256="{source.member_sha256}"?>'
    places = [(root[0] * width if root else source.lead, head)]
    field = lexer.field_place(text) if placed else None
    if field is not None:
        before = "".join(f"<{name}>" for name in field[1])
        after = "".join(f"</{name}>" for name in reversed(field[1]))
        places.append((field[0] * width, f"{_BEGIN}{before}{header_field}{after}{_END}"))
    places += [(offsets[anchor], f"{_BEGIN}{direction}{_END}") for anchor, direction in placed.items()]
    return sorted(places, key=lambda place: place[0])


def _direction(findings: list[Finding], size: float) -> str:
    """The <direction> of all findings on one anchor."""
    findings = sorted(findings, key=lambda finding: finding.number)
    numbers = ", ".join(str(finding.number) for finding in findings)
    labels = "; ".join(dict.fromkeys(finding.label for finding in findings))
    return _words([finding.place for finding in findings], f"[check {numbers}] {labels}", size)


def _text_size(report: Report) -> float:
    return _SMALL if not report.words_size or report.words_size <= 0 else report.words_size * _SHARE


def _words(places: list[Place], text: str, size: float, below: bool = False) -> str:
    """A <direction> with these words; staff and voice of the first place that has them. What is for a lower staff stands below."""
    voice = next((place.voice for place in places if place.voice is not None), None)
    staff = next((place.staff for place in places if place.staff is not None), None)
    return (
        f'<direction placement="{"below" if below or (staff is not None and staff >= 2) else "above"}"><direction-type>'
        f'<words font-style="normal" font-weight="normal" font-size="{round(size, 1):g}">'
        f"{_escaped(text)}</words></direction-type>"
        + ("" if voice is None else f"<voice>{_escaped(voice)}</voice>")
        + ("" if staff is None else f"<staff>{staff}</staff>")
        + "</direction>"
    )


def _escaped(text: str) -> str:
    """Text of an element: no markup, no `?>`, nothing that XML forbids, and on one line."""
    return escape(_NOT_XML.sub("\N{REPLACEMENT CHARACTER}", " ".join(text.split())), quote=False)


def _insert(source: Source, insertions: list[tuple[int, str]]) -> bytes:
    encoding = inserting(source)
    pieces, last = [], 0
    for offset, text in insertions:
        pieces += [source.data[last:offset], _encoded(text, encoding)]
        last = offset
    return b"".join((*pieces, source.data[last:]))


def _encoded(text: str, encoding: str) -> bytes:
    """In Unicode encodings as it is; in all others ASCII with character references, which no wrong declaration can spoil."""
    return text.encode(encoding if encoding.startswith("utf") else "ascii", "xmlcharrefreplace")


def _packed(source: Source, data: bytes) -> bytes:
    if source.container is None or source.member is None:
        return data
    return replace_member(source.container, source.member, data, source.name)


def _text(source: Source, start: int, end: int) -> str:
    """The text of an element given by its span in units."""
    _, width = lexer.units(source.data[:2], source.encoding)
    whole = source.data[start * width : end * width].decode(source.encoding, "replace")
    return " ".join(unescape(re.sub(r"<[^>]*>", "", whole)).split())
