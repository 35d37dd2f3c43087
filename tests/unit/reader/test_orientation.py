"""Partwise and timewise files, and where each event stands in its document. MusicXML 4.0, elements score-partwise and
score-timewise, https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from xmlcheck.document import ANCHORED, parse
from xmlcheck.reader import read
from xmlcheck.source import from_bytes

from .build import START, attributes, backup, bar, file, note, read_text, rest, transpose

WORDS = "<direction><direction-type><words>arco</words></direction-type></direction>"


def without_anchors(value: Any) -> Any:
    """A copy of a value with every anchor set to 0."""
    if isinstance(value, tuple):
        return tuple(without_anchors(one) for one in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changed = {
        one.name: without_anchors(getattr(value, one.name)) for one in fields(value) if one.init and one.name != "anchor"
    }
    return replace(value, **changed, **({"anchor": 0} if hasattr(value, "anchor") else {}))


class TestOrientation:
    P1 = (
        START + attributes(transpose("-2", "-1")) + note("D5", 2) + WORDS + note("E5", 2, before="<chord/>") + rest(2),
        note("F5", 4) + "<barline><bar-style>light-light</bar-style></barline>",
    )
    P2 = (START + note("C3", 4) + backup(4) + note("G3", 4, "<voice>2</voice>"), "<sound tempo='60'/>" + note("D3", 4))

    def texts(self) -> tuple[str, str]:
        partwise = file(*["".join(bar(one, attributes=f'number="{n}"') for n, one in enumerate(p)) for p in (self.P1, self.P2)])
        head = partwise[partwise.index("<part-list>") : partwise.index("</part-list>") + len("</part-list>")]
        bars = "".join(
            f'<measure number="{n}"><part id="P1">{a}</part><part id="P2">{b}</part></measure>'
            for n, (a, b) in enumerate(zip(self.P1, self.P2, strict=True))
        )
        return partwise, f'<score-timewise version="4.0">{head}{bars}</score-timewise>'

    def test_timewise_and_partwise_are_the_same_score(self) -> None:
        # Elements score-timewise and score-partwise: the same music in two orders.
        partwise, timewise = (read_text(text) for text in self.texts())
        assert (partwise.timewise, timewise.timewise) == (False, True)
        assert without_anchors(partwise.parts) == without_anchors(timewise.parts)
        assert len(partwise.parts[0].notes) == 3

    def test_anchors_are_places_in_the_document_in_both(self) -> None:
        for text in self.texts():
            document = parse(from_bytes(text.encode(), "x"))
            elements = list(document.root.iter(*ANCHORED))
            for each in read(document).parts:
                for one in each.notes:
                    assert elements[one.anchor].findtext("pitch/octave") == str(one.written.octave if one.written else "")
                assert all(elements[one.anchor].tag == "direction" for one in each.directions if one.anchor >= 0)
                assert all(elements[one.anchor].tag in ("measure", "part") for one in each.measures)
                assert all(elements[one.anchor].tag == "barline" for one in each.barlines)

    def test_a_part_that_begins_later_in_a_timewise_file_keeps_its_bars(self) -> None:
        head = '<part-list><score-part id="A"><part-name/></score-part><score-part id="B"><part-name/></score-part></part-list>'
        bars = f'<measure number="1"><part id="B">{START}{note("C4", 4)}</part></measure>'
        bars += f'<measure number="2"><part id="A">{START}{note("D4", 4)}</part><part id="B">{note("E4", 4)}</part></measure>'
        found = read_text(f"<score-timewise>{head}{bars}</score-timewise>")
        assert [one.id for one in found.parts] == ["A", "B"]
        assert [(one.measure, one.onset) for one in found.parts[0].notes] == [(1, 4)]
        assert len(found.parts[0].measures) == 2


def test_anchors_of_partwise_files_count_every_anchored_element() -> None:
    text = file(
        bar(
            START,
            note("C4"),
            "<forward><duration>1</duration></forward>",
            "<harmony/>",
            note("D4"),
            backup(1),
            "<barline/>",
            WORDS,
            note("E4"),
        ),
        bar(note("F4")),
    )
    document = parse(from_bytes(text.encode(), "x"))
    elements = list(document.root.iter(*ANCHORED))
    steps = [elements[one.anchor].findtext("pitch/step") for each in read(document).parts for one in each.notes]
    assert steps == ["C", "D", "E", "F"]


def test_anchors_survive_elements_in_odd_places() -> None:
    # A note inside a <print>, a measure outside a part: no schema allows it, and the order has to hold all the same.
    text = file(bar(START, "<print><note/></print>", note("C4"), "<listening><direction/></listening>", note("D4")))
    text = text.replace("<part-list>", "<measure/><part-list>")
    document = parse(from_bytes(text.encode(), "x"))
    elements = list(document.root.iter(*ANCHORED))
    assert [elements[one.anchor].findtext("pitch/step") for one in read(document).parts[0].notes] == ["C", "D"]
