"""Other ways to write the same music, by the letter of the standard. Each takes a tree (which it may change) and gives bytes.

Element pages: MusicXML 4.0, https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ (score-timewise, divisions, duration,
offset, voice) and the tutorial on compressed files.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from decimal import Decimal, InvalidOperation

from lxml import etree

Variant = Callable[[etree._Element], bytes]


def itself(root: etree._Element) -> bytes:
    return etree.tostring(root)


def timewise(root: etree._Element) -> bytes:
    """Bar by bar where it was part by part (score-timewise), or the reverse."""
    if root.tag == "score-timewise":
        return etree.tostring(root)
    turned = etree.Element("score-timewise", _attributes(root))
    parts = list(root.iterchildren("part"))
    for child in list(root):
        if child.tag != "part":
            turned.append(child)
    bars = [list(part.iterchildren("measure")) for part in parts]
    for index in range(max(map(len, bars), default=0)):
        shared = next(own[index] for own in bars if index < len(own))
        measure = etree.SubElement(turned, "measure", _attributes(shared))
        for part, own in zip(parts, bars, strict=True):
            if index < len(own):
                cell = etree.SubElement(measure, "part", {"id": part.get("id", "")})
                cell.extend(list(own[index]))
    return etree.tostring(turned)


def _attributes(element: etree._Element) -> dict[str, str]:
    return {str(name): str(value) for name, value in element.attrib.items()}


def zipped(root: etree._Element) -> bytes:
    """An .mxl."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "META-INF/container.xml",
            '<?xml version="1.0"?><container><rootfiles><rootfile full-path="score.musicxml"/></rootfiles></container>',
        )
        archive.writestr("score.musicxml", etree.tostring(root))
    return stream.getvalue()


def utf16(root: etree._Element) -> bytes:
    data = etree.tostring(root, encoding="utf-16", xml_declaration=True)
    return data if isinstance(data, bytes) else data.encode("utf-16")


def doubled(root: etree._Element) -> bytes:
    """Twice the divisions, and all that counts in them: durations, offsets, attacks and releases."""
    if not any(True for _ in root.iter("divisions")):
        return etree.tostring(root)  # without divisions nothing says what a duration is
    for element in root.iter("divisions", "duration", "offset"):
        element.text = _twice(element.text)
    for note in root.iter("note"):
        for name in ("attack", "release"):
            if name in note.attrib:
                note.set(name, _twice(note.get(name)) or "")
    return etree.tostring(root)


def _twice(text: str | None) -> str | None:
    try:
        return str(Decimal((text or "").strip()) * 2)
    except InvalidOperation:
        return text


def revoiced(root: etree._Element) -> bytes:
    """Other names for the voices, the order kept."""
    for voice in root.iter("voice"):
        voice.text = f"{(voice.text or '').strip()}7"
    return etree.tostring(root)


def reordered(root: etree._Element) -> bytes:
    """Attributes in another order, and signs of one group in another order."""
    for element in root.iter():
        if isinstance(element.tag, str):
            pairs = list(element.attrib.items())
            for name, _ in pairs:
                del element.attrib[name]
            for name, value in reversed(pairs):
                element.set(name, value)
    for group in [*root.iter("articulations"), *root.iter("technical")]:
        children = list(group)
        for child in children:
            group.remove(child)
        for child in reversed(children):
            child.tail = None
            group.append(child)
    return etree.tostring(root)


PLACES = (
    "default-x",
    "default-y",
    "relative-x",
    "relative-y",
    "bezier-x",
    "bezier-y",
    "placement",
    "color",
    "width",
    "font-size",
)


def bare(root: etree._Element) -> bytes:
    """Without layout: no places, stems, beams, pages and systems; ids only where something refers to them."""
    for element in list(root.iter("stem", "beam", "system-layout", "page-layout", "staff-layout", "defaults", "credit")):
        parent = element.getparent()
        if parent is not None and element.find("concert-score") is None:
            parent.remove(element)
    for element in root.iter():
        if isinstance(element.tag, str):
            for name in PLACES:
                element.attrib.pop(name, "")
            if element.tag in ("note", "measure", "direction", "words", "slur"):
                element.attrib.pop("id", "")
    return etree.tostring(root)


VARIANTS: dict[str, Variant] = {
    "itself": itself,
    "timewise": timewise,
    "mxl": zipped,
    "utf-16": utf16,
    "doubled divisions": doubled,
    "renamed voices": revoiced,
    "reordered attributes": reordered,
    "without layout": bare,
}
