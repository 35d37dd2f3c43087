"""Grows valid elements from the schema's grammar: any content, any attributes, values of their types."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from lxml import etree

from tests.fuzz import vocabulary
from tests.fuzz.pen import Pen
from tests.fuzz.schema import XS, Attribute, attributes, content, group, simple, text_type, types_of_elements

Maker = Callable[[], etree._Element]


@dataclass
class Grower:
    """pen: draws all. references: ids that may be referred to. makers: elements made by hand where they come up.

    rich: percent of optional content that is there; huge: of numbers, how many in a thousand are absurd. pools: values by the
    name of an element or type, in place of the vocabulary's.
    """

    pen: Pen
    references: list[str] = field(default_factory=list)
    makers: dict[str, Maker] = field(default_factory=dict)
    rich: int = 25
    huge: int = 3
    pools: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def element(self, tag: str, type: str = "", **given: str) -> etree._Element:
        """An element with all that the schema lets it hold. given: attributes that are settled, `_` for `-`."""
        type = type or types_of_elements()[tag]
        made = etree.Element(tag)
        settled = {name.rstrip("_").replace("_", "-"): value for name, value in given.items()}
        self.attributes(made, type, settled)
        particle, text = content(type), text_type(type)
        if particle is not None:
            made.extend(self._particle(particle))
        elif text is not None:
            made.text = self.value(text, tag)
        return made

    def attributes(self, made: etree._Element, type: str, settled: dict[str, str] | None = None) -> None:
        """Gives the element attributes: the required ones, and some of the others. settled ones go first."""
        settled = settled or {}
        for name, value in settled.items():
            made.set(name, value)
        for one in attributes(type):
            if one.name not in settled and (one.required or self.pen.maybe(self.rich // 3)):
                made.set(one.name, self._attribute(one))

    def _attribute(self, one: Attribute) -> str:
        return one.fixed or self.value(one.type, f"@{one.name}")

    def group(self, name: str) -> list[etree._Element]:
        """The elements of a named group."""
        return self._once(group(name))

    def _particle(self, node: etree._Element) -> list[etree._Element]:
        """A particle as often as it may come."""
        low = int(node.get("minOccurs", "1"))
        most = node.get("maxOccurs", "1")
        high = low + 3 if most == "unbounded" else int(most)
        times = low
        while times < high and self.pen.maybe(self.rich):
            times += 1
        return [made for _ in range(times) for made in self._once(node)]

    def _once(self, node: etree._Element) -> list[etree._Element]:
        if node.tag == f"{XS}element":
            name, type = node.get("name", ""), node.get("type", "xs:string")  # only <directive> has no type of its own
            return [self.makers[name]()] if name in self.makers else [self.element(name, type)]
        if node.tag == f"{XS}group" and node.get("ref"):
            return self._once(group(node.get("ref", "")))
        inner = [child for child in node if child.tag != f"{XS}annotation"]
        if node.tag == f"{XS}choice":
            return self._particle(self.pen.pick(inner)) if inner else []
        return [made for child in inner for made in self._particle(child)]

    def value(self, type: str, name: str = "") -> str:
        """A text of a simple type, for the element or @attribute of this name."""
        pool = self.pools.get(name) or self.pools.get(type)
        if pool:
            return self.pen.pick(pool)
        if name in vocabulary.TEXTS:
            return self.pen.pick(vocabulary.TEXTS[name])
        if name == "instrument-sound":
            return self.pen.pick(vocabulary.sounds())
        if name in vocabulary.ELEMENTS:
            return self.pen.pick(vocabulary.ELEMENTS[name])
        if type == "xs:ID":
            return self.pen.new_id()
        if type == "xs:IDREF":
            return self.pen.pick(self.references or ["i0"])
        if type.startswith("xs:") or ":" in type:
            return self._builtin(simple(type).base if not type.startswith("xs:") else type, None, None, simple(type).words)
        if type in vocabulary.PATTERNED:
            return self.pen.pick(vocabulary.PATTERNED[type])
        kind = simple(type)
        if type in vocabulary.NUMBERS:
            return self.pen.pick(vocabulary.NUMBERS[type])
        if kind.union:
            options = (*kind.words, *kind.union)
            chosen = self.pen.pick(options)
            return chosen if chosen in kind.words else self.value(chosen)
        if kind.words:
            return self.pen.pick(kind.words)
        return self._builtin(kind.base, kind.low, kind.high, ())

    def _builtin(self, base: str, low: float | None, high: float | None, words: tuple[str, ...]) -> str:
        if words:
            return self.pen.pick(words)
        if base in ("xs:integer", "xs:positiveInteger", "xs:nonNegativeInteger", "xs:decimal"):
            low = {"xs:positiveInteger": 1.0, "xs:nonNegativeInteger": 0.0}.get(base, low) if low is None else low
            fractions = vocabulary.DECIMALS if base == "xs:decimal" else vocabulary.INTEGERS
            pool = vocabulary.HUGE if self.pen.number(0, 999) >= 1000 - self.huge else fractions
            return self.pen.pick([one for one in pool if self._fits(one, base, low, high)] or [_bound(low, high)])
        if base == "xs:date":
            return "2024-02-29"
        if base in ("language", "xs:language"):
            return self.pen.pick(("en", "ja", "zh-Hans"))
        if base == "space":
            return self.pen.pick(("default", "preserve"))
        if base in ("anyURI", "xs:anyURI"):
            return self.pen.pick(("part.musicxml", "https://example.org/a?b=c&d", ""))
        if base in ("xs:NMTOKEN", "smufl-glyph-name"):
            return self.pen.pick(("a", "noteheadBlack", "1.x-y"))
        return self.pen.pick(vocabulary.STRINGS)

    def _fits(self, text: str, base: str, low: float | None, high: float | None) -> bool:
        number = float(text)
        whole = base == "xs:decimal" or "." not in text
        return whole and (low is None or number >= low) and (high is None or number <= high)


def _bound(low: float | None, high: float | None) -> str:
    return f"{(low if low is not None else high) or 1:g}"
