"""Seconds. "Tempo is expressed in quarter notes per minute" (MusicXML 4.0, element sound); a metronome has its own unit."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from xmlcheck.document import parse
from xmlcheck.facts.chair import ScoreFacts
from xmlcheck.facts.time import first_pass, tempo_map
from xmlcheck.model import Score
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing.mini import Part, score


def scored(notes: str | list[Part]) -> Score:
    return read(parse(from_bytes(score(notes), "test.musicxml")))


def metronome(unit: str, per_minute: str, dots: int = 0) -> str:
    inner = f"<beat-unit>{unit}</beat-unit>{'<beat-unit-dot/>' * dots}<per-minute>{per_minute}</per-minute>"
    return f"`<direction><direction-type><metronome>{inner}</metronome></direction-type></direction>`"


def length(notes: str) -> float:
    """Seconds of the first bar."""
    whole = scored(notes)
    bar = whole.parts[0].measures[0]
    return tempo_map(whole).between(bar.onset, bar.onset + bar.length)


# A bar of n units at m units a minute takes 60 n / m seconds.
@pytest.mark.parametrize(
    ("notes", "seconds"),
    [
        ("tempo=90 C4.w", 60 * 4 / 90),  # 2 2/3 s
        ("tempo=60 meter=3/4 C4.h.", 3.0),
        ("tempo=q.:60 meter=6/8 C4.h.", 2.0),
        (f"{metronome('quarter', '90')} C4.w", 60 * 4 / 90),
        (f"{metronome('quarter', '60', 1)} meter=6/8 C4.h.", 2.0),
        (f"{metronome('half', '60')} C4.w", 2.0),
        (f"{metronome('eighth', '60')} C4.w", 8.0),
        (f"{metronome('quarter', 'c. 80')} C4.w", 3.0),
        (f"{metronome('quarter', '50-70')} C4.w", 4.0),  # the middle of a range (ours)
        (f"{metronome('quarter', '')} C4.w", 2.0),  # a mark without a number says nothing: 120
        ('tempo=120 C4.h `<sound tempo="60"/>` D4.h', 1.0 + 2.0),
    ],
)
def test_seconds_of_a_bar(notes: str, seconds: float) -> None:
    assert length(notes) == pytest.approx(seconds)


def test_sound_wins_over_the_printed_mark() -> None:
    assert length(f'{metronome("quarter", "60")} `<sound tempo="120"/>` C4.w') == pytest.approx(2.0)
    assert length(f'`<sound tempo="120"/>` {metronome("quarter", "60")} C4.w') == pytest.approx(2.0)


def test_without_any_tempo_120_is_taken_and_said() -> None:
    tempo = tempo_map(scored("C4.w"))
    assert not tempo.given
    assert tempo.at(0) == 120
    assert tempo_map(scored("tempo=96 C4.w")).given


def test_a_first_tempo_that_comes_late_holds_from_the_start() -> None:
    tempo = tempo_map(scored("C4.w tempo=60 D4.w"))
    assert tempo.seconds(0) == 0.0
    assert tempo.at(0) == 60


def test_tempo_counts_from_its_own_tick_on() -> None:
    whole = scored("tempo=60 C4.w tempo=120 D4.w E4")
    tempo, (_, second, third) = tempo_map(whole), whole.parts[0].measures
    assert tempo.at(second.onset - 1) == 60
    assert tempo.at(second.onset) == 120
    assert [tempo.seconds(bar.onset) for bar in (second, third)] == pytest.approx([4.0, 6.0])


# "If the sound element is a child of a direction element, the sound offset element overrides the direction offset"; without
# one "any sound ... takes effect at the current location" (MusicXML 4.0, elements sound, offset).
def test_a_sound_takes_effect_at_its_own_offset() -> None:
    words = "<direction><direction-type><words>rit.</words></direction-type>{}<sound tempo='60'>{}</sound></direction>"
    late = words.format("", "<offset>2</offset>")  # two of the four beats go at 60
    printed = words.format("<offset>2</offset>", "")  # only the word stands later
    assert length(f"tempo=120 `{late}` C4.q D4 E4 F4") == pytest.approx(1.0 + 2.0)
    assert length(f"tempo=120 `{printed}` C4.q D4 E4 F4") == pytest.approx(4.0)


def test_the_later_of_two_tempi_at_a_barline_holds() -> None:
    whole = scored('tempo=60 C4.w `<sound tempo="30"/>` | tempo=120 D4.w')
    assert tempo_map(whole).at(whole.parts[0].measures[1].onset) == 120


def test_the_first_part_that_gives_a_tempo_decides() -> None:
    whole = scored([Part("C4.w"), Part("tempo=60 C4.w"), Part("tempo=90 C4.w")])
    assert tempo_map(whole).at(0) == 60


@pytest.mark.parametrize("value", ["0", "0.2", "99999", "fast", "-60"])
def test_a_tempo_that_cannot_be_is_passed_over(value: str) -> None:
    assert tempo_map(scored(f'`<sound tempo="{value}"/>` C4.w')).given is False


def test_fractions_of_a_beat_stay_exact() -> None:
    assert tempo_map(scored("tempo=92.5 C4.w")).at(0) == Fraction(185, 2)


def test_first_pass_through_repeats() -> None:
    whole = scored("tempo=60 |: C4.w D4.w :| E4.w")
    part = whole.parts[0]
    clock = first_pass(part, tempo_map(whole))
    # bars C D C D E of 4 s each: E comes first after 16 s
    assert clock.bar_seconds == pytest.approx((0.0, 4.0, 16.0))
    assert clock.seconds(2, part.measures[2].onset + whole.resolution) == pytest.approx(17.0)
    assert clock.seconds(3, 0) is None


def test_a_bar_never_reached_has_no_seconds() -> None:
    whole = scored("tempo=60 C4.w sound=tocoda:c | D4.w sound=dacapo:yes | E4.w | sound=coda:c F4.w")
    assert first_pass(whole.parts[0], tempo_map(whole)).bar_seconds == (0.0, 4.0, None, 12.0)


def test_a_short_part_follows_the_order_of_the_whole_score() -> None:
    full = scored([Part("tempo=60 |: C4.w D4 :| E4 F4"), Part("C4.w D4 E4 F4")])
    short = replace(full.parts[1], measures=full.parts[1].measures[:3])
    facts = ScoreFacts(replace(full, parts=(full.parts[0], short)))
    assert facts.clock(short).bar_seconds == pytest.approx((0.0, 4.0, 16.0))
