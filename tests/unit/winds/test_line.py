"""Steps of a line, slurs, slides, sustained patches, dynamics in force."""

from __future__ import annotations

import pytest

from tests.unit.winds.build import chair
from xmlcheck.facts.tones import Tone
from xmlcheck_winds.line import Line, legato_patch, lines, slides, slurs
from xmlcheck_winds.loudness import LEVELS, level, loudness_of
from xmlcheck_winds.trills import above, shakes


def line(notes: str) -> Line:
    return lines(chair(notes), cents)[0]


def cents(tone: Tone) -> int:
    return tone.sounding.cents


def test_gaps_and_rests() -> None:
    steps = line("tempo=60 C5.q D5.e r E5.h")
    assert [step.gap for step in steps] == pytest.approx([1.0, 0.5, 2.0])
    assert [step.meets for step in steps] == [True, False, False]
    assert steps[0].rate == pytest.approx(1.0)


def test_of_a_chord_the_highest_tone_is_the_line() -> None:
    assert [step.tone.sounding.name for step in line("[C5 E5].h G5")] == ["E5", "G5"]


def test_slurs_join_until_their_end() -> None:
    tones = chair("C5.q!slur=start D5 E5!slur=stop F5 | G5.q!slur=start A5 B5 C6").tones
    assert slurs(tones) == {0, 1}, "the second slur never ends and joins nothing"


def test_a_slide_joins_two_steps() -> None:
    found = slides(line("C5.q!slide=start E5!slide=stop F5!glissando=start G5!glissando=stop"))
    assert [(one.tone.sounding.name, other.tone.sounding.name) for one, other in found] == [("C5", "E5"), ("F5", "G5")]


def test_slurs_of_a_sustained_patch() -> None:
    assert legato_patch(line("C5.e!slur=start {x15 D5 E5} D5!slur=stop"))
    assert not legato_patch(line("C5.e!slur=start {x15 D5 E5!staccato} D5!slur=stop"))
    assert not legato_patch(line("C5.q!slur=start D5 E5 D5!slur=stop"))


@pytest.mark.parametrize(("mark", "expected"), [("ppp", 0), ("mf", 4), ("ffff", 7), ("fp", 2), ("sfz", None), ("rf", None)])
def test_dynamic_marks(mark: str, expected: int | None) -> None:
    assert level(mark) == expected


def test_dynamics_in_force() -> None:
    one = chair("<p> C5.w | <cresc> C5.w | <end> <ff> C5.w | C5.w")
    found = loudness_of(one)
    ticks = [tone.onset for tone in one.tones]
    named = [None if (n := found.at(tick)) is None else LEVELS[n] for tick in ticks]
    assert named == ["p", None, "ff", "ff"]
    assert [LEVELS[found.last(tick) or 0] for tick in ticks] == ["p", "p", "ff", "ff"]


@pytest.mark.parametrize(
    ("notes", "expected"),
    [
        ("E4.w!trill-mark", 100),
        ("key=2 E4.w!trill-mark", 200),
        ("key=-3 D4.w!trill-mark", 100),
        ("C4.w!trill-mark!accidental-mark=flat", 100),
        ("key=2 C#4.w!trill-mark", 100),
        ("B4.w!trill-mark", 100),
    ],
)
def test_a_trill_goes_to_the_step_above_in_the_key(notes: str, expected: int) -> None:
    """J. Cate, Everything about trills, drcatesflutetips.wordpress.com, 2016: the next note in the key, unless an accidental says
    otherwise."""
    one = chair(notes)
    assert above(one, one.tones[0]) == expected


def test_a_tremolo_is_wider_than_a_trill() -> None:
    """The same: anything wider than a whole step is a tremolo."""
    one = chair("C5.h!tremolo=3/start E5!tremolo=3/stop | C5.h!tremolo=3/start D5!tremolo=3/stop")
    found = list(shakes(one, lines(one, cents)[0]))
    assert [(shake.upper - shake.lower, shake.trill) for shake in found] == [(400, False), (200, True)]
