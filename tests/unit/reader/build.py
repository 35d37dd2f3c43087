"""Small scores as text, and how our reader reads them. Middle C is C4; lengths are quarter notes unless divisions say otherwise."""

from __future__ import annotations

import re

from xmlcheck.document import parse
from xmlcheck.model import Direction, Note, Part, Score
from xmlcheck.reader import read
from xmlcheck.source import from_bytes

START = "<attributes><divisions>1</divisions></attributes>"
"""One tick of duration is a quarter note."""


def read_text(text: str | bytes) -> Score:
    """The score of a whole file."""
    data = text if isinstance(text, bytes) else text.encode()
    return read(parse(from_bytes(data, "test.musicxml")))


def file(*parts: str, head: str = "", listed: str | None = None, version: str = "4.0") -> str:
    """A partwise file. parts: the bars of each part, with ids P1, P2 ..."""
    if listed is None:
        listed = "".join(
            f'<score-part id="P{n}"><part-name>Part {n}</part-name></score-part>' for n in range(1, len(parts) + 1)
        )
    body = "".join(f'<part id="P{number}">{bars}</part>' for number, bars in enumerate(parts, 1))
    return f'<score-partwise version="{version}">{head}<part-list>{listed}</part-list>{body}</score-partwise>'


def bar(*content: str, attributes: str = "") -> str:
    """One measure."""
    if "number=" not in attributes:
        attributes += ' number="1"'
    return f"<measure {attributes}>{''.join(content)}</measure>"


def score(*bars: str, head: str = "") -> Score:
    """The score of one part. Content that is no measure makes one, with one tick a quarter note."""
    text = "".join(bars)
    return read_text(file(text if re.search(r"<measure[ >]", text) else bar(START, text), head=head))


def part(*bars: str, head: str = "") -> Part:
    """The only part of a score."""
    return score(*bars, head=head).parts[0]


def pitch(name: str) -> str:
    """A <pitch>: `C4`, `Bb3`, `F#5`, or with a number of semitones, `B-0.5/4`."""
    match = re.fullmatch(r"([A-G])(#|b)?(?:([+-][\d.]+)/)?(-?\d)", name)
    assert match is not None, name
    step, sign, alter, octave = match.groups()
    alter = alter or {"#": "1", "b": "-1", None: ""}[sign]
    return f"<pitch><step>{step}</step>{f'<alter>{alter}</alter>' if alter else ''}<octave>{octave}</octave></pitch>"


def note(name: str = "C4", duration: int | str = 1, after: str = "", before: str = "", attributes: str = "") -> str:
    """A <note>. before, after: elements before the pitch and after the duration. duration "" leaves it out, as for grace notes."""
    length = "" if duration == "" else f"<duration>{duration}</duration>"
    return f"<note {attributes}>{before}{pitch(name)}{length}{after}</note>"


def rest(duration: int | str = 1, after: str = "", attributes: str = "") -> str:
    """A <note> with a <rest>."""
    return f"<note><rest {attributes}/><duration>{duration}</duration>{after}</note>"


def backup(duration: int | str) -> str:
    return f"<backup><duration>{duration}</duration></backup>"


def forward(duration: int | str) -> str:
    return f"<forward><duration>{duration}</duration></forward>"


def transpose(chromatic: str, diatonic: str = "", octave: str = "", more: str = "", attributes: str = "") -> str:
    """A <transpose>; empty texts leave their elements out."""
    steps = f"<diatonic>{diatonic}</diatonic>" if diatonic else ""
    octaves = f"<octave-change>{octave}</octave-change>" if octave else ""
    return f"<transpose {attributes}>{steps}<chromatic>{chromatic}</chromatic>{octaves}{more}</transpose>"


def attributes(content: str) -> str:
    return f"<attributes>{content}</attributes>"


def sounding(notes: tuple[Note, ...]) -> list[str]:
    """Names of the sounding pitches in order."""
    return [str(one.sounding) for one in notes]


def places(notes: tuple[Note, ...]) -> list[tuple[str, int, int]]:
    """Written pitch, onset and duration of each note in order."""
    return [(str(one.written), one.onset, one.duration) for one in notes]


def kinds(found: Score) -> list[str]:
    """The kinds of a score's notices about what was read; those about the file's form have tests of their own."""
    return [one.kind for one in found.notices if not one.kind.startswith("schema-")]


def direction(inside: str = "", after: str = "", attributes: str = "") -> str:
    """A <direction> with one <direction-type> and what follows it."""
    kinds = f"<direction-type>{inside}</direction-type>" if inside else ""
    return f"<direction {attributes}>{kinds}{after}</direction>"


def only_direction(text: str) -> Direction:
    """The only direction of a bar that holds the text and a note."""
    (found,) = part(text, note("C4", 4)).directions
    return found
