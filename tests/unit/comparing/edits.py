"""Random edits as a composer, orchestrator or copyist makes them, done to the tree of a file, each with what it costs.

Every edit leaves the music well formed and touches notes and bars that no other edit of its script has touched, so that no two
can cancel. Costs are those of the account (xmlcheck.comparing.costs): what is planted is an upper bound for the cheapest account.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from lxml import etree

from xmlcheck.comparing import costs

Element = etree._Element
FLATS = {"C": "D", "D": "E", "F": "G", "G": "A", "A": "B"}
STEPS = "CDEFGAB"
SIZES = (0, 2, 4, 5, 7, 9, 11)
KINDS = (
    "note removed", "note added", "pitch", "respelled", "rhythm", "tied", "transposed", "octave", "sign", "dynamic", "slur",
    "words", "bars inserted", "bars deleted", "bars moved", "bars repeated",
)  # fmt: skip
FORCES = ("key", "time", "clef", "transpose", "staff-details", "staves", "divisions")


class NoPlace(Exception):
    """This edit finds nothing to be done to in this file."""


@dataclass
class Desk:
    """A tree under the pencil. touched: notes, bars and directions that an edit has used."""

    root: Element
    rng: random.Random
    parts: list[Element] = field(init=False)
    touched: set[Element] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.parts = list(self.root.iterchildren("part"))

    def bars(self) -> int:
        return len(self.parts[0].findall("measure"))

    def column(self, index: int) -> list[Element]:
        return [part.findall("measure")[index] for part in self.parts]

    def notes(self, fit: Callable[[Element], bool]) -> Element:
        """A note of the file that fits and is free; every part has the same chance."""
        for part in self.rng.sample(self.parts, len(self.parts)):
            found = [note for note in part.iterfind("measure/note") if note not in self.touched and fit(note)]
            if found:
                note = self.rng.choice(found)
                self.touched.add(note)
                return note
        raise NoPlace


def plant(desk: Desk, kind: str) -> float:
    """Does one edit and returns its cost. Raises NoPlace."""
    return EDITS[kind](desk)


def _ordinary(note: Element) -> bool:
    """A pitched note that stands alone: no grace, cue or chord, no tie, no tuplet, nothing tied to it."""
    if note.find("pitch") is None or note.find("duration") is None:
        return False
    if any(note.find(name) is not None for name in ("grace", "cue", "chord", "tie", "time-modification")):
        return False
    if note.find("notations/tied") is not None or note.get("print-object") == "no":
        return False
    following, before = _next(note), _previous(note)
    return not _is(following, "chord") and not _is(following, "grace") and not _is(before, "grace")


def _is(note: Element | None, name: str) -> bool:
    return note is not None and note.find(name) is not None


def _next(note: Element) -> Element | None:
    return next((one for one in note.itersiblings("note")), None)


def _previous(note: Element) -> Element | None:
    return next((one for one in note.itersiblings("note", preceding=True)), None)


def _drop(note: Element, *names: str) -> None:
    for name in names:
        for child in note.findall(name):
            note.remove(child)


def _written(note: Element) -> int:
    pitch = note.find("pitch")
    assert pitch is not None
    alter = pitch.findtext("alter") or "0"
    return (
        12 * int(pitch.findtext("octave") or 4)
        + SIZES[STEPS.index((pitch.findtext("step") or "C").strip())]
        + round(float(alter))
    )


def _move(note: Element, steps: int, semitones: int) -> bool:
    """Moves a note by an interval; False where it would need more than a double sharp or flat."""
    pitch = note.find("pitch")
    assert pitch is not None
    alter = pitch.findtext("alter") or "0"
    if float(alter) != round(float(alter)):
        return False
    number = STEPS.index((pitch.findtext("step") or "C").strip()) + 7 * int(pitch.findtext("octave") or 4) + steps
    octave, step = divmod(number, 7)
    size = _written(note) + semitones - (12 * octave + SIZES[step])
    if abs(size) > 2 or not 0 < octave < 9:
        return False
    for child in list(pitch):
        pitch.remove(child)
    etree.SubElement(pitch, "step").text = STEPS[step]
    if size:
        etree.SubElement(pitch, "alter").text = str(size)
    etree.SubElement(pitch, "octave").text = str(octave)
    return True


def note_removed(desk: Desk) -> float:
    note = desk.notes(lambda one: _ordinary(one) and one.find("notations/slur") is None)
    pitch = note.find("pitch")
    assert pitch is not None
    note.replace(pitch, etree.Element("rest"))
    _drop(note, "accidental", "notations", "lyric", "beam", "stem", "notehead", "play")
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
        _drop(note, "notations")
        return costs.NOTE
    note = desk.notes(_ordinary)
    other = copy.deepcopy(note)
    _drop(other, "notations", "lyric", "beam", "accidental", "stem")
    for name in ("id", "attack", "release"):
        other.attrib.pop(name, None)
    other.insert(0, etree.Element("chord"))
    if not _move(other, 2, desk.rng.choice((3, 4))):
        raise NoPlace
    note.addnext(other)
    other.tail = None
    desk.touched.add(other)
    return costs.NOTE


def _plain_rest(note: Element) -> bool:
    rest = note.find("rest")
    if rest is None or rest.get("measure") == "yes" or note.find("duration") is None or note.get("print-object") == "no":
        return False
    return all(note.find(name) is None for name in ("cue", "grace", "chord", "notations")) and not _is(_previous(note), "grace")


def pitch(desk: Desk) -> float:
    note = desk.notes(_ordinary)
    steps = desk.rng.choice((-3, -2, -1, 1, 2, 3))
    size = {1: 2, 2: 4, 3: 5}[abs(steps)] * (1 if steps > 0 else -1)
    if not _move(note, steps, size):
        raise NoPlace
    _drop(note, "accidental")
    return costs.PITCH


def respelled(desk: Desk) -> float:
    def sharp(note: Element) -> bool:
        return _ordinary(note) and note.findtext("pitch/alter") == "1" and note.findtext("pitch/step") in FLATS

    note = desk.notes(sharp)
    _move(note, 1, 0)
    _drop(note, "accidental")
    return costs.SPELLING


def rhythm(desk: Desk) -> float:
    """Two notes in a row change their lengths: a quarter and an eighth become an eighth and a quarter."""

    def unequal(note: Element) -> bool:
        other = _next(note)
        if other is None or other in desk.touched or not (_ordinary(note) and _ordinary(other)):
            return False
        if list(_between(note, other)):  # a direction between them would go along
            return False
        same = all(note.findtext(name) == other.findtext(name) for name in ("voice", "staff"))
        return same and note.findtext("duration") != other.findtext("duration")

    note = desk.notes(unequal)
    other = _next(note)
    assert other is not None
    desk.touched.add(other)
    for name in ("duration", "type", "dot"):
        mine, theirs = note.findall(name), other.findall(name)
        before, after = _place(note, name), _place(other, name)
        for child in (*mine, *theirs):
            parent = child.getparent()
            assert parent is not None
            parent.remove(child)
        for place, child in enumerate(theirs):
            note.insert(before + place, child)
        for place, child in enumerate(mine):
            other.insert(after + place, child)
    _drop(note, "beam")
    _drop(other, "beam")
    return costs.LENGTH + costs.ONSET + costs.LENGTH


def _between(note: Element, other: Element) -> Iterable[Element]:
    for one in note.itersiblings():
        if one is other:
            return
        yield one


def _place(note: Element, name: str) -> int:
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
        other = _next(note)
        if other is None or other in desk.touched or not (_ordinary(note) and _ordinary(other)):
            return False
        if any(one.tag in ("backup", "forward") for one in _between(note, other)):
            return False
        voice = all(note.findtext(name) == other.findtext(name) for name in ("voice", "staff"))
        return voice and etree.tostring(note.find("pitch"), with_tail=False) == etree.tostring(
            other.find("pitch"), with_tail=False
        )

    note = desk.notes(same)
    other = _next(note)
    assert other is not None
    desk.touched.add(other)
    for one, kind in ((note, "start"), (other, "stop")):
        duration = one.find("duration")
        assert duration is not None
        duration.addnext(etree.Element("tie", {"type": kind}))
        etree.SubElement(_notations(one), "tied", {"type": kind})
    return costs.MARK


def _notations(note: Element) -> Element:
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
    if not all(_move(copy.deepcopy(note), steps, size) for note in notes):
        raise NoPlace
    for note in notes:
        _move(note, steps, size)
        _drop(note, "accidental")
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
        note = desk.notes(lambda one: _ordinary(one) and len(one.findall(f"notations/{group}/*")) == 1)
        holder = note.find(f"notations/{group}")
        assert holder is not None
        parent = holder.getparent()
        assert parent is not None
        parent.remove(holder)
        return costs.MARK
    note = desk.notes(lambda one: _ordinary(one) and one.find(f"notations/{group}") is None)
    etree.SubElement(etree.SubElement(_notations(note), group), name)
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
    note = desk.notes(_ordinary)
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
        other = _next(note)
        if other is None or other in desk.touched or not (_ordinary(note) and _ordinary(other)):
            return False
        return all(one.find("notations/slur") is None for one in (note, other)) and note.findtext("voice") == other.findtext(
            "voice"
        )

    note = desk.notes(free)
    other = _next(note)
    assert other is not None
    desk.touched.add(other)
    etree.SubElement(_notations(note), "slur", {"type": "start", "number": "6"})
    etree.SubElement(_notations(other), "slur", {"type": "stop", "number": "6"})
    return costs.MARK


def _free_bars(desk: Desk, count: int) -> int:
    """The first of `count` bars that no edit has used and that hold music only: no change of key, no repeat, in any part."""
    last = desk.bars() - count - 1
    for first in desk.rng.sample(range(1, last), last - 1) if last > 1 else []:
        if all(_plain(desk, bar) for n in range(count) for bar in desk.column(first + n)):
            return first
    raise NoPlace


def _plain(desk: Desk, bar: Element) -> bool:
    if bar in desk.touched or any(note in desk.touched for note in bar.iter("note", "words", "dynamics")):
        return False
    return (
        not any(bar.find(f"attributes/{name}") is not None for name in FORCES) and bar.find("barline") is None and _tempo(bar)
    )


def _tempo(bar: Element) -> bool:
    """Whether a bar has nothing that is for all parts."""
    return not any(True for _ in bar.iter("sound", "metronome", "rehearsal", "segno", "coda", "print"))


def _heads(bars: Iterable[Element]) -> int:
    return sum(1 for bar in bars for note in bar.iterfind("note") if note.find("rest") is None)


def bars_inserted(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, 1)
    cost = 0.0
    for _ in range(count):
        column = [copy.deepcopy(bar) for bar in desk.column(first)]
        for bar, after in zip(column, desk.column(first), strict=True):
            _compose(bar, desk)
            after.addnext(bar)
            desk.touched.add(bar)
        cost += costs.BAR + costs.NOTE * _heads(column)
    desk.touched.update(desk.column(first))
    return cost


def _compose(bar: Element, desk: Desk) -> None:
    """Other music in the same rhythm."""
    bar.set("number", f"{bar.get('number')}X{desk.rng.randint(1, 999)}")
    for child in list(bar):
        if child.tag not in ("note", "backup", "forward"):
            bar.remove(child)
    for element in bar.iter():
        element.attrib.pop("id", None)
    for note in list(bar.iterfind("note")):
        _drop(note, "notations", "tie", "lyric", "accidental", "beam")
        if note.find("pitch") is not None:
            steps = desk.rng.randint(-4, 4)
            _move(note, steps, round(steps * 12 / 7))


def bars_deleted(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, count)
    column = [bar for n in range(count) for bar in desk.column(first + n)]
    cost = costs.BAR * count + costs.NOTE * _heads(column)
    desk.touched.update(desk.column(first - 1), desk.column(first + count))
    for bar in column:
        parent = bar.getparent()
        assert parent is not None
        parent.remove(bar)
    return cost


def bars_moved(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, count)
    goals = [
        goal
        for goal in range(1, desk.bars() - 1)
        if not first - 1 <= goal < first + count
        and all(_plain(desk, bar) for n in _span(first, goal, count) for bar in desk.column(n))
    ]
    moving = [desk.column(first + n) for n in range(count)]
    if not goals or not _heads([bar for column in moving for bar in column]):
        raise NoPlace
    goal = desk.column(desk.rng.choice(goals))
    for column in reversed(moving):
        for bar, after in zip(column, goal, strict=True):
            after.addnext(bar)
            desk.touched.add(bar)
    desk.touched.update(goal)
    return costs.PASSAGE


def _span(first: int, goal: int, count: int) -> range:
    """The bars from the passage to its goal, both included: within them nothing in force may change."""
    return range(min(first, goal), max(first + count, goal + 1))


def bars_repeated(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, count)
    columns = [desk.column(first + n) for n in range(count)]
    if not _heads([bar for column in columns for bar in column]):
        raise NoPlace
    places = columns[-1]
    for column in columns:
        copies = [copy.deepcopy(bar) for bar in column]
        for bar, after in zip(copies, places, strict=True):
            for element in bar.iter():
                element.attrib.pop("id", None)
            after.addnext(bar)
            desk.touched.add(bar)
        places = copies
        desk.touched.update(column)
    weight = costs.BAR * count + costs.NOTE * _heads([bar for column in columns for bar in column])
    return min(costs.PASSAGE, weight)


EDITS: dict[str, Callable[[Desk], float]] = {
    "note removed": note_removed, "note added": note_added, "pitch": pitch, "respelled": respelled, "rhythm": rhythm, "tied": tied,
    "transposed": transposed, "octave": octave, "sign": sign, "dynamic": dynamic, "slur": slur, "words": words,
    "bars inserted": bars_inserted, "bars deleted": bars_deleted, "bars moved": bars_moved, "bars repeated": bars_repeated,
}  # fmt: skip
