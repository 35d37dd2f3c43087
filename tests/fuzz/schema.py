"""The W3C MusicXML 4.0 schema as a grammar: what an element may hold, read from the test-only package that bundles it.

Knows the parts of XML Schema that this schema uses, and no more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from lxml import etree

from tests.corpus_files import package_folder

XS = "{http://www.w3.org/2001/XMLSchema}"
XLINK, XML = "http://www.w3.org/1999/xlink", "http://www.w3.org/XML/1998/namespace"
_FOREIGN = {"xlink:href": "anyURI", "xml:lang": "language", "xml:space": "space"}
_LINK_WORDS = {
    "xlink:type": ("simple",),
    "xlink:role": ("part",),
    "xlink:show": ("new", "embed", "none"),
    "xlink:actuate": ("onRequest", "onLoad"),
}


@dataclass(frozen=True, slots=True)
class Attribute:
    """name: as lxml writes it. type: a simple type's name. fixed: its one value, or empty."""

    name: str
    type: str
    required: bool
    fixed: str = ""


@dataclass(frozen=True, slots=True)
class Simple:
    """A simple type. base: its built-in or own base. union: other types, one of which holds."""

    name: str
    base: str
    words: tuple[str, ...] = ()
    patterned: bool = False
    low: float | None = None
    high: float | None = None
    union: tuple[str, ...] = ()


@cache
def _named() -> dict[tuple[str, str], etree._Element]:
    file = package_folder("musicxml") / "generate_classes" / "musicxml_4_0.xsd"
    root = etree.parse(str(file)).getroot()
    return {(str(child.tag).removeprefix(XS), child.get("name", "")): child for child in root if isinstance(child.tag, str)}


@cache
def types_of_elements() -> dict[str, str]:
    """Element names to the types they have where they first appear."""
    found: dict[str, str] = {}
    for node in _named().values():
        for element in node.iter(f"{XS}element"):
            if element.get("type"):
                found.setdefault(element.get("name", ""), element.get("type", ""))
    return found


@cache
def content(type: str) -> etree._Element | None:
    """The sequence, choice or group that a complex type holds; None where it holds text or nothing."""
    node = _named().get(("complexType", type))
    if node is None:
        return None
    extension = node.find(f"{XS}complexContent/{XS}extension")
    if extension is not None:
        own = _particle(extension)
        return own if own is not None else content(extension.get("base", ""))
    return _particle(node)


def _particle(node: etree._Element) -> etree._Element | None:
    return next((child for child in node if child.tag in (f"{XS}sequence", f"{XS}choice", f"{XS}group")), None)


@cache
def options(type: str) -> tuple[tuple[str, str], ...]:
    """Names and types of the elements that a complex type lets one choose from."""
    node = content(type)
    choice = next(node.iter(f"{XS}choice"), None) if node is not None else None
    return (
        tuple((one.get("name", ""), one.get("type", "")) for one in choice.iter(f"{XS}element")) if choice is not None else ()
    )


def group(name: str) -> etree._Element:
    """What a group holds."""
    found = _particle(_named()["group", name])
    assert found is not None
    return found


@cache
def text_type(type: str) -> str | None:
    """The simple type of an element's text; None where it holds none."""
    node = _named().get(("complexType", type))
    if node is None:
        return type
    extension = node.find(f"{XS}simpleContent/{XS}extension")
    if extension is None:
        return None
    base = extension.get("base", "")
    return text_type(base)


@cache
def attributes(type: str) -> tuple[Attribute, ...]:
    """All attributes of a complex type, those of its groups and its base included."""
    node = _named().get(("complexType", type))
    return tuple(_attributes(node)) if node is not None else ()


def _attributes(node: etree._Element) -> Iterator[Attribute]:
    for child in node:
        if child.tag == f"{XS}attribute":
            yield _attribute(child)
        elif child.tag == f"{XS}attributeGroup":
            yield from _attributes(_named()["attributeGroup", child.get("ref", "")])
        elif child.tag in (f"{XS}simpleContent", f"{XS}complexContent"):
            yield from _attributes(child)
        elif child.tag == f"{XS}extension":
            yield from attributes(child.get("base", ""))
            yield from _attributes(child)


def _attribute(node: etree._Element) -> Attribute:
    required, reference = node.get("use") == "required", node.get("ref")
    if reference is None:
        return Attribute(node.get("name", ""), node.get("type", ""), required, node.get("fixed", ""))
    prefix, _, name = reference.partition(":")
    space = XLINK if prefix == "xlink" else XML
    return Attribute(f"{{{space}}}{name}", reference, required, node.get("fixed", ""))


@cache
def simple(name: str) -> Simple:
    """A simple type by its name, `xs:` for built-in ones."""
    if name in _LINK_WORDS:
        return Simple(name, "xs:token", _LINK_WORDS[name])
    if ":" in name:
        return Simple(name, _FOREIGN.get(name, name))
    node = _named()["simpleType", name]
    union = node.find(f"{XS}union")
    if union is not None:
        inner = node.findall(f".//{XS}enumeration")
        return Simple(
            name, "", tuple(word.get("value", "") for word in inner), union=tuple((union.get("memberTypes") or "").split())
        )
    restriction = node.find(f"{XS}restriction")
    assert restriction is not None
    base = restriction.get("base", "")
    above = simple(base) if not base.startswith("xs:") else None
    bounds: dict[str, float | None] = {"low": above.low if above else None, "high": above.high if above else None}
    for child in restriction:
        if str(child.tag).endswith("Inclusive") or str(child.tag).endswith("Exclusive"):
            bounds["low" if "min" in str(child.tag) else "high"] = float(child.get("value", "0"))
    words = tuple(word.get("value", "") for word in restriction.findall(f"{XS}enumeration"))
    return Simple(
        name,
        above.base if above else base,
        words or (above.words if above else ()),
        restriction.find(f"{XS}pattern") is not None or bool(above and above.patterned),
        bounds["low"],
        bounds["high"],
    )
