"""Skeletons and the check of a plugin folder: nothing invented, nothing let through, each fault at its file and line.

The instrument is ours, invented: a causeway box, on which a lamplighter taps the hours.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import fields
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from xmlcheck import schemas
from xmlcheck.authoring import check as looking
from xmlcheck.authoring import instrument, rule
from xmlcheck.authoring.blanks import blanks
from xmlcheck.authoring.lines import line_of
from xmlcheck.cli import main
from xmlcheck.errors import BadPlugin
from xmlcheck.profile import build
from xmlcheck.registry import Registry, discover
from xmlcheck.testing import Part, score

Run = Callable[..., Result]
VOUCHED = 'cite = ["S1"], certainty = "documented"'
BOX = Path("profiles/causeway-box.toml")
CASES = Path("cases/causeway-box/cases.toml")


@cache
def registry() -> Registry:
    return discover()


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """The command line, run in an empty folder."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / ".git").mkdir()

    def call(*arguments: object) -> Result:
        return CliRunner().invoke(main, [str(item) for item in arguments])

    return call


def change(path: Path, *pairs: tuple[str, str]) -> None:
    """Regular expressions and their replacements, the first place of each; each must be there."""
    text = path.read_text(encoding="utf-8")
    for pattern, new in pairs:
        text, count = re.subn(pattern, lambda _, new=new: new, text, count=1, flags=re.MULTILINE)  # type: ignore[misc]
        assert count == 1, pattern
    path.write_text(text, encoding="utf-8")


def fill(folder: Path) -> Path:
    """What somebody who does not program does to the skeleton of the causeway box: replace every "?"."""
    change(
        folder / "plugin.toml",
        (r'title = "\?"', 'title = "House"'),
        (r'\["\?"\]', '["The house"]'),
        (r'licence = "\?"', 'licence = "CC0-1.0"'),
    )
    path = folder / BOX
    change(
        path,
        (r'family = "\?"', 'family = "boxes"'),
        (r'tradition = "\?"', 'tradition = "the causeway"'),
        (r'mechanism = "\?"', 'mechanism = "a box with a lid"'),
        (r'aliases = \["\?"\]', 'aliases = ["Causeway boxes"]'),
        (r"^lowest = .*", f'lowest = {{ value = "D3", {VOUCHED} }}'),
        (r"^highest = .*", f'highest = {{ value = "D5", {VOUCHED} }}'),
        (r"^at_once = .*", f"at_once = {{ value = 2, {VOUCHED} }}"),
        (r"^section = .*", f"section = {{ value = false, {VOUCHED} }}"),
        (r'^id = "\?"', 'id = "at-pitch"'),
        (r'^chromatic = "\?"', "chromatic = 0"),
        (r'^diatonic = "\?"', "diatonic = 0"),
        (r'^octave = "\?"', "octave = 0"),
        (r'^#usual = "\?"', "usual = true"),
        (r'^cite = \["\?"\]\ncertainty = "\?"', 'cite = ["S1"]\ncertainty = "documented"'),
        (r'^S1 = "\?"', 'S1 = "The list of the house"'),
    )
    notes = r'notes = "\?"'
    change(
        folder / CASES, (notes, 'notes = "D3.w | A3.w"'), (notes, 'notes = "C#3.w | A3.w"'), (r'lowest = "\?"', 'lowest = "D3"')
    )
    return path


@pytest.fixture
def house(run: Run, tmp_path: Path) -> Path:
    """A folder with the causeway box, filled in."""
    assert run("plugins", "new-instrument", "Causeway box").exit_code == 0
    fill(tmp_path / "house")
    return tmp_path / "house"


def faults(folder: Path) -> list[str]:
    """File, line and sentence of all that is amiss."""
    found = looking.check(folder).faults
    return [f"{fault.file.relative_to(folder)}:{fault.line}: {fault.says}" for fault in found if not fault.remark]


def test_an_instrument_can_be_written_and_used_without_programming(run: Run, house: Path, tmp_path: Path) -> None:
    checked = run("plugins", "check", "house")
    assert (checked.exit_code, checked.stdout) == (0, "")
    assert "1 profile, 0 rules, 2 cases: nothing amiss" in checked.stderr
    (tmp_path / "cue.musicxml").write_bytes(score(Part("tempo=90 <mf> C#3.h D3 | A3.w", "Causeway box")))
    (tmp_path / "xmlcheck.toml").write_text('plugins = ["./house"]\n')
    found = run("check", "cue.musicxml", "--no-write")
    assert found.exit_code == 1
    assert "below D3, the lowest note of Causeway box" in found.stdout
    assert "The list of the house" in found.stdout


def test_a_skeleton_asks_for_everything_and_is_refused_until_it_is_filled_in(run: Run, tmp_path: Path) -> None:
    made = run("plugins", "new-instrument", "Causeway box")
    assert made.exit_code == 0
    assert "xmlcheck plugins check house" in made.stderr
    result = run("plugins", "check", "house")
    assert result.exit_code == 1
    lines = (tmp_path / "house" / BOX).read_text(encoding="utf-8").splitlines()
    told = [re.fullmatch(r"(\S+?):(\d+): (.*)", line) for line in result.stdout.splitlines()]
    assert all(told)
    for found in told:
        if found and found[1] == f"house/{BOX}":
            assert "?" in lines[int(found[2]) - 1], found[0]
            assert "to be filled in" in found[3]
    (tmp_path / "xmlcheck.toml").write_text('plugins = ["./house"]\n')
    (tmp_path / "cue.musicxml").write_bytes(score(Part("D3.w", "Causeway box")))
    used = run("check", "cue.musicxml", "--no-write")
    assert used.exit_code == 2
    assert re.search(r"house: causeway-box, \[\w+\], .*'\?'", used.stderr)
    assert "Traceback" not in used.stderr


@pytest.mark.parametrize("like", [None, *sorted(registry().names.entries)[::5]])
def test_nothing_in_a_skeleton_is_invented(like: str | None) -> None:
    """Every value, source and certainty is a blank; so are those that are switched off."""
    (text,) = (
        data.decode()
        for path, data in instrument.skeletons("Causeway box", Path("house"), registry(), like, ()).items()
        if path.parent.name == "profiles"
    )
    for shown in (text, re.sub(r"^#(?=[\w\[])", "", text, flags=re.MULTILINE)):
        table = tomllib.loads(shown)
        given = {"schema", "id", "names", "extends"}
        assert {key for key in table if key in given} <= given
        assert table["names"] == {"en": "Causeway box"}
        left = {**{key: item for key, item in table.items() if key not in given}}
        left.get("sources", {}).pop("M", None)
        assert leaves(left) == list(blanks(left)), "something else than a blank"
    with pytest.raises(BadPlugin):
        build(tomllib.loads(text), registry().facets, "house", "causeway-box")


def leaves(value: object, way: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else None
    return [way] if items is None else [leaf for key, item in items for leaf in leaves(item, (*way, key))]


@pytest.mark.parametrize("key", sorted(registry().facets))
def test_every_table_can_be_asked_for_with_what_it_means(key: str) -> None:
    files = instrument.skeletons("Causeway box", Path("house"), registry(), None, (key,))
    text = next(data.decode() for path, data in files.items() if path.parent.name == "profiles")
    table = tomllib.loads(re.sub(r"^#(?=[\w\[])", "", text, flags=re.MULTILINE))
    assert set(table[key]) == {item.name for item in fields(registry().facets[key])}
    plain = " ".join(re.sub(r"^# ?", "", text, flags=re.MULTILINE).split())
    assert " ".join((registry().facets[key].__doc__ or "-").split())[:60] in plain


def test_a_sibling_gives_the_tables_and_its_values_as_remarks_only() -> None:
    files = instrument.skeletons("Causeway box", Path("house"), registry(), "koto", ())
    text = next(data.decode() for path, data in files.items() if path.parent.name == "profiles")
    assert set(registry().profile("koto").facets) == set(tomllib.loads(text)) & set(registry().facets) | {"techniques"}
    assert "# The outer limit below, which published music keeps; a sounding pitch" in text
    assert 'koto: "C3"' in text
    assert "S100" not in text


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("new-instrument", "koto"), "xmlcheck_east_asia has an instrument 'koto' already"),
        (("new-instrument", "箏"), "gives no id"),
        (("new-instrument", "Box", "--table", "fingerbord"), '"fingerboard"'),
        (("new-instrument", "Box", "--like", "kotoo"), "koto"),
        (("new-instrument", "Box", "--folder", "My-House"), "small letters, figures and _"),
        (("new-rule", "lamp"), "a rule is called area.slug"),
        (("new-rule", "compass.below"), "xmlcheck_basics has a rule 'compass.below' already"),
        (("check", "nowhere"), "no such plugin folder"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(run: Run, tmp_path: Path, arguments: tuple[str, ...], says: str) -> None:
    result = run("plugins", *arguments)
    assert result.exit_code == 2
    assert says in result.stderr
    assert "Traceback" not in result.stderr
    assert [path for path in tmp_path.iterdir() if path.name != ".git"] == []


def test_what_is_filled_in_is_never_replaced(run: Run, house: Path) -> None:
    before = (house / BOX).read_bytes()
    again = run("plugins", "new-instrument", "Causeway box")
    assert again.exit_code == 2
    assert "already" in again.stderr
    assert (house / BOX).read_bytes() == before


@pytest.mark.parametrize(
    ("file", "pattern", "new", "says"),
    [
        (BOX, r'^lowest = \{ value = "D3"', 'lowest = { value = "H3"', "[compass], lowest, value: 'H3' is no pitch"),
        (BOX, r"value = 2", 'value = "two"', "[polyphony], at_once, value: 'two' is not a number"),
        (BOX, r"^usual = true", "usualy = true", "[reading], conventions, number 1: there is no key 'usualy' here"),
        (BOX, r'value = "D3"', 'value = "D6"', "[compass]: highest, D5, lies below lowest, D6."),
        (BOX, r'"D3", cite = \["S1"\]', '"D3", cite = ["S9"]', "[compass], lowest: cites 'S9', which [sources] does not list."),
        (BOX, r'"D3", cite = \["S1"\]', '"D3", cite = []', "[compass], lowest, cite: [] "),
        (BOX, r'"D3", cite = \["S1"\], certainty = "documented"', '"D3", cite = ["S1"], certainty = "conflicting"', "no note"),
        (BOX, r'"D3", cite = \["S1"\]', '"D3", cite = ["M"]', "[compass], lowest: is called documented and rests on memory"),
        (BOX, r"^S1 = .*", 'S1 = "The list"\nS2 = "A book"', "[sources], S2: nothing cites it"),
        (BOX, r'^id = "causeway-box"', 'id = "causeway-bx"', "the file is called 'causeway-box'"),
        (BOX, r"^\[compass\]", "[compass", "not TOML"),
        (
            BOX,
            r"^\[names\]",
            'extends = "family-of-lamps"\n[names]',
            "extends 'family-of-lamps', which no installed plugin has",
        ),
        ("plugin.toml", r'^name = "house"', 'name = "home"', "the folder is called 'house'"),
        ("plugin.toml", r'^version = "1"', 'version = "one"', "version: 'one' has another form"),
        (CASES, r'notes = "D3', 'notes = "C3', "case 'the lowest note' does not hold."),
        (CASES, r'notes = "C#3', 'notes = "Q#3', "case 'a semitone below the lowest note' does not hold."),
    ],
)
def test_a_fault_is_told_with_its_file_and_line(house: Path, file: Path | str, pattern: str, new: str, says: str) -> None:
    path = house / file
    if "M" in new:
        change(path, (r'^#M = "', 'M = "'))
    change(path, (pattern, new))
    told = says_one(faults(house), says)
    assert told.startswith(f"{file}:")
    if says.startswith("[compass], lowest"):
        number = int(told.split(":")[1])
        assert path.read_text(encoding="utf-8").splitlines()[number - 1].startswith("lowest = ")


def says_one(found: list[str], text: str) -> str:
    (one,) = [line for line in found if text in line] or [f"nothing says {text!r}, only {found}"]
    return one


def test_a_name_that_is_taken_is_worth_knowing_and_an_id_that_is_taken_is_refused(run: Run, house: Path) -> None:
    change(house / BOX, ("Causeway boxes", "koto"))
    shared = run("plugins", "check", "house")
    assert shared.exit_code == 0
    assert "'koto' is a name of koto too" in shared.stdout
    change(house / BOX, ('id = "causeway-box"', 'id = "koto"'))
    (house / BOX).rename(house / "profiles" / "koto.toml")
    (line,) = faults(house)
    assert line.startswith("profiles/koto.toml:")
    assert "xmlcheck_east_asia has an instrument 'koto' already" in line


# Rules.

CARD = (
    (r'^title = "\?"', 'title = "Long note"'),
    (r'^grade = "\?"', 'grade = "tidy"'),
    (r'^label = "\?"', 'label = "long"'),
    (r'^message = "\?"', 'message = "{notes}: long."'),
    (r'^why = "\?"', 'why = "The lamp burns down."'),
    (r'^remedy = "\?"', 'remedy = "Ask the lamplighter."'),
    (r'^cite = \["\?"\]', 'cite = ["S1"]'),
    (r'^S1 = "\?"', 'S1 = "The list of the house"'),
)
WRITTEN = '''"""Notes that outlast the lamp."""

from xmlcheck.plugin import Chair, Hit, Hits, rule


@rule
def too_long(chair: Chair) -> Hits:
    """One hit for each whole note."""
    yield from (Hit(at=(tone,)) for tone in chair.tones if tone.first.type == "whole")
'''


@pytest.fixture
def lamps(run: Run, tmp_path: Path, request: pytest.FixtureRequest) -> Path:
    """A folder with one rule, written; called by the test, because Python keeps a package that it has imported."""
    folder = tmp_path / f"lamps_{abs(hash(request.node.nodeid))}"
    assert run("plugins", "new-rule", "lamp.too-long", "--plugin", folder).exit_code == 0
    home = folder / "rules" / "lamp_too_long"
    change(
        folder / "plugin.toml",
        (r'title = "\?"', 'title = "Lamps"'),
        (r'\["\?"\]', '["The house"]'),
        (r'licence = "\?"', 'licence = "CC0-1.0"'),
    )
    change(home / "rule.toml", *CARD)
    change(
        home / "cases.toml",
        (r'name = "\?"\nnotes = "\?"', 'name = "short"\nnotes = "A4.q A4 A4 A4"'),
        (r'name = "\?"\nnotes = "\?"', 'name = "long"\nnotes = "A4.w"'),
        (r'at = "\?", grade = "\?"', 'at = "1:1", grade = "tidy"'),
    )
    (home / "rule.py").write_text(WRITTEN, encoding="utf-8")
    return folder


def test_a_rule_can_be_written_from_its_skeleton(run: Run, lamps: Path) -> None:
    checked = run("plugins", "check", lamps)
    assert (checked.exit_code, checked.stdout) == (0, ""), checked.stdout
    assert "0 profiles, 1 rule, 2 cases: nothing amiss" in checked.stderr


def test_a_card_asks_for_all_that_the_schema_has_and_a_skeleton_is_no_rule() -> None:
    files = rule.skeletons("lamp.too-long", Path("house"), registry())
    text = files[Path("house/rules/lamp_too_long/rule.toml")].decode()
    on = tomllib.loads(re.sub(r"^#(?=[\w\[])", "", text, flags=re.MULTILINE))
    assert set(on) == set(schemas.load("rule-1")["properties"])
    assert set(schemas.load("rule-1")["required"]) <= set(tomllib.loads(text))
    assert schemas.validate("rule-1", tomllib.loads(text)) != []
    assert b"raise NotImplementedError" in files[Path("house/rules/lamp_too_long/rule.py")]


@pytest.mark.parametrize(
    ("file", "pattern", "new", "says"),
    [
        ("rule.py", r"\(chair: Chair\)", "(chair: Chair", "rule.py:7: SyntaxError"),
        ("rule.py", r"^from xmlcheck.plugin import", "from xmlcheck.plugin import Lantern,", "rule.py:3: ImportError"),
        ("rule.py", r"@rule", "", "holds 0 functions marked @rule"),
        ("rule.py", r'    """One hit.*\n', "", "says nothing"),
        ("rule.py", r"    yield from", "    1 / 0\n    yield from", "ZeroDivisionError"),
        ("rule.py", r'"whole"', '"half"', "case 'long' does not hold."),
        ("rule.toml", r'cite = \["S1"\]', 'cite = ["S2"]', "cites 'S2', which [sources] does not list."),
        ("rule.toml", r'^#explains = \["\?"\]', 'explains = ["lamp.none"]', "explains 'lamp.none'"),
        ("rule.toml", r'grade = "tidy"', 'grade = "stop"', "grade: 'stop' is not one of 'halt', 'query', 'tidy'"),
        ("rule.toml", r'id = "lamp.too-long"', 'id = "lamp.long"', "the folder is called 'lamp_too_long'"),
        ("cases.toml", r"\[\[pass\]\]\nname.*\nnotes.*", "", "at least one case in which the rule keeps silent"),
        ("cases.toml", r'rule = "lamp.too-long"', 'rule = "lamp.other"', "No plugin brings the rule lamp.other"),
    ],
)
def test_a_fault_of_a_rule_is_told_with_its_file(lamps: Path, file: str, pattern: str, new: str, says: str) -> None:
    change(lamps / "rules" / "lamp_too_long" / file, (pattern, new))
    found = faults(lamps)
    assert any(says in line for line in found), found
    assert all(re.match(r"\S+:\d+: ", line) for line in found)


def test_a_plugin_that_another_leans_on_is_required(lamps: Path) -> None:
    path = lamps / "rules" / "lamp_too_long" / "rule.py"
    change(path, (r"^@rule", "from xmlcheck_basics.derived import ReadAs as ReadAs\n\n\n@rule"))
    (line,) = faults(lamps)
    assert "requires does not name xmlcheck_basics: rules/lamp_too_long/rule.py:" in line
    change(lamps / "plugin.toml", (r"requires = \[\]", 'requires = ["xmlcheck_basics>=1"]'))
    assert faults(lamps) == []


@pytest.mark.parametrize(
    ("way", "line"),
    [
        (("a",), 1),
        (("b", "c"), 3),
        (("b", "d", "e"), 5),
        (("list", 1, "x"), 11),
        (("list", 1, "sub", "y"), 13),
        (("list", 0, "x", 3), 9),
        (("text",), 14),
        (("none",), 1),
    ],
)
def test_lines_are_those_of_the_text(way: tuple[str | int, ...], line: int) -> None:
    text = "\n".join(
        [
            "a = 1",
            "[b]",
            "c = 2 # [x]",
            "[b.d]",
            'e = """',
            "c = 3",
            '"""',
            "[[list]]",
            'x = ["y = 1"]',
            "[[ list ]]",
            "x = 2",
            "[list.sub]",
            "y = 3",
            "[text]",
        ]
    )
    tomllib.loads(text)
    assert line_of(text, way) == line
