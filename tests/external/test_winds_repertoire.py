"""Published music for winds and voices that has been played and sung for a long time is not stopped.

The scores are those that music21 bundles (a test-only package). The horn parts of the chorales were written for natural horns and
are encoded at pitch; the voices are those of chorales, madrigals and older music, in clefs and ranges of their time.
"""

from __future__ import annotations

import pytest

from tests.corpus_files import music21_files
from tests.external.corpus_pass import Checked, checked, of_composers

WINDS = {
    *("flute", "clarinet-b-flat", "horn", "trumpet-b-flat", "trombone-tenor"),
    *("voice-soprano", "voice-alto", "voice-tenor", "voice-bass"),
}
OURS = ("breath", "size", "finger", "register", "tongue", "brass", "reeds", "voice", "ahenk", "drone")
PLAYING = {"compass.below", "compass.above", "compass.octave-off", "polyphony.too-many", "technique.foreign"}
"""Rules of other rooms that speak of playing; halts about a file's form are tested where they are made."""
MOST_A_THOUSAND = 1.0
"""Findings of grade query by the rules on winds and voices, for a thousand notes of theirs."""


def _speaks(rule: str) -> bool:
    return rule in PLAYING or (rule.split(".")[0] in OURS and rule != "voice.overlap")


def _parts(file: Checked) -> dict[str, int]:
    return {part.id: part.notes for part in file.parts if part.instrument in WINDS}


def _halts(files: list[Checked]) -> list[tuple[str, str, str]]:
    return [
        (file.name, told.part, told.message)
        for file in files
        for told in file.told
        if told.grade == "halt" and told.part in _parts(file) and _speaks(told.rule)
    ]


def test_no_halt_in_chorales_madrigals_and_a_concertino() -> None:
    """Some of each, for the quick lane."""
    paths = [*of_composers("bach")[::8], *of_composers("monteverdi")[::4], *of_composers("weber", "webern")]
    files = [checked(path) for path in paths]
    assert sum(sum(_parts(file).values()) for file in files) > 10_000, "not recognised, so nothing was tested"
    assert _halts(files) == []


@pytest.mark.long
def test_no_halt_on_any_wind_or_voice() -> None:
    files = [checked(path) for path in music21_files()]
    assert _halts(files) == []
    notes = sum(sum(_parts(file).values()) for file in files)
    assert notes > 150_000
    asked = [told for file in files for told in file.told if told.grade == "query" and told.part in _parts(file)]
    asked = [told for told in asked if told.rule.split(".")[0] in OURS and told.rule != "voice.overlap"]
    assert sum(told.count for told in asked) * 1000 < MOST_A_THOUSAND * notes
