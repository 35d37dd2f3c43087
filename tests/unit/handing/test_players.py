"""What is declared of players has the same effect in xmlcheck.toml, for one file, and in handoff.toml, for a folder.

The pairs of files say the same; what each declaration must do to the findings follows from its meaning, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from xmlcheck.brought import brought
from xmlcheck.checking import check_source
from xmlcheck.config import parse
from xmlcheck.errors import BadConfig
from xmlcheck.finding import Report
from xmlcheck.handing.answer import look
from xmlcheck.handing.reading import Music
from xmlcheck.paths import Choices, registry_for, settled
from xmlcheck.source import from_bytes

from .conftest import alone

Both = Callable[[str, str, str], tuple[Report, Report]]
BASS = "tempo=90 clef=bass C3.w | C3.w"


@pytest.fixture
def both(tmp_path: Path) -> Both:
    """The reports of one part (notes, name) under the same TOML text, as one file and as a folder."""

    def run(notes: str, name: str, text: str) -> tuple[Report, Report]:
        data = alone(notes, name)
        config = parse(text, Path("xmlcheck.toml"))
        registry = registry_for(Choices(), config)
        config, _ = brought(settled(config, registry)[0], registry)
        single = check_source(from_bytes(data, "a.musicxml"), registry, config)
        folder = tmp_path / "folder"
        folder.mkdir(exist_ok=True)
        (folder / "a.musicxml").write_bytes(data)
        (folder / "handoff.toml").write_text(text, encoding="utf-8")
        music = next(file for file in look(folder).files if isinstance(file, Music))
        return single, music.report

    return run


def rules(report: Report) -> set[str]:
    return {item.rule for item in report.findings}


def same(reports: tuple[Report, Report]) -> set[str]:
    """The rules that spoke, the same in both."""
    one, other = reports
    assert [(item.rule, item.grade, item.message) for item in one.findings] == [
        (item.rule, item.grade, item.message) for item in other.findings
    ]
    assert [[line.text for line in plan.lines] for plan in one.plans] == [
        [line.text for line in plan.lines] for plan in other.plans
    ]
    return rules(one)


def lines(report: Report) -> str:
    return " ".join(line.text for plan in report.plans for line in plan.lines)


LONG = "tempo=60 D5.w~ | D5.w~ | D5.w | r.w"


def test_breath_in_plain_numbers(both: Both) -> None:
    plain = '[players.a]\npart = "Oboe"\n'
    assert "breath.too-long" not in same(both(LONG, "Oboe", plain))
    assert "breath.too-long" in same(both(LONG, "Oboe", plain + "breath = { soft = 3, middle = 3, loud = 3 }"))


def test_a_tuning_that_is_brought(both: Both) -> None:
    notes = "tempo=90 G3.q A3 C4 E4 | G4.q A4 C5 E5"
    plain = '[players.a]\npart = "Koto"\ninstrument = "koto"\n'
    before, after = both(notes, "Koto", plain), both(notes, "Koto", plain + 'brings = { tunings = ["kumoijoshi"] }')
    same(before)
    same(after)
    assert "gakujōshi" in lines(before[0])
    assert "gakujōshi" not in lines(after[0])
    assert "kumoijōshi" in lines(after[0])


def test_a_key_that_is_brought(both: Both) -> None:
    """What is not in the room is not planned with."""
    notes = "tempo=90 D5.q E5 F#5 G5 | A5.q B5 C#6 D6"
    plain = '[players.a]\npart = "Tin Whistle"\ninstrument = "tin-whistle"\n'
    before, after = both(notes, "Tin Whistle", plain), both(notes, "Tin Whistle", plain + 'brings = { keys = ["C"] }')
    same(before)
    same(after)
    assert "whistle in D" in lines(before[0])
    assert "whistle in D" not in lines(after[0])


def test_a_hand_that_reaches_less(both: Both) -> None:
    """A3 and F#4 on the strings tuned to G3 and D4: two semitones from the nut and four (common practice, no source)."""
    plain = '[players.a]\npart = "Viola"\n'
    chord = "tempo=60 clef=alto [A3 F#4].h [A3 F#4]"
    before = same(both(chord, "Viola", plain))
    after = same(both(chord, "Viola", plain + "hand = { reach_semitones = 1, stretch_semitones = 1 }"))
    assert "strings.too-wide" not in before
    assert "strings.too-wide" in after


CHANGE = 'tempo=120 A4.q A4 A4 A4 | "to Piccolo" A5.q A5 A5 A5'


TWO = '[players.a]\npart = "Flute 2"\ninstrument = "flute"\n{}\n[players.b]\npart = "Flute 2"\ninstrument = "piccolo"\n{}'


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[players.a]\npart = "Flute 2"\n', True),
        ('recording = "together"\n[players.a]\npart = "Flute 2"\n', True),
        ('[players.a]\npart = "Flute 2"\npass = 2\n', True),  # both instruments in that pass
        ('recording = "overdubs"\n[players.a]\npart = "Flute 2"\n', False),
        (TWO.format("", "pass = 2"), False),
        (TWO.format("pass = 1", "pass = 1"), True),
    ],
)  # fmt: skip
def test_passes_lift_the_time_to_change_instruments(text: str, told: bool, both: Both) -> None:
    assert ("ensemble.change-time" in same(both(CHANGE, "Flute 2", text))) is told


def test_the_pitch_standard_reaches_the_rules(both: Both) -> None:
    """A bar instrument keeps the pitch it was made with (common practice, no source)."""
    notes = "tempo=90 C5.q D5 E5 F5"
    assert "ensemble.pitch-standard" in same(both(notes, "Xylophone", "pitch_standard = 415"))
    assert "ensemble.pitch-standard" not in same(both(notes, "Xylophone", "pitch_standard = 442"))


def test_a_line_that_is_not_played(both: Both) -> None:
    notes = "tempo=90 C1.q C1 C1 C1"
    assert "compass.below" in same(both(notes, "Oboe", ""))
    assert "compass.below" not in same(both(notes, "Oboe", '[roles]\nOboe = "not-played"'))


WRONG = {
    'reeds = "staff"': 'unknown key "reeds"; the nearest is "reads"',
    "brings = { tuning = [] }": 'unknown key "tuning"; the nearest is "tunings"',
    'reads = "numberd"': 'which is none of staff, numbered, tablature, graphic, by ear; the nearest is "numbered"',
    'clef = "trebel"': 'the nearest is "treble"',
    "pass = 0": "pass: expected the number of a pass",
    'pass = "two"': "pass: expected the number of a pass",
    "doublings = 3": "doublings: expected a list",
    "breth = { middle = 3 }": 'no table of a profile is called "breth"; the nearest is "breath"',
    "breath = { midle = 3 }": 'unknown key "midle"; the nearest is "middle"',
}


@pytest.mark.parametrize("text", WRONG)
def test_what_is_misspelt_is_told_alike(text: str, both: Both, tmp_path: Path) -> None:
    whole = f'[players.a]\npart = "Oboe"\n{text}\n'
    with pytest.raises(BadConfig) as caught:
        both(BASS, "Oboe", whole)
    (tmp_path / "f").mkdir()
    (tmp_path / "f" / "a.musicxml").write_bytes(alone(BASS, "Oboe"))
    (tmp_path / "f" / "handoff.toml").write_text(whole, encoding="utf-8")
    with pytest.raises(BadConfig) as again:
        look(tmp_path / "f")
    for error in (caught, again):
        assert WRONG[text] in str(error.value)
        assert str(error.value).endswith(".")


def test_what_no_profile_has_is_passed_over_and_told_without_the_players_name(tmp_path: Path) -> None:
    (tmp_path / "a.musicxml").write_bytes(alone("tempo=90 D5.w", "Shakuhachi"))
    text = '[players.ishida]\npart = "Shakuhachi"\ninstrument = "shakuhachi"\nbrings = { sizes = ["1.8", "3.9"] }'
    (tmp_path / "handoff.toml").write_text(text, encoding="utf-8")
    told = [item for item in look(tmp_path).inferred if 'has no key or size called "3.9"' in item]
    assert len(told) == 1
    assert "ishida" not in told[0]
