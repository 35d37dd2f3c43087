"""handoff.toml: strict keys, times, players, and its schema."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from xmlcheck import schemas
from xmlcheck.config import Config
from xmlcheck.errors import BadConfig
from xmlcheck.handing.declared import clock, parse

DEMO = Path(__file__).parents[3] / "corpus" / "demo" / "handoff" / "handoff.toml"


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("frame_rat = 25", "frame_rate"),
        ('[[cue]]\nnumber = "1m1"\nlenght = 3', "length"),
        ('[players.a]\npart = "Oboe"\ninstrment = "oboe"', "instrument"),
        ('[players.a]\npart = "Oboe"\nbrings = { tuning = ["A"] }', "tunings"),
        ('[[cue]]\nnumber = "1m1"\nhits = [{ at = 1, baar = "2" }]', "bar"),
        ('[roles]\nClick = "not-plaid"', "not-played"),
    ],
)
def test_an_unknown_word_names_the_nearest_known(text: str, near: str) -> None:
    with pytest.raises(BadConfig, match=f'nearest is "{near}"'):
        parse(text.encode(), "handoff.toml")
    if "roles" not in text:
        assert schemas.validate("handoff-1", tomllib.loads(text))


@pytest.mark.parametrize(
    "text",
    [
        "title = 3", "cue = 3", "[[cue]]\nlength = 3", '[[cue]]\nnumber = "1"\nlength = -3', "players = 3", "[players.a]",
        '[[cue]]\nnumber = "1"\nstart = "soon"', '[[cue]]\nnumber = "1"\nmidi = "../x.mid"', "= 3", 'schema = "handoff-2"',
        "frame_rate = true", "parts = [3]", '[[cue]]\nnumber = "1"\nhits = [{}]',
    ],
)  # fmt: skip
def test_what_does_not_say_what_it_must(text: str) -> None:
    with pytest.raises(BadConfig, match=r"^handoff\.toml"):
        parse(text.encode(), "handoff.toml")


@pytest.mark.parametrize(
    ("text", "seconds"),
    [(12, 12.0), ("12.5", 12.5), ("1:04.2", 64.2), ("1:00:10", 3610.0), ("01:00:10:05", 3610.2), (None, None)],
)
def test_times(text: str | float | None, seconds: float | None) -> None:
    assert clock(text, "here") == pytest.approx(seconds)


def test_the_demo_is_valid_and_its_players_hold_for_the_checks() -> None:
    data = DEMO.read_bytes()
    assert schemas.validate("handoff-1", tomllib.loads(data.decode())) == []
    config = parse(data, "handoff.toml").config(Config())
    assert config.parts["Koto"] == "koto"
    assert config.players["hanae"].part == "Koto"


def test_a_table_of_a_profile_reaches_the_player() -> None:
    text = '[players.a]\npart = "Oboe"\n[players.a.compass]\nlowest = "C4"'
    declared = parse(text.encode(), "handoff.toml")
    assert declared.players["a"].tables == {"compass": {"lowest": "C4"}}
