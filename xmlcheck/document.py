"""The only module that runs an XML parser: the tree of one score, and the byte offset of every element a mark can precede.

lxml knows lines, not bytes. A second pass by `lexer` over the same bytes finds the starts; the two must agree in count and
names, or the file is checked without annotation.
"""

from __future__ import annotations

import re
from array import array
from dataclasses import dataclass
from typing import Any

from lxml import etree

from xmlcheck import lexer
from xmlcheck.errors import TooLarge, Unreadable, Unsupported, XmlcheckError, brief
from xmlcheck.model import Notice
from xmlcheck.source import Source

ANCHORED = ("part", "measure", "note", "direction", "attributes", "barline", "forward", "backup", "harmony")
"""Elements with a recorded start. An anchor is the ordinal of an element among `root.iter(*ANCHORED)`."""

_DETAIL = re.compile(r", (?:line \d|use XML_|try XML_).*", re.DOTALL)
_ENTITIES = "declares entities of its own in its DOCTYPE, which no score needs; take them out."
_MOST_PLACES, _SPARSE = 1_000_000, 50
"""Places for bars of parts in a score-timewise, and how many times as many as are written, up to which it is read."""
ROOTS = ("score-partwise", "score-timewise")


@dataclass(frozen=True, slots=True)
class Document:
    """A parsed score. starts[i]: byte offset in `source.data` of the i-th element of `root.iter(*ANCHORED)`.

    starts is None where tree and bytes do not agree: nothing can then be written back. notices: the source's come first.
    """

    source: Source
    root: etree._Element
    starts: array[int] | None
    notices: tuple[Notice, ...] = ()

    def anchors(self) -> dict[etree._Element, int]:
        """Every anchored element with its ordinal. Built at each call: call it once and keep it."""
        return {element: ordinal for ordinal, element in enumerate(self.root.iter(*ANCHORED))}


def parse(source: Source) -> Document:
    """The document of a source. Raises Unreadable, Unsupported or TooLarge, each with one sentence."""
    text, width = lexer.units(source.data, source.encoding)
    if lexer.entities_declared(text):
        raise Unsupported(f"{source.name}: {_ENTITIES}")
    root = _tree(source)
    _check_root(root, source.name)
    _check_columns(root, source.name)
    offsets, names = lexer.starts(text, width, ANCHORED)
    if names == [element.tag for element in root.iter(*ANCHORED)]:
        return Document(source, root, offsets, source.notices)
    lost = Notice("starts", "checked but not annotated: the places of its notes in the file could not be told for sure")
    return Document(source, root, None, (*source.notices, lost))


def _tree(source: Source) -> etree._Element:
    # Without huge_tree libxml2 itself refuses nesting over 256 and texts over 10 MB, before anything recursive runs.
    parser = etree.XMLParser(
        encoding="utf-8", resolve_entities=False, no_network=True, load_dtd=False, dtd_validation=False, huge_tree=False
    )
    data = source.data[source.lead :]
    if source.encoding != "utf-8":
        data = data.decode(source.encoding).encode()
    try:
        root = etree.fromstring(data, parser)
    except etree.XMLSyntaxError as error:
        raise _sentence(source.name, error, data.rstrip().endswith(b">")) from None
    dtd: Any = root.getroottree().docinfo.internalDTD
    if dtd is not None and dtd.entities():
        raise Unsupported(f"{source.name}: {_ENTITIES}")
    return root


def _check_columns(root: etree._Element, name: str) -> None:
    """Bar by bar, each part has a place in each bar, written or not: parts that are in few bars only would fill the memory."""
    if root.tag != "score-timewise":
        return
    ids = [part.get("id") for part in root.iterfind("measure/part")]
    places = len(set(ids)) * len(root.findall("measure"))
    if places > _MOST_PLACES and places > _SPARSE * len(ids):
        raise TooLarge(f"{name}: {len(set(ids))} parts that stand in few of its bars each; no score is built like this.")


def _sentence(name: str, error: etree.XMLSyntaxError, ends: bool) -> XmlcheckError:
    """What the parser's error means to a user. ends: whether the file ends as XML ends, with a tag."""
    line = error.lineno or 1
    cause = brief(" ".join(_DETAIL.sub("", str(error.msg)).split()).rstrip("."))
    code, codes = getattr(error, "code", None), etree.ErrorTypes
    if code == codes.ERR_RESOURCE_LIMIT:
        return TooLarge(f"{name}: over a limit of the XML parser in line {line} ({cause}); no score is built like this.")
    if code == codes.ERR_DOCUMENT_EMPTY:
        return Unreadable(f"{name}: is not XML; export the score as MusicXML.")
    if code == codes.ERR_TAG_NOT_FINISHED or not ends:
        return Unreadable(f"{name}: stops in the middle, in line {line} ({cause}); export or copy the file again.")
    return Unreadable(f"{name}: is not well-formed XML in line {line} ({cause}); export the file again.")


def _check_root(root: etree._Element, name: str) -> None:
    if root.tag in ROOTS:
        return
    tag = etree.QName(root)
    if tag.localname == "opus":
        raise Unsupported(f"{name}: is an opus, a list of scores; check the scores that it lists one by one.")
    if tag.localname in ROOTS:
        raise Unreadable(
            f"{name}: is not MusicXML: its root is in the namespace {brief(repr(tag.namespace))}; export it again without."
        )
    raise Unreadable(
        f"{name}: is not MusicXML: its root element is {brief(repr(tag.localname))}; export the score as MusicXML."
    )
