"""Text as the writer meant it: no comments inside it, entities known by name, our own annotations told apart."""

from __future__ import annotations

import copy
from html.entities import html5

from lxml import etree

OURS = "xmlcheck"
TAG = "[check "
"""How the words of our own annotations open."""


def plain(root: etree._Element) -> tuple[etree._Element, list[str]]:
    """The root itself, or a copy in which no text is broken up by comments, instructions or entity nodes; and the texts of all
    `<divisions>`, which the same walk over the tree finds.

    Numbers and order of the elements stay. A parser that fetches no DTD leaves a named entity such as `&eacute;` a node.
    """
    stray = False
    divisions = []
    for node in root.iter(etree.Entity, etree.Comment, etree.PI, "divisions"):
        if node.tag == "divisions":
            divisions.append(node)
        elif _stray(node):
            stray = True
    if stray:
        root = _mended(copy.deepcopy(root))
        divisions = list(root.iter("divisions"))
    return root, [element.text or "" for element in divisions]


def _stray(node: etree._Element) -> bool:
    return node.tag is etree.Entity or bool(node.tail and not node.tail.isspace())


def _mended(root: etree._Element) -> etree._Element:
    """The tree without comments, entity nodes and foreign instructions, their texts joined; our own instructions stay."""
    for node in list(root.iter(etree.Entity, etree.Comment, etree.PI)):
        parent = node.getparent()
        if parent is None or (getattr(node, "target", None) == OURS and not _stray(node)):
            continue
        text = _named(node) + (node.tail or "")
        before = node.getprevious()
        if before is None:
            parent.text = (parent.text or "") + text
        else:
            before.tail = (before.tail or "") + text
        node.tail = None
        parent.remove(node)
    return root


def _named(node: etree._Element) -> str:
    if node.tag is not etree.Entity:
        return ""
    text = node.text or ""
    return html5.get(text[1:], text)


def opens(node: etree._Element) -> bool:
    """Whether this processing instruction opens an annotation of ours that is closed among its siblings."""
    if not _ours(node, "begin"):
        return False
    return any(_ours(sibling, "end") for sibling in node.itersiblings(tag=etree.PI))


def closes(node: etree._Element) -> bool:
    """Whether this processing instruction closes an annotation of ours."""
    return _ours(node, "end")


def ours(element: etree._Element) -> bool:
    """Whether this element, or one around it, stands in an annotation of ours."""
    node: etree._Element | None = element
    while node is not None:
        before = next(
            (one for one in node.itersiblings(tag=etree.PI, preceding=True) if getattr(one, "target", None) == OURS), None
        )
        if before is not None and opens(before):
            return True
        node = node.getparent()
    return False


def _ours(node: etree._Element, word: str) -> bool:
    return getattr(node, "target", None) == OURS and (node.text or "").split()[:1] == [word]
