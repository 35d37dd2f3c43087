"""Random edits of notes and signs, as a composer, orchestrator or copyist makes them, each with what it costs."""

from __future__ import annotations

import copy
from collections.abc import Iterable

from lxml import etree

from tests.unit.comparing.desk import STEPS, Desk, Element, NoPlace, before_it, drop, following, has, move, ordinary, without
from xmlcheck.comparing import costs

FLATS = {"C": "D", "D": "E", "F": "G", "G": "A", "A": "B"}


def note_removed(desk: Desk) -> float:
    note = desk.notes(lambda one: ordinary(one) and one.find("notations/slur") is None)
    pitch = note.find("pitch")
    assert pitch is not None
    note.replace(pitch, etree.Element("rest"))
    drop(note, "accidental", "notations", "lyric", "beam", "stem", "notehead", "play")
    return costs.NOTE


def note_added(desk: Desk) -> float:
    if desk.rng.random() < 0.5:
        note = desk.notes(_plain_rest)
        rest = note.find("rest")
        assert rest is not None
        pitch = etree.Element("pitch")
        etree.SubElement(pitch, "step").text = desk.rng.choice(STEPS)
        etree.SubElement(pitch, "octave").text = str(desk.rng.choice((3, 4, 5)))
        note.replace(rest, pitch)
        drop(note, "notations")
        return costs.NOTE
    note = desk.notes(ordinary)
    other = copy.deepcopy(note)
    drop(other, "notations", "lyric", "beam", "accidental", "stem")
    without(other, "id", "attack", "release")
    other.insert(0, etree.Element("chord"))
    if not move(other, 2, desk.rng.choice((3, 4))):
        raise NoPlace
    note.addnext(other)
    other.tail = None
    desk.touched.add(other)
    return costs.NOTE


def _plain_rest(note: Element) -> bool:
    rest = note.find("rest")
    if rest is None or rest.get("measure") == "yes" or note.find("duration") is None or note.get("print-object") == "no":
        return False
    return all(note.find(name) is None for name in ("cue", "grace", "chord", "notations")) and not has(before_it(note), "grace")


def pitch(desk: Desk) -> float:
    note = desk.notes(ordinary)
    steps = desk.rng.choice((-3, -2, -1, 1, 2, 3))
    size = {1: 2, 2: 4, 3: 5}[abs(steps)] * (1 if steps > 0 else -1)
    if not move(note, steps, size):
        raise NoPlace
    drop(note, "accidental")
    return costs.PITCH


def respelled(desk: Desk) -> float:
    def sharp(note: Element) -> bool:
        return ordinary(note) and note.findtext("pitch/alter") == "1" and note.findtext("pitch/step") in FLATS

    note = desk.notes(sharp)
    move(note, 1, 0)
    drop(note, "accidental")
    return costs.SPELLING


def rhythm(desk: Desk) -> float:
    """Two notes in a row change their lengths: a quarter and an eighth become an eighth and a quarter."""

    def unequal(note: Element) -> bool:
        other = following(note)
        if other is None or other in desk.touched or not (ordinary(note) and ordinary(other)):
            return False
        if list(between(note, other)):  # a direction between them would go along
            return False
        same = all(note.findtext(name) == other.findtext(name) for name in ("voice", "staff"))
        return same and note.findtext("duration") != other.findtext("duration")

    note = desk.notes(unequal)
    other = following(note)
    assert other is not None
    desk.touched.add(other)
    for name in ("duration", "type", "dot"):
        mine, theirs = note.findall(name), other.findall(name)
        before, after = place_of(note, name), place_of(other, name)
        for child in (*mine, *theirs):
            parent = child.getparent()
            assert parent is not None
            parent.remove(child)
        for place, child in enumerate(theirs):
            note.insert(before + place, child)
        for place, child in enumerate(mine):
            other.insert(after + place, child)
    drop(note, "beam")
    drop(other, "beam")
    return costs.LENGTH + costs.ONSET + costs.LENGTH


def between(note: Element, other: Element) -> Iterable[Element]:
    for one in note.itersiblings():
        if one is other:
            return
        yield one


def place_of(note: Element, name: str) -> int:
    """Where children of this name stand, or may stand, in a note."""
    found = note.find(name)
    if found is not None:
        return list(note).index(found)
    before = note.find("type") if name == "dot" else None
    if before is None:
        before = next(one for tag in ("voice", "duration") if (one := note.find(tag)) is not None)
    return list(note).index(before) + 1


def tied(desk: Desk) -> float:
    """A tie between two notes of one pitch, or its removal is a change at its first note."""

    def same(note: Element) -> bool:
        other = following(note)
        if other is None or other in desk.touched or not (ordinary(note) and ordinary(other)):
            return False
        if any(one.tag in ("backup", "forward") for one in between(note, other)):
            return False
        voice = all(note.findtext(name) == other.findtext(name) for name in ("voice", "staff"))
        return voice and _pitch_of(note) == _pitch_of(other)

    note = desk.notes(same)
    other = following(note)
    assert other is not None
    desk.touched.add(other)
    for one, kind in ((note, "start"), (other, "stop")):
        duration = one.find("duration")
        assert duration is not None
        duration.addnext(etree.Element("tie", {"type": kind}))
        etree.SubElement(notations(one), "tied", {"type": kind})
    return costs.MARK


def _pitch_of(note: Element) -> list[str | None]:
    return [note.findtext(f"pitch/{name}") for name in ("step", "alter", "octave")]


def notations(note: Element) -> Element:
    found = note.find("notations")
    if found is None:
        found = etree.Element("notations")
        lyric = note.find("lyric")
        if lyric is not None:
            lyric.addprevious(found)
        else:
            note.append(found)
    return found


def _passage(desk: Desk, steps: int, size: int) -> float:
    part = desk.rng.choice(desk.parts)
    measures = part.findall("measure")
    count = min(len(measures), desk.rng.randint(1, 6))
    first = desk.rng.randrange(len(measures) - count + 1)
    notes = [
        note
        for measure in measures[first : first + count]
        for note in measure.iterfind("note")
        if note.find("pitch") is not None
    ]
    if len(notes) < 2 or any(note in desk.touched for note in notes):
        raise NoPlace
    if not all(move(copy.deepcopy(note), steps, size) for note in notes):
        raise NoPlace
    for note in notes:
        move(note, steps, size)
        drop(note, "accidental")
    desk.touched.update(notes)
    return min(costs.PASSAGE, costs.PITCH * len(notes))


def transposed(desk: Desk) -> float:
    return _passage(desk, *desk.rng.choice(((1, 2), (-1, -2), (2, 3), (3, 5), (-3, -5), (1, 1))))


def octave(desk: Desk) -> float:
    return _passage(desk, *desk.rng.choice(((7, 12), (-7, -12))))


SIGNS = (
    ("articulations", "staccato"), ("articulations", "accent"), ("articulations", "tenuto"), ("technical", "up-bow"),
    ("technical", "open-string"), ("ornaments", "trill-mark"), ("technical", "stopped"),
)  # fmt: skip


def sign(desk: Desk) -> float:
    group, name = desk.rng.choice(SIGNS)
    if desk.rng.random() < 0.3:
        note = desk.notes(lambda one: ordinary(one) and len(one.findall(f"notations/{group}/*")) == 1)
        holder = note.find(f"notations/{group}")
        assert holder is not None
        parent = holder.getparent()
        assert parent is not None
        parent.remove(holder)
        return costs.MARK
    note = desk.notes(lambda one: ordinary(one) and one.find(f"notations/{group}") is None)
    etree.SubElement(etree.SubElement(notations(note), group), name)
    return costs.MARK


def dynamic(desk: Desk) -> float:
    return _direction(desk, "dynamics")


def words(desk: Desk) -> float:
    return _direction(desk, "words")


TEXTS = ("con sordino", "lanterns out", "sul ponticello", "quasi lontano", "à la pointe")
LEVELS = ("ppp", "p", "mf", "ff", "sfz")


def _direction(desk: Desk, name: str) -> float:
    """A new one before a note, or another text for one that is there."""
    if desk.rng.random() < 0.4:
        there = [
            one
            for one in desk.root.iterfind(f"part/measure/direction/direction-type/{name}")
            if one not in desk.touched and len(one) < 2 and (name == "dynamics" or (one.text or "").strip())
        ]
        there = [one for one in there if name == "words" or len(one) == 1]
        if there:
            chosen = desk.rng.choice(there)
            desk.touched.add(chosen)
            if name == "words":
                chosen.text = f"{desk.rng.choice(TEXTS)} {desk.rng.randint(1, 99)}"
            else:
                level = desk.rng.choice([level for level in LEVELS if level != chosen[0].tag])
                chosen.remove(chosen[0])
                etree.SubElement(chosen, level)
            return costs.MARK
    note = desk.notes(ordinary)
    direction = etree.Element("direction")
    holder = etree.SubElement(etree.SubElement(direction, "direction-type"), name)
    if name == "words":
        holder.text = f"{desk.rng.choice(TEXTS)} {desk.rng.randint(100, 199)}"
    else:
        etree.SubElement(holder, desk.rng.choice(LEVELS))
    staff = note.findtext("staff")
    if staff:
        etree.SubElement(direction, "staff").text = staff
    note.addprevious(direction)
    desk.touched.add(holder)
    return costs.MARK


def slur(desk: Desk) -> float:
    def free(note: Element) -> bool:
        other = following(note)
        if other is None or other in desk.touched or not (ordinary(note) and ordinary(other)):
            return False
        return all(one.find("notations/slur") is None for one in (note, other)) and note.findtext("voice") == other.findtext(
            "voice"
        )

    note = desk.notes(free)
    other = following(note)
    assert other is not None
    desk.touched.add(other)
    etree.SubElement(notations(note), "slur", {"type": "start", "number": "6"})
    etree.SubElement(notations(other), "slur", {"type": "stop", "number": "6"})
    return costs.MARK
