"""The configuration file: what it says, what it refuses, and that its published schema says the same."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from xmlcheck import schemas
from xmlcheck.config import Accepted, Config, Player, find, load, nearest, parse
from xmlcheck.errors import BadConfig
from xmlcheck.finding import Grade

WHERE = Path("cues/xmlcheck.toml")
MIRA = '[players.Mira]\npart = "P1"\n'

FULL = """
schema = "config-1"
hold_at = "query"
marks = "all"
instruments = ["house/lamp-zither.toml"]
plugins = ["house"]

[parts]
P3 = "oud"
"Track 7" = "ney"

[grades]
"compass.below" = "query"
score.no-tempo = "off"

[settings."compass.below"]
tolerance_cents = 30
[settings.breath.long]
ratio = 1.5

[[accept]]
id = "1f0c2a9b3d4e"
by = "Ines Varga"
why = "played so in this hall"

[ensemble.koto-13.compass]
lowest = { value = "C2", cite = ["Ines Varga"], certainty = "player" }

[players.Mira]
part = "P1"
instrument = "koto-13"
compass.highest = { value = "A5", certainty = "player" }

[players."Second band"]
part = "Horn in F"
"""


def test_a_full_file_is_read_as_it_says() -> None:
    config = parse(FULL, WHERE)
    assert config.hold_at is Grade.QUERY
    assert config.marks == "all"
    assert config.parts == {"P1": "koto-13", "P3": "oud", "Track 7": "ney"}
    assert config.grades == {"compass.below": Grade.QUERY, "score.no-tempo": "off"}
    assert config.settings == {"compass.below": {"tolerance_cents": 30}, "breath.long": {"ratio": 1.5}}
    assert config.accept == (Accepted("1f0c2a9b3d4e", "Ines Varga", "played so in this hall"),)
    assert config.instruments == (Path("cues/house/lamp-zither.toml"),)
    assert config.plugins == (Path("cues/house"),)
    assert config.players["Second band"] == Player("Horn in F")
    assert schemas.validate("config-1", tomllib.loads(FULL)) == []


def test_an_empty_file_is_the_same_as_none() -> None:
    config = parse("", WHERE)
    assert config == Config(path=WHERE)
    assert config.hold_at is Grade.HALT
    assert config.layers("koto-13", "P1", "Koto") == ()


def test_layers_come_weakest_first_and_only_for_their_part_and_instrument() -> None:
    config = parse(FULL, WHERE)
    layers = config.layers("koto-13", "P1", "Koto")
    assert [origin for origin, _ in layers] == ["xmlcheck.toml ensemble", "xmlcheck.toml players.Mira"]
    assert layers[0][1]["compass"]["lowest"]["value"] == "C2"
    assert layers[1][1]["compass"]["highest"]["value"] == "A5"
    assert [origin for origin, _ in config.layers("koto-13", "P9", "Koto")] == ["xmlcheck.toml ensemble"]
    assert config.layers("shamisen", "P1", "Koto") == (), "the player's values are for the koto, not for a second instrument"
    by_name = config.layers("horn", "P4", "  horn  in f ")
    assert [origin for origin, _ in by_name] == ["xmlcheck.toml players.Second band"]


def test_players_say_what_they_read_and_when_they_are_recorded() -> None:
    two = (
        'recording = "overdubs"\n'
        + MIRA
        + 'instrument = "flute"\npass = 1\n[players.Rua]\npart = "P1"\ninstrument = "piccolo"\npass = 2'
    )
    config = parse(two, WHERE)
    assert [tables for _, tables in config.layers("flute", "P1", "Flute")][-1] == {"session": {"take": 1}}
    assert [tables for _, tables in config.layers("piccolo", "P1", "Flute")][-1] == {"session": {"take": 2}}
    assert [tables for _, tables in config.layers("oboe", "P2", "Oboe")] == [{"session": {"recording": "overdub"}}]
    assert config.player_of("P1", "Flute", "piccolo") is config.players["Rua"]
    assert config.player_of("P1", "Flute") is config.players["Mira"]
    assert config.player_of("P9", "Oboe") is None
    together = parse(MIRA + "pass = 1", WHERE)
    assert [tables for _, tables in together.layers("flute", "P1", "Flute")] == [{}], "the first pass is that of all"


def test_the_pitch_standard_and_the_roles_are_settings_of_the_rules_that_know_them() -> None:
    config = parse('pitch_standard = 442\n[roles]\nClick = "not-played"', WHERE)
    assert config.settings["ensemble.pitch-standard"] == {"session_hz": 442.0}
    assert config.settings["part.not-played"] == {"parts": "Click", "played": ""}


def test_two_players_of_one_part_do_not_decide_its_instrument() -> None:
    text = '[players.A]\npart = "P1"\ninstrument = "flute"\n[players.B]\npart = "p1"\ninstrument = "piccolo"\n'
    assert parse(text, WHERE).parts == {}


def test_the_file_is_found_beside_the_score_or_above_it_up_to_a_repository(tmp_path: Path) -> None:
    deep = tmp_path / "show" / "cues" / "one"
    deep.mkdir(parents=True)
    (tmp_path / "xmlcheck.toml").write_text("")
    assert find(deep) == (tmp_path / "xmlcheck.toml").resolve()
    (tmp_path / "show" / ".git").mkdir()
    assert find(deep) is None, "nothing above the repository counts"
    (tmp_path / "show" / "xmlcheck.toml").write_text("")
    assert find(deep) == (tmp_path / "show" / "xmlcheck.toml").resolve()
    (deep / "xmlcheck.toml").write_text("")
    assert find(deep) == (deep / "xmlcheck.toml").resolve()


WRONG = {
    'hold-at = "halt"': 'unknown key "hold-at"; the nearest is "hold_at"',
    'Parts = "x"': 'unknown key "Parts"; the nearest is "parts"',
    "zzz = 1": "known keys: schema, parts",
    'schema = "config-2"': "this version reads 'config-1'",
    'hold_at = "stop"': "hold_at is 'stop', which is none of halt, query, tidy",
    "hold_at = 1": "hold_at is 1",
    'marks = "some"': "which is none of usual, all, none",
    "parts = 3": "parts: expected a table",
    "[parts]\nP1 = 4": "parts.P1: expected a text, found 4",
    '[parts]\nP1 = " "': "parts.P1: expected a text",
    '[grades]\n"compass.below" = "hat"': "grades.compass.below is 'hat', which is none of halt, query, tidy, off; the nearest is \"halt\"",
    '[grades]\ncompass = "halt"': '"compass" is no rule',
    "[grades.compass]": '"compass" is no rule',
    "[grades.compass.below]\nx = 1": '"compass" is no rule',
    "[settings]\nbreath = 1": '"breath" is no rule',
    '[settings."breath.long"]\nx = { y = 1 }': '"x" is a table',
    'instruments = "a.toml"': "instruments: expected a list",
    "instruments = [1]": "instruments: expected a text",
    "plugins = {}": "plugins: expected a list",
    'accept = [{ id = "1", by = "x" }]': 'accept: the key "why" is missing',
    'accept = [{ id = "1", by = "x", why = "y", whom = "z" }]': 'unknown key "whom"',
    "accept = [1]": "accept: expected a table",
    "[ensemble]\nkoto = 1": "ensemble.koto: expected a table",
    "[ensemble.koto]\nlowest = 1": "ensemble.koto.lowest: expected a table",
    "[players.Mira]": 'players.Mira: the key "part" is missing',
    '[players.Mira]\npart = "P1"\ninstrumnet = "koto"': 'unknown key "instrumnet"; the nearest is "instrument"',
    '[players.Mira]\npart = "P1"\ninstrument = 13': "players.Mira.instrument: expected a text",
    "players = []": "players: expected a table",
    MIRA + 'reeds = "staff"': 'unknown key "reeds"; the nearest is "reads"',
    MIRA + 'reads = "numberd"': 'the nearest is "numbered"',
    MIRA + 'clef = "trebel"': 'the nearest is "treble"',
    MIRA + "brings = { tuning = [] }": 'unknown key "tuning"; the nearest is "tunings"',
    MIRA + 'doublings = "oboe"': "players.Mira.doublings: expected a list",
    MIRA + "pass = 0": "players.Mira.pass: expected the number of a pass",
    MIRA + "pass = true": "players.Mira.pass: expected the number of a pass",
    MIRA + 'language = ""': "players.Mira.language: expected a text",
    'recording = "overdubbed"': 'the nearest is "overdub',
    "pitch_standard = 0": "pitch_standard: expected a positive number",
    'pitch_standard = "440"': "pitch_standard: expected a positive number",
}


@pytest.mark.parametrize("text", WRONG)
def test_what_is_wrong_is_told_in_one_sentence_that_names_the_file(text: str) -> None:
    with pytest.raises(BadConfig) as caught:
        parse(text, WHERE)
    told = str(caught.value)
    assert told.startswith("cues/xmlcheck.toml: ")
    assert WRONG[text] in told
    assert told.endswith(".")
    assert "\n" not in told


@pytest.mark.parametrize("text", WRONG)
def test_the_published_schema_refuses_the_same(text: str) -> None:
    assert schemas.validate("config-1", tomllib.loads(text)) != []


@pytest.mark.parametrize(
    "text",
    [
        "",
        'marks = "none"',
        "[grades]\nscore.no-tempo = \"off\"",
        "[settings.breath.long]",
        "[settings.\"breath.long\"]\nwords = [\"a\"]\nratio = 1.5\non = true",
        "[players.Mira]\npart = \"P1\"\n[players.Mira.hand]\nreach = 1",
        "accept = []",
        "recording = \"overdubs\"\npitch_standard = 442",
        MIRA + "doublings = [\"oboe\"]\nbrings = { keys = [\"D\"], tunings = [], sizes = [], instruments = [\"oboe\"] }",
        MIRA + "reads = \"by ear\"\nclef = \"treble-8\"\npass = 2\nlanguage = \"de\"\ntablature = \"t\"\nname = \"n\"\nkey = \"D\"",
    ],
)  # fmt: skip
def test_the_published_schema_accepts_the_same(text: str) -> None:
    parse(text, WHERE)
    assert schemas.validate("config-1", tomllib.loads(text)) == []


def test_not_toml_and_not_there_are_told(tmp_path: Path) -> None:
    with pytest.raises(BadConfig, match="not TOML"):
        parse("a = ", WHERE)
    with pytest.raises(BadConfig, match="no such configuration file"):
        load(tmp_path / "none.toml")
    (tmp_path / "latin.toml").write_bytes(b'[parts]\nP1 = "caf\xe9"\n')
    with pytest.raises(BadConfig, match="UTF-8"):
        load(tmp_path / "latin.toml")


def test_nearest_is_silent_where_nothing_is_near() -> None:
    assert nearest("hold-at", ["hold_at", "marks"]) == '; the nearest is "hold_at"'
    assert nearest("qqqq", ["hold_at", "marks"]) == ""
