"""`about`, `instruments`, `plugins`: what is installed, every value with its certainty, and what is not checked and why."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from xmlcheck.authoring.check import stale

Run = Callable[..., Result]


def words(result: Result) -> str:
    assert result.exit_code == 0, result.stderr
    return " ".join(result.stdout.split())


@pytest.mark.parametrize("topic", ["lamp-zither", "Lamp Zither"])
def test_an_instrument_is_told_value_by_value_with_who_says_so(run: Run, house: Path, topic: str) -> None:
    text = words(run("about", topic, "--plugin", house))
    for part in (
        "lamp zither · lamp-zither · xmlcheck_test_house",
        "Lampenzither",
        "Caution Hot to the touch. Ask the player. [memory]",
        "Compass A3 [H; player] to A5 [H; documented]",
        "Comfortable C4 [memory] to …",
        "Reads high: sounds 12 semitones higher than written, the usual way. [H; player]",
        "At once 3 [H; conflicting]",
        "Breath soft 9 s [memory]",
        'Technique glowing tremolo (lumo): "glow". [memory]',
        'Foreign "arco"; nearest: a glow [memory]',
        "house.hold: Every note holds the cue",
        "house.needy: Asks for breath",
        "lantern: no installed plugin owns this table",
        "H: House list of invented instruments",
    ):
        assert part in text


def test_an_instrument_tells_what_is_not_checked_and_for_want_of_what(run: Run, house: Path, tmp_path: Path) -> None:
    text = (house / "profiles" / "lamp-zither.toml").read_text(encoding="utf-8")
    start = text.index("[breath]")
    breathless = tmp_path / "breathless.toml"
    text = text[:start] + text[text.index("[[techniques.has]]") :]
    breathless.write_text(text.replace("lamp-zither", "still-zither").replace("lamp zither", "still zither"), encoding="utf-8")
    page = words(run("about", "still-zither", "--instrument", breathless, "--plugin", house))
    assert re.search(r"for want of breath: [^:]*house\.needy", page)
    assert "house.needy: Asks for breath" not in page


def test_a_rule_is_told_from_its_card(run: Run, house: Path) -> None:
    text = words(run("about", "house.needy", "--plugin", house))
    for part in (
        "Asks for breath · house.needy · xmlcheck_test_house",
        "○ query at most, for the composer",
        "Mark [check n] breath",
        "Why This rule is for tests: it asks for a facet.",
        "Needs breath",
        "Source House list of invented rules",
    ):
        assert part in text
    text = words(run("about", "house.hold", "--plugin", house))
    assert "no facet: it checks any part" in text
    assert 'Setting strength = 3, in xmlcheck.toml: [settings."house.hold"]' in text
    assert "for the orchestrator" in text


@pytest.mark.parametrize(
    ("topic", "told"),
    [("house.hild", 'the nearest is "house.hold"'), ("lamp zithr", "nearest: lamp zither")],
)
def test_what_is_not_known_gets_the_nearest_and_exit_2(run: Run, house: Path, topic: str, told: str) -> None:
    result = run("about", topic, "--plugin", house)
    assert result.exit_code == 2
    assert told in result.stderr
    assert result.stdout == ""


def test_instruments_are_listed_and_found_by_any_name(run: Run, house: Path) -> None:
    every = run("instruments", "--plugin", house).stdout
    assert "lamp-zither" in every
    for text in ("lamp-z", "LAMPEN", "invented zithers"):
        assert words(run("instruments", text, "--plugin", house)) == "lamp-zither lamp zither, Lampenzither"
    none = run("instruments", "no such thing", "--plugin", house)
    assert none.stdout == ""
    assert "No instrument has 'no such thing' in its names." in none.stderr


@pytest.mark.parametrize(
    ("options", "found"),
    [
        (("--family", "invented"), True),
        (("--family", "harps"), False),
        (("--covers", "C4:A5"), True),
        (("--covers", "A5:C4"), True),
        (("--covers", "G3:A5"), False),
        (("--technique", "glow"), True),
        (("--technique", "tremolo"), True),
        (("--technique", "arco"), False),
        (("--at-once", "3"), True),
        (("--at-once", "4"), False),
        (("--covers", "D4:E4", "--technique", "glow", "--at-once", "2", "lamp"), True),
    ],
    ids=str,
)
def test_instruments_are_found_by_what_they_can_do(run: Run, house: Path, options: tuple[str, ...], found: bool) -> None:
    """The lamp zither: A3 to A5, "glow" a glowing tremolo, three notes at once, "arco" foreign."""
    result = run("instruments", *options, "--plugin", house)
    assert result.exit_code == 0, result.stderr
    assert ("lamp-zither" in result.stdout) == found


def test_a_search_tells_how_and_a_fruitless_one_what_was_asked(run: Run, house: Path) -> None:
    told = words(run("instruments", "lamp", "--covers", "A3:C4", "--at-once", "2", "--plugin", house))
    assert told == "lamp-zither lamp zither · A3 to A5, not all of it comfortable; 3 at once"
    none = run("instruments", "lamp", "--covers", "A0:C4", "--plugin", house)
    assert none.stdout == ""
    assert "No instrument answers to text lamp, --covers A0:C4." in none.stderr
    assert run("instruments", "--covers", "H4:C5").exit_code == 2


@pytest.mark.parametrize(
    ("ends", "comfortable", "width", "lines"),
    [
        # White keys counted by hand: C4 to B4 are seven, the next C opens the next octave.
        (("C4", "C5"), None, 66, ("C4     C5", "--------")),
        (("D4", "A4"), ("E4", "G4"), 66, ("C4     C5", " -===-")),
        (("A0", "C8"), ("A0", "C8"), 66, ("C0     C1     C2     C3     C4     C5     C6     C7     C8", " " * 5 + "=" * 52)),
        (("Bb3", "C4"), None, 66, ("C3     C4", "     ---")),
        (("A0", "C8"), None, 40, ()),
    ],
)
def test_a_compass_is_drawn_key_by_key(
    ends: tuple[str, str], comfortable: tuple[str, str] | None, width: int, lines: tuple[str, ...]
) -> None:
    """A piano has 52 white keys from A0 to C8."""
    from xmlcheck.output.keys import drawn
    from xmlcheck.pitch import parse

    low, high = map(parse, ends)
    assert tuple(drawn(low, high, (parse(comfortable[0]), parse(comfortable[1])) if comfortable else None, width)) == lines


def test_every_instrument_of_the_list_has_a_page(run: Run) -> None:
    """Whatever facets plugins bring, the page of each instrument is told without a fault."""
    from xmlcheck.output import about, page
    from xmlcheck.registry import discover

    registry = discover()
    for id, entry in registry.names.entries.items():
        text = page.plain(about.instrument_page(registry.profile(id), entry, registry, page.Sheet()))
        assert entry.names.get("en", id) in text
        assert "Cited(" not in text
        assert "Certainty." not in text
        assert "Decimal(" not in text
    for rule in registry.rules:
        assert rule.card.title in page.plain(about.rule_page(rule, registry.derived, page.Sheet()))


def test_plugins_are_listed_with_values_by_certainty(run: Run, house: Path) -> None:
    """Counted by hand in the profile: A5 documented; A3 and the reading player; C4, 9 s, glow, bow, the wick and the caution
    memory; 3 at once conflicting."""
    result = run("plugins", "--plugin", house)
    head, *rows = result.stdout.splitlines()
    assert head.split() == ["plugin", "version", "profiles", "rules", "documented", "player", "memory", "conflicting"]
    row = next(row for row in rows if row.startswith("xmlcheck_test_house")).split()
    assert row == ["xmlcheck_test_house", "3", "1", "2", "1", "2", "6", "1"]


def test_an_index_is_deterministic_fresh_and_noticed_when_stale(run: Run, house: Path, tmp_path: Path) -> None:
    import shutil

    folder = tmp_path / "xmlcheck_copy"
    shutil.copytree(house, folder, ignore=shutil.ignore_patterns("__pycache__"))
    assert run("plugins", "index", folder).exit_code == 0
    first = (folder / "index.json").read_bytes()
    assert json.loads(first)["schema"] == "index-1"
    assert [item["id"] for item in json.loads(first)["profiles"]] == ["lamp-zither"]
    run("plugins", "index", folder)
    assert (folder / "index.json").read_bytes() == first
    assert not any(fault.file.name == "index.json" for fault in stale(folder))
    card = folder / "rules" / "hold" / "rule.toml"
    card.write_text(card.read_text(encoding="utf-8").replace("held by", "kept by"), encoding="utf-8")  # of the same size
    assert ["not fresh" in str(fault) for fault in stale(folder) if fault.file.name == "index.json"] == [True]


@pytest.mark.parametrize("name", ["index", "check"])
def test_index_and_check_ask_for_folders(run: Run, name: str) -> None:
    assert run("plugins", name).exit_code == 2


def test_a_folder_that_is_none_is_told(run: Run, tmp_path: Path) -> None:
    result = run("plugins", "index", tmp_path / "none")
    assert result.exit_code == 2
    assert "no such plugin folder" in result.stderr
