"""How notes are played. MusicXML 4.0, elements tremolo, harmonic, instrument, play, notations,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from xmlcheck.model import Harmonic, Note

from .build import note, part, places, score


def only(text: str) -> Note:
    return part(text).notes[0]


def notations(text: str) -> str:
    return f"<notations>{text}</notations>"


def test_two_note_tremolo() -> None:
    # Element tremolo: each note lasts half of its written type, with a ratio of 2 to 1.
    text = (
        "<type>half</type><time-modification><actual-notes>2</actual-notes><normal-notes>1</normal-notes></time-modification>"
    )
    found = part(
        *[
            note(name, 1, text + notations(f'<ornaments><tremolo type="{kind}">3</tremolo></ornaments>'))
            for name, kind in (("C4", "start"), ("E4", "stop"))
        ]
    )
    assert places(found.notes) == [("C4", 0, 1), ("E4", 1, 1)]
    assert [one.ratio for one in found.notes] == [(2, 1), (2, 1)]
    assert [(one.named("tremolo")[0].type, one.named("tremolo")[0].value) for one in found.notes] == [
        ("start", "3"),
        ("stop", "3"),
    ]


@pytest.mark.parametrize(("kind", "marks"), [("single", "3"), ("unmeasured", "0")])
def test_other_tremolos(kind: str, marks: str) -> None:
    mark = only(note("C4", 1, notations(f'<ornaments><tremolo type="{kind}">{marks}</tremolo></ornaments>'))).named("tremolo")[
        0
    ]
    assert (mark.group, mark.type, mark.value) == ("ornaments", kind, marks)


@pytest.mark.parametrize(
    # Element harmonic: natural or artificial, and which of the three pitches the notehead shows.
    ("inside", "expected"),
    [
        ("", Harmonic("", "")),
        ("<natural/>", Harmonic("natural", "")),
        ("<natural/><sounding-pitch/>", Harmonic("natural", "sounding")),
        ("<artificial/><base-pitch/>", Harmonic("artificial", "base")),
        ("<artificial/><touching-pitch/>", Harmonic("artificial", "touching")),
    ],
)
def test_harmonics(inside: str, expected: Harmonic) -> None:
    found = only(note("A3", 1, notations(f"<technical><harmonic>{inside}</harmonic></technical>")))
    assert found.harmonic == expected
    assert found.has("harmonic")


def test_several_notations_add_up() -> None:
    found = only(
        note(
            "C4",
            1,
            notations("<articulations><accent/></articulations>") + notations("<articulations><staccato/></articulations>"),
        )
    )
    assert [mark.name for mark in found.marks] == ["accent", "staccato"]


def test_instruments_of_a_note() -> None:
    # Element instrument: which score-instrument plays; several for a unison.
    assert only(note("C4", 1, '<instrument id="I1"/><instrument id="I2"/>')).instruments == ("I1", "I2")
    assert only(note("C4")).instruments == ()


def test_playback_of_a_note() -> None:
    # Elements play and mute; attributes pizzicato, time-only and dynamics (percent of a velocity of 90).
    found = only(
        note(
            "C4",
            1,
            "<play><mute>straight</mute><ipa>a</ipa></play>",
            attributes='pizzicato="yes" time-only="1,2" dynamics="88.89"',
        )
    )
    assert {(mark.group, mark.name, mark.type, mark.value) for mark in found.marks} == {
        ("play", "mute", "", "straight"), ("play", "ipa", "", "a"), ("play", "pizzicato", "yes", ""), ("note", "time-only", "", "1,2"),
    }  # fmt: skip
    assert found.velocity == Decimal("88.89")
    assert score(note("C4", attributes='dynamics="-3"')).parts[0].notes[0].velocity is None


def test_lyrics_are_counted() -> None:
    assert only(note("C4", 1, "<lyric><text>la</text></lyric><lyric number='2'><text>lo</text></lyric>")).lyrics == 2
