"""What a score says about itself before its parts."""

from __future__ import annotations

from lxml import etree

from xmlcheck.reader.partlist import miscellaneous

__all__ = ["absent", "miscellaneous", "title", "words_size"]


def title(root: etree._Element) -> str:
    """The work's title, else the movement's."""
    texts = (root.findtext("work/work-title"), root.findtext("movement-title"))
    return next((text.strip() for text in texts if text and text.strip()), "")


def absent(root: etree._Element) -> frozenset[str]:
    """Elements (or `element@attribute`) whose absence means nothing: `<supports type="no">` (MusicXML 4.0, supports)."""
    return frozenset(
        one.get("element", "") + (f"@{one.get('attribute')}" if one.get("attribute") else "")
        for one in root.iterfind("identification/encoding/supports")
        if one.get("type") == "no"
    )


def words_size(root: etree._Element) -> float | None:
    """The size of words in points, where the defaults give it as a number."""
    font = root.find("defaults/word-font")
    try:
        size = float(font.get("font-size", "")) if font is not None else 0.0
    except ValueError:
        return None
    return size if 0 < size < 1000 else None
