"""Playback data and tempo. MusicXML 4.0, elements sound, instrument-change, play, swing, metronome, beat-unit, per-minute,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from xmlcheck.model import InstrumentChange, Sound
from xmlcheck.reader.tempo import per_minute

from .build import direction, kinds, note, only_direction, part, score


def sound(text: str) -> Sound:
    found = only_direction(direction("<words/>", text)).sound
    assert found is not None
    return found


class TestSound:
    def test_tempo_is_quarter_notes_a_minute(self) -> None:
        assert sound('<sound tempo="72.5"/>').tempo == Decimal("72.5")

    @pytest.mark.parametrize(("tempo", "told"), [("0", []), ("fast", ["tempo"]), ("-4", ["tempo"]), ("1e400", ["tempo"])])
    def test_no_tempo(self, tempo: str, told: list[str]) -> None:
        # Element sound: a tempo of 0 asks the user for one, so it is none.
        found = score(direction("<words>x</words>", f'<sound tempo="{tempo}"/>'), note("C4"))
        data = found.parts[0].directions[0].sound
        assert data is not None
        assert data.tempo is None
        assert kinds(found) == told

    def test_a_bare_sound_is_a_direction_without_marks(self) -> None:
        found = part(note("C4", 2), '<sound tempo="60"><offset>1</offset></sound>', note("D4", 2)).directions[0]
        assert (found.onset, found.sound_at, found.marks, found.anchor) == (3, 3, (), -1)
        assert found.sound is not None
        assert found.sound.tempo == 60

    def test_jumps(self) -> None:
        # Element sound: dacapo, dalsegno, tocoda, segno, coda, fine and forward-repeat carry the playback; the signs do not.
        found = sound('<sound dacapo="yes" tocoda="1" segno="A" fine="yes" forward-repeat="yes" time-only="2" id="x"/>')
        assert [found.get(name) for name in ("dacapo", "tocoda", "segno", "fine", "forward-repeat", "time-only")] == [
            "yes",
            "1",
            "A",
            "yes",
            "yes",
            "2",
        ]
        assert found.get("id") == ""

    def test_instrument_changes(self) -> None:
        # Element instrument-change: what is not given stays as it was.
        found = sound(
            '<sound><instrument-change id="I2"><instrument-sound>wind.reed.saxophone.alto</instrument-sound><solo/>'
            "</instrument-change></sound>"
        )
        assert found.changes == (InstrumentChange("I2", "wind.reed.saxophone.alto", "solo"),)

    def test_play_program_and_swing(self) -> None:
        # Elements play, midi-instrument and swing.
        found = sound(
            '<sound pizzicato="yes"><midi-instrument id="I1"><midi-program>46</midi-program></midi-instrument>'
            '<play id="I1"><mute>practice</mute>'
            '<other-play type="technique">bisbigliando</other-play></play><swing><first>2</first><second>1</second></swing></sound>'
        )
        assert found.get("pizzicato") == "yes"
        assert found.plays == (
            ("midi-program", "46"), ("id", "I1"), ("mute", "practice"), ("other-play", "technique: bisbigliando"), ("swing", "2:1"),
        )  # fmt: skip


class TestMetronome:
    @pytest.mark.parametrize(
        ("unit", "dots", "text", "low", "high"),
        [
            ("quarter", 0, "60", "60", ""),
            ("quarter", 1, "40", "60", ""),  # a dotted quarter is one and a half quarters
            ("half", 0, "60", "120", ""),
            ("eighth", 0, "132", "66", ""),
            ("quarter", 0, "c. 60", "60", ""),
            ("quarter", 0, "60-66", "60", "66"),
            ("half", 0, "ca. 54 \u2013 58", "108", "116"),
            ("quarter", 0, "66,5", "66.5", ""),
            ("quarter", 0, "", "", ""),
            ("quarter", 0, "fast", "", ""),
            ("quarter", 0, "0", "", ""),
            ("unit of no kind", 0, "60", "", ""),
        ],
    )
    def test_quarters_a_minute(self, unit: str, dots: int, text: str, low: str, high: str) -> None:
        # Elements metronome, beat-unit and per-minute, which is text.
        inside = f"<beat-unit>{unit}</beat-unit>{'<beat-unit-dot/>' * dots}<per-minute>{text}</per-minute>"
        found = only_direction(direction(f'<metronome parentheses="yes">{inside}</metronome>')).marks[0]
        assert (found.value, found.get("quarters-per-minute"), found.get("quarters-per-minute-high")) == (text, low, high)
        assert found.get("parentheses") == "yes"

    def test_tied_units(self) -> None:
        # Element beat-unit-tied: a half tied to an eighth is two and a half quarters.
        inside = "<beat-unit>half</beat-unit><beat-unit-tied><beat-unit>eighth</beat-unit></beat-unit-tied><per-minute>24</per-minute>"
        assert only_direction(direction(f"<metronome>{inside}</metronome>")).marks[0].get("quarters-per-minute") == "60"

    def test_a_metric_modulation_has_no_number(self) -> None:
        inside = "<beat-unit>quarter</beat-unit><beat-unit>eighth</beat-unit><beat-unit-dot/>"
        found = only_direction(direction(f"<metronome>{inside}</metronome>")).marks[0]
        assert found.get("quarters-per-minute") == ""
        assert [value for name, value in found.extra if name == "beat-unit"] == ["quarter", "eighth"]

    def test_numbers_of_a_text(self) -> None:
        assert list(per_minute("112 bis 120")) == [112, 120]
        assert list(per_minute("120-112")) == [112, 120]
        assert per_minute("presto") == ()
