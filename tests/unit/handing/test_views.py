"""What may differ between a part and its line without a disagreement, and what may not.

Concert and transposed views, octave views, ties, multi-rests, cue notes, divided staves, two players on one copy: common
practice of scores and parts, no source. Elements: MusicXML 4.0.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from xmlcheck.handing.values import Handoff
from xmlcheck.testing.mini import Part, score

from .conftest import LOWER, TIMED, UPPER, alone, kinds, two

Answered = Callable[..., Handoff]
HORN = "transpose=-7/-4 key=1 tempo=90 <p> G4.h D5 | G4.w | D5.h G4 | G4.w"
HORN_CONCERT = "tempo=90 <p> C4.h G4 | C4.w | G4.h C4 | C4.w"


def test_a_folder_that_agrees(answered: Answered) -> None:
    answer = answered(
        {"score.musicxml": two(), "oboe.musicxml": alone(UPPER, "Oboe"), "bassoon.musicxml": alone(TIMED + LOWER, "Bassoon")}
    )
    assert kinds(answer) == []
    assert {one.name: (one.role, one.line) for one in answer.files} == {
        "score.musicxml": ("score", ()),
        "oboe.musicxml": ("part", ("Oboe",)),
        "bassoon.musicxml": ("part", ("Bassoon",)),
    }
    assert any("No handoff.toml" in text for text in answer.inferred)


@pytest.mark.parametrize(("line", "part"), [(HORN_CONCERT, HORN), (HORN, HORN_CONCERT), (HORN, HORN)])
def test_concert_and_transposed_views_are_the_same(line: str, part: str, answered: Answered) -> None:
    whole = score([Part(line, name="Horn in F"), Part(LOWER, name="Bassoon")], title="Even Keel")
    files = {"score.musicxml": whole, "a.musicxml": alone(part, "Horn in F"), "b.musicxml": alone(TIMED + LOWER, "Bassoon")}
    assert kinds(answered(files)) == []


def test_a_lost_transposition_is_one_disagreement(answered: Answered) -> None:
    lost = HORN.replace("transpose=-7/-4", "")
    whole = score([Part(HORN_CONCERT, name="Horn in F"), Part(LOWER, name="Bassoon")], title="Even Keel")
    files = {"score.musicxml": whole, "a.musicxml": alone(lost, "Horn in F"), "b.musicxml": alone(TIMED + LOWER, "Bassoon")}
    answer = answered(files)
    assert "music.transposition" in kinds(answer)
    assert "music.notes" not in kinds(answer)
    assert "7 semitones higher" in next(item.text for item in answer.disagreements if item.kind == "music.transposition")


def test_an_octave_view_is_taken_and_told(answered: Answered) -> None:
    high = TIMED + LOWER.replace("3", "4").replace("G2", "G3").replace("clef=bass", "")
    answer = answered({"score.musicxml": two(), "o.musicxml": alone(UPPER, "Oboe"), "b.musicxml": alone(high, "Bassoon")})
    assert kinds(answer) == []
    assert next(one.view for one in answer.files if one.part == "Bassoon") == "octave"
    assert any("octaves from the score" in text for text in answer.inferred)


@pytest.mark.parametrize(
    "part",
    [
        UPPER.replace("G5.h E5", "G5.q~ G5.q E5.h"),  # ties
        UPPER.replace("| C5.w", "| V1: C5.w"),
    ],
)
def test_ways_of_writing_are_the_same(part: str, answered: Answered) -> None:
    files = {"score.musicxml": two(), "o.musicxml": alone(part, "Oboe"), "b.musicxml": alone(TIMED + LOWER, "Bassoon")}
    assert kinds(answered(files)) == []


def test_cue_notes_are_no_music_of_the_part(answered: Answered) -> None:
    upper = "tempo=90 R | R | D5.q E5 F5 D5 | C5.w"
    cued = 'tempo=90 R | "Bassoon" {cue E3.h C3} | D5.q E5 F5 D5 | C5.w'
    small = "tempo=90 R | E3.h!size=cue C3!size=cue | D5.q E5 F5 D5 | C5.w"
    for part in (cued, small):
        files = {"score.musicxml": two(upper), "o.musicxml": alone(part, "Oboe"), "b.musicxml": alone(TIMED + LOWER, "Bassoon")}
        assert kinds(answered(files)) == []


def test_a_divided_line_and_its_two_parts(answered: Answered) -> None:
    line = "tempo=90 [C5 E5].h [D5 F5] | C5.w | [E5 G5].w | C5.w"
    whole = score([Part(line, name="Violin"), Part(LOWER, name="Bassoon")], title="Even Keel")
    first, second = "tempo=90 E5.h F5 | C5.w | G5.w | C5.w", "tempo=90 C5.h D5 | C5.w | E5.w | C5.w"
    files = {
        "score.musicxml": whole,
        "v1.musicxml": alone(first, "Violin 1"),
        "v2.musicxml": alone(second, "Violin 2"),
        "b.musicxml": alone(TIMED + LOWER, "Bassoon"),
    }
    assert kinds(answered(files)) == []
    files["v2.musicxml"] = alone(second.replace("E5.w", "F5.w"), "Violin 2")
    assert kinds(answered(files)) == ["music.notes"]


def test_two_players_on_one_copy(answered: Answered) -> None:
    one, two_ = "tempo=90 E5.h F5 | E5.w | G5.w | E5.w", "C5.h D5 | C5.w | E5.w | C5.w"
    whole = score([Part(one, name="Flute 1"), Part(two_, name="Flute 2"), Part(LOWER, name="Bassoon")], title="Even Keel")
    both = "tempo=90 [C5 E5].h [D5 F5] | [C5 E5].w | [E5 G5].w | [C5 E5].w"
    files = {"score.musicxml": whole, "f.musicxml": alone(both, "Flutes 1 & 2"), "b.musicxml": alone(TIMED + LOWER, "Bassoon")}
    answer = answered(files)
    assert [kind for kind in kinds(answer) if not kind.startswith("names.")] == []
    assert next(one.line for one in answer.files if one.name == "f.musicxml") == ("Flute 1", "Flute 2")
