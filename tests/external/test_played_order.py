"""The played order against music21's own expansion of repeats, an independent reading of the same files.

Where the two differ by design, no shape stands here: music21 goes back to the very beginning at a second backward sign
without a forward one, does not expand a first ending that stands alone, and reads jumps from words and signs only.
"""

from __future__ import annotations

import music21
import pytest

from xmlcheck.document import parse
from xmlcheck.facts.order import played_order
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing.mini import score

SHAPES = {
    "no repeat": "C4.w D4 E4",
    "repeat": "C4.w |: D4 E4 :| F4",
    "repeat from the beginning": "C4.w D4 :| E4",
    "two repeats": "|: C4.w :| |: D4 E4 :| F4",
    "first and second ending": "|: C4.w ending=1 D4 ending=stop :| ending=2 E4 ending=stop | F4",
    "endings of several bars": "C4.w |: D4 ending=1 E4 F4 ending=stop :| ending=2 G4 A4 ending=stop | B4",
    "endings from the beginning": "C4.w ending=1 D4 ending=stop :| ending=2 E4 ending=stop | F4",
    "one ending for two times": "|: C4.w ending=1,2 D4 ending=stop :| ending=3 E4 ending=stop | F4",
    "three endings": "|: C4.w ending=1 D4 ending=stop :| ending=2 E4 ending=stop :| ending=3 F4 ending=stop | G4",
    "two groups of endings": (
        "|: C4.w ending=1 D4 ending=stop :| ending=2 E4 ending=stop | F4"
        " |: G4 ending=1 A4 ending=stop :| ending=2 B4 ending=stop | C5"
    ),
    "nested repeats": "|: C4.w |: D4 :| E4 :| F4",
    "da capo": 'C4.w D4 E4 "D.C."',
    "da capo al fine": 'C4.w | D4 "Fine" | E4 | F4 "D.C. al Fine"',
    "dal segno": 'C4.w | <segno> D4 | E4 "D.S."',
    "dal segno al fine": 'C4.w | <segno> D4 | E4 "Fine" | F4 "D.S. al Fine"',
    "dal segno al coda": 'C4.w | <segno> D4 | E4 "to Coda" | F4 "D.S. al Coda" | "Coda" G4 | A4',
    "da capo al coda": 'C4.w | D4 "to Coda" | E4 "D.C. al Coda" | "Coda" F4',
    "two coda signs": 'C4.w | D4 <coda> | E4 "D.C. al Coda" | <coda> F4',
    "repeat, not again after the jump": '|: C4.w D4 :| E4 "Fine" | F4 "D.C. al Fine"',
    "repeat in the last part": 'C4.w "Fine" | |: D4 E4 :| F4 "D.C. al Fine"',
    "pickup": "G3.q |! |: C4.w D4 :| E4",
}


def ours(text: bytes) -> list[str]:
    part = read(parse(from_bytes(text, "shape.musicxml"))).parts[0]
    sounds: dict[int, str] = {note.measure: note.written.name for note in part.notes if note.written is not None}
    return [sounds[index] for index in played_order(part)]


def theirs(text: bytes) -> list[str]:
    whole = music21.converter.parseData(text.decode(), format="musicxml")
    assert isinstance(whole, music21.stream.Score)
    return [note.nameWithOctave for note in whole.parts[0].expandRepeats().recurse().notes]


@pytest.mark.parametrize("shape", SHAPES)
def test_bars_are_played_in_the_same_order(shape: str) -> None:
    text = score(SHAPES[shape])
    assert ours(text) == theirs(text)


@pytest.mark.parametrize("times", [2, 3, 5])
def test_times(times: int) -> None:
    text = score("C4.w |: D4 :| E4").replace(b'direction="backward"', f'direction="backward" times="{times}"'.encode())
    assert ours(text) == theirs(text)
