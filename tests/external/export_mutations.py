"""Twelve kinds of fault that exports bring, put at random places into clean scores.

A mutation changes one thing in a copy of the score's XML and says where: it knows no rule's workings. Kinds and habits are those
that real exports show; the places are random, from a seed.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

from lxml import etree

from tests.external.export_bench import Bench, Element, after_voice, before, made, plain, sounds, steps, text
from tests.external.export_bench import Mutation as Mutation

# ------------------------------------------------------------------------------------------------ the twelve kinds


def trigger(bench: Bench) -> tuple[str, int] | None:
    """Trigger notes two octaves under the instrument, each a 32nd before a note that it switches, in at least three places."""
    part = bench.part()
    low = bench.lowest.get(part.get("id", ""))
    unit = steps(part)
    if low is None or unit % 8 or part.find(".//staves") is not None:
        return None
    found = [(i, note) for i, bar in enumerate(part.findall("measure")) for note in bar.findall("note") if _follows(note, unit)]
    if len(found) < 9:
        return None
    chosen = sorted(bench.chance.sample(range(len(found)), 3))
    octave = max(0, (low - 24) // 12 - 1)
    for turn, index in enumerate(chosen):
        note = found[index][1]
        earlier = note.getprevious()
        assert earlier is not None
        length = earlier.find("duration")
        assert length is not None
        length.text = str(int(length.text or "0") - unit // 8)
        for name in ("type", "dot"):
            for old in earlier.findall(name):
                earlier.remove(old)
        before(note, made("CD"[turn % 2], octave, unit // 8, text(note, "voice", "1"), "32nd"))
    return part.get("id", ""), found[chosen[0]][0]


def _follows(note: Element, unit: int) -> bool:
    """A plain note right behind a plain note of an eighth or more."""
    earlier = note.getprevious()
    return (
        plain(note)
        and earlier is not None
        and earlier.tag == "note"
        and plain(earlier)
        and 2 * int(text(earlier, "duration", "0")) >= unit
    )


def slur(bench: Bench) -> tuple[str, int] | None:
    """A slur loses its end or its beginning."""
    part = bench.part()
    found = bench.pick(part, lambda note: any(s.get("type") in ("start", "stop") for s in note.iter("slur")))
    if found is None or len([s for s in found[1].iter("slur")]) != 1:
        return None
    mark = next(found[1].iter("slur"))
    parent = mark.getparent()
    assert parent is not None
    parent.remove(mark)
    if mark.get("type") == "start":  # its end is left alone
        others = [(i, n) for i, bar in enumerate(part.findall("measure")) for n in bar.findall("note")]
        place = next(k for k, (_, n) in enumerate(others) if n is found[1])
        same = ((i, s) for i, n in others[place:] for s in n.iter("slur") if s.get("number", "1") == mark.get("number", "1"))
        bar = next((i for i, s in same if s.get("type") == "stop"), None)
        return (part.get("id", ""), bar) if bar is not None else None
    others = [(i, n) for i, bar in enumerate(part.findall("measure")) for n in bar.findall("note")]
    place = next(k for k, (_, n) in enumerate(others) if n is found[1])
    same = (
        (i, s) for i, n in reversed(others[:place]) for s in n.iter("slur") if s.get("number", "1") == mark.get("number", "1")
    )
    bar = next((i for i, s in same if s.get("type") == "start"), None)
    return (part.get("id", ""), bar) if bar is not None else None


def tie(bench: Bench) -> tuple[str, int] | None:
    """A note at random gets the beginning of a tie, and the next note is another pitch or none."""
    part = bench.part()
    found = bench.pick(part, lambda note: plain(note) and _moves_on(note))
    if found is None:
        return None
    bar, note = found
    duration = note.find("duration")
    assert duration is not None
    note.insert(note.index(duration) + 1, etree.Element("tie", type="start"))
    notations = note.find("notations")
    if notations is None:
        notations = etree.Element("notations")
        lyric = note.find("lyric")
        if lyric is not None:
            note.insert(note.index(lyric), notations)
        else:
            note.append(notations)
    notations.insert(0, etree.Element("tied", type="start"))
    return part.get("id", ""), bar


def _moves_on(note: Element) -> bool:
    """Whether the next note or rest of the bar is there and is not the same pitch."""
    following = note.getnext()
    if following is None or following.tag != "note" or following.find("chord") is not None:
        return False
    old, new = note.find("pitch"), following.find("pitch")
    return old is None or new is None or [child.text for child in new] != [child.text for child in old]


def sign(bench: Bench) -> tuple[str, int] | None:
    """A note gets a printed accidental that its sound contradicts."""
    part = bench.part()
    found = bench.pick(part, lambda note: plain(note) and note.find("accidental") is None)
    if found is None:
        return None
    bar, note = found
    alter = text(note, "pitch/alter", "0")
    choice = {"0": ("sharp", "flat"), "1": ("natural", "flat"), "-1": ("natural", "sharp")}.get(alter)
    if choice is None:
        return None
    mark = etree.Element("accidental")
    mark.text = bench.chance.choice(choice)
    after_voice(note, mark)
    return part.get("id", ""), bar


def overfull(bench: Bench) -> tuple[str, int] | None:
    """A full bar of one part gets one more note; another part with notes keeps to the meter."""
    part = bench.part()
    bars = part.findall("measure")
    unit = steps(part)
    full = [
        index
        for index, bar in enumerate(bars)
        if bar.findall("note")
        and bar.find("backup") is None
        and bar.get("implicit") != "yes"
        and sounds(bar.findall("note")[-1])
        and index + 1 < len(bars)
        and index > 0
        and _full(part, index)
        and any(other is not part and _full(other, index) and _plays(other, index) for other in bench.parts)
    ]
    if not full:
        return None
    index = bench.chance.choice(full)
    last = bars[index].findall("note")[-1]
    length, kind = bench.chance.choice(((unit, "quarter"), (unit // 2, "eighth")) if unit % 2 == 0 else ((unit, "quarter"),))
    extra = made(text(last, "pitch/step"), int(text(last, "pitch/octave")), length, text(last, "voice", "1"), kind)
    pitch, old = extra.find("pitch"), last.find("pitch")
    assert pitch is not None
    assert old is not None
    extra.replace(pitch, copy.deepcopy(old))
    last.addnext(extra)
    return part.get("id", ""), index


def _plays(part: Element, index: int) -> bool:
    bars = part.findall("measure")
    return index < len(bars) and any(sounds(note) for note in bars[index].findall("note"))


def _full(part: Element, index: int) -> bool:
    """Whether a bar is as long as the meter in force says."""
    bars = part.findall("measure")
    if index >= len(bars):
        return False
    unit, meter = Fraction(1), Fraction(0)
    for bar in bars[: index + 1]:
        for attributes in bar.findall("attributes"):
            if attributes.find("divisions") is not None:
                unit = Fraction(text(attributes, "divisions"))
            beats, beat = text(attributes, "time/beats"), text(attributes, "time/beat-type")
            if beats.isdecimal() and beat.isdecimal():
                meter = Fraction(4 * int(beats), int(beat))
    total = sum(Fraction(text(note, "duration", "0")) for note in bars[index].findall("note") if note.find("chord") is None)
    return meter > 0 and total / unit == meter


def spelling(bench: Bench) -> tuple[str, int] | None:
    """A note of the scale is written by its other name, with its sign."""
    part = bench.part()
    key = part.find(".//fifths")
    fifths = int(text(key, ".", "0")) if key is not None else 0
    line = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}

    def of_scale(note: Element) -> bool:
        place = line[text(note, "pitch/step")] + 7 * int(float(text(note, "pitch/alter", "0")))
        return fifths - 1 <= place <= fifths + 5

    if len(part.findall(".//fifths")) > 1 or any("." in (a.text or "") for a in part.iter("alter")):
        return None
    found = bench.pick(part, lambda note: plain(note) and of_scale(note))
    if found is None or sum(1 for _ in part.iter("pitch")) < 12:
        return None
    bar, note = found
    pitch = note.find("pitch")
    assert pitch is not None
    old_step = text(pitch, "step")
    names = ["C", "D", "E", "F", "G", "A", "B"]
    sizes = dict(zip(names, (0, 2, 4, 5, 7, 9, 11), strict=True))
    height = sizes[text(pitch, "step")] + int(float(text(pitch, "alter", "0"))) + 12 * int(text(pitch, "octave"))
    place = line[text(pitch, "step")] + 7 * int(float(text(pitch, "alter", "0")))
    place += 12 if place <= fifths + 2 else -12
    letter = "FCGDAEB"[(place + 1) % 7]
    alter = (place + 1) // 7
    around = part.findall("measure")[bar].findall("note")
    if any(text(other, "pitch/step") in (old_step, letter) for other in around if other is not note):
        return None  # its new sign, or the loss of its old one, would be read into another note of the bar
    pitch.clear()
    for name, value in (("step", letter), ("alter", str(alter)), ("octave", str((height - alter - sizes[letter]) // 12))):
        if name != "alter" or alter:
            etree.SubElement(pitch, name).text = value
    for old in note.findall("accidental"):
        note.remove(old)
    sign_ = etree.Element("accidental")
    sign_.text = {1: "sharp", 2: "double-sharp", -1: "flat", -2: "flat-flat", 0: "natural"}.get(alter, "natural")
    after_voice(note, sign_)
    return part.get("id", ""), bar


def played(bench: Bench) -> tuple[str, int] | None:
    """Four bars or more of a part lose their grid: inner note boundaries move by up to a 20th of a quarter note."""
    part = bench.part()
    bars = [(i, bar) for i, bar in enumerate(part.findall("measure")) if bar.find("backup") is None and len(_line(bar)) > 1]
    if len(bars) < 4:
        return None
    chosen = sorted(bench.chance.sample(bars, min(len(bars), max(4, len(bars) // 2))), key=lambda item: item[0])
    finer = 480
    for element in [*part.iter("divisions"), *part.iter("duration"), *part.iter("offset")]:
        element.text = str(int(Fraction(element.text or "0") * finer))
    unit = steps(part)
    first = None
    for index, bar in chosen:
        line = _line(bar)
        for one, two in pairwise(line):
            shift = bench.chance.choice((-1, 1)) * bench.chance.randint(unit // 60, unit // 20)
            for note, change in ((one, shift), (two, -shift)):
                duration = note.find("duration")
                assert duration is not None
                duration.text = str(int(duration.text or "0") + change)
                for name in ("type", "dot"):
                    for old in note.findall(name):
                        note.remove(old)
            first = index if first is None else first
    return (part.get("id", ""), first) if first is not None else None


def _line(bar: Element) -> list[Element]:
    """The notes of a bar of plain notes of an eighth at least; empty where there are others."""
    notes = bar.findall("note")
    return notes if all(plain(note) for note in notes) else []


def hidden(bench: Bench) -> tuple[str, int] | None:
    """A note is no longer printed."""
    part = bench.part()
    found = bench.pick(part, plain)
    if found is None:
        return None
    found[1].set("print-object", "no")
    return part.get("id", ""), found[0]


def value(bench: Bench) -> tuple[str, int] | None:
    """A note is printed as another value than it lasts."""
    part = bench.part()
    names = ["whole", "half", "quarter", "eighth", "16th"]
    found = bench.pick(part, lambda note: plain(note) and text(note, "type") in names and note.find("dot") is None)
    if found is None:
        return None
    type_ = found[1].find("type")
    assert type_ is not None
    type_.text = bench.chance.choice([name for name in names[1:] if name != type_.text])
    return part.get("id", ""), found[0]


def meter(bench: Bench) -> tuple[str, int] | None:
    """One part gets a meter of its own from some bar on."""
    part = bench.chance.choice(bench.parts[1:]) if len(bench.parts) > 1 else None
    if part is None:
        return None
    bars = part.findall("measure")
    index = bench.chance.randrange(1, len(bars))
    if any(bar.find("attributes/time") is not None for bar in bars[1:]):
        return None
    beats = text(part, "measure/attributes/time/beats")
    other = bench.chance.choice([n for n in ("2", "3", "4", "5", "6", "7") if n != beats])
    attributes = etree.fromstring(f"<attributes><time><beats>{other}</beats><beat-type>4</beat-type></time></attributes>")
    if text(part, "measure/attributes/time/beat-type") != "4":
        return None
    bars[index].insert(0, attributes)
    return part.get("id", ""), index


def letters(bench: Bench) -> tuple[str, int | None] | None:
    """Velocities become a dynamic letter at every note of a part."""
    part = bench.part()
    notes = [note for note in part.iter("note") if sounds(note)]
    if len(notes) < 8:
        return None
    for note in notes:
        level = bench.chance.choice(("p", "mp", "mf", "f"))
        before(
            note,
            etree.fromstring(f"<direction><direction-type><dynamics><{level}/></dynamics></direction-type></direction>"),
        )
    return part.get("id", ""), None


def overlap(bench: Bench) -> tuple[str, int] | None:
    """A backup without a new voice: a note begins where its neighbour does."""
    part = bench.part()
    unit = steps(part)
    found = bench.pick(part, lambda note: plain(note) and _after_plain(note, unit))
    if found is None:
        return None
    bar, note = found
    earlier = note.getprevious()
    assert earlier is not None
    back = min(int(text(earlier, "duration")), int(text(note, "duration")), unit)
    before(note, etree.fromstring(f"<backup><duration>{back}</duration></backup>"))
    note.addnext(etree.fromstring(f"<forward><duration>{back}</duration></forward>"))
    return part.get("id", ""), bar


def _after_plain(note: Element, unit: int) -> bool:
    earlier = note.getprevious()
    return earlier is not None and earlier.tag == "note" and plain(earlier) and text(earlier, "voice") == text(note, "voice")


KINDS: dict[str, tuple[str, Callable[[Bench], tuple[str, int | None] | None]]] = {
    "trigger": ("trigger.notes", trigger),
    "slur": ("line.unmatched", slur),
    "tie": ("tie.broken", tie),
    "sign": ("accidental.contradicts", sign),
    "overfull": ("bar.overfull", overfull),
    "spelling": ("spelling.far", spelling),
    "played": ("time.unquantised", played),
    "hidden": ("note.hidden", hidden),
    "value": ("time.value-differs", value),
    "meter": ("parts.unequal", meter),
    "letters": ("dynamics.every-note", letters),
    "overlap": ("voice.overlap", overlap),
}
"""Kind to the rule that is to find it, and how it is planted."""


def mutate(data: bytes, kind: str, seed: int, lowest: dict[str, int]) -> Mutation | None:
    """A copy of the score with one fault of this kind at a place that the seed chooses; None where the score offers no place."""
    root = etree.fromstring(data, etree.XMLParser(resolve_entities=False, no_network=True, remove_blank_text=True))
    for element in list(root.iter(etree.Comment, etree.PI)):
        parent = element.getparent()
        if parent is not None:
            parent.remove(element)
    place = KINDS[kind][1](Bench(root, random.Random(seed), lowest))
    if place is None:
        return None
    return Mutation(kind, place[0], place[1], etree.tostring(root, encoding="UTF-8", xml_declaration=True))
