"""What every built-in profile must keep: it loads, obeys the published schema, and no value loses who says so.

Checked against: schemas/profile-1 and plugin-1 (our own published format, JSON Schema draft 2020-12), and the element names of
MusicXML as the `musicxml` package generates them from the standard's schema.
"""

from __future__ import annotations

import ast
import json
import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from xmlcheck import facets, profile
from xmlcheck.authoring.generated import generated
from xmlcheck.errors import BadPlugin
from xmlcheck.identify import Names
from xmlcheck.partname import fold
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry, discover

ROOT = Path(__file__).parents[2]
PLUGINS = tuple(sorted(path.parent.name for path in (ROOT / "plugins").glob("*/profiles")))
TRADITIONS = tuple(name for name in PLUGINS if not (ROOT / "plugins" / name / "facets.py").exists())
ALL = sorted(path for plugin in PLUGINS for path in (ROOT / "plugins" / plugin / "profiles").glob("*.toml"))
KINDS: dict[str, type] = {kind.FACET: kind for kind in facets.UNIVERSAL}  # type: ignore[attr-defined]
VIOLIN = ROOT / "plugins" / "xmlcheck_orchestra" / "profiles" / "violin.toml"
MEMORY = {"M", "MEM"}
DERIVED = {"D", "DER"}
# Words the texts do not use: they judge the player or the writer instead of telling what the instrument does.
JUDGING = re.compile(r"\b(easy|easily|wrong|should|fails to|unplayable|lazy)\b", re.IGNORECASE)


def table(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


FILES = [path for path in ALL if not table(path).get("abstract")]
"""Instruments; family bases, which nobody plays, are not among them."""
every_profile = pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
every_file = pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)


@cache
def registry() -> Registry:
    return discover()


@cache
def loaded(path: Path) -> Profile:
    """The profile as it is used, its family's tables merged in."""
    return registry().profile(path.stem)


@cache
def validator(name: str) -> jsonschema.Draft202012Validator:
    schema = json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def faults(name: str, data: Mapping[str, Any]) -> list[str]:
    """The schema's objections, each with its place."""
    return [f"{'/'.join(map(str, error.absolute_path))}: {error.message}" for error in validator(name).iter_errors(data)]


def vouched(value: Any, where: str = "") -> Iterator[tuple[str, Mapping[str, Any]]]:
    """All tables that say how sure they are, with their place, in universal tables and in those of other plugins."""
    if isinstance(value, Mapping):
        if "certainty" in value:
            yield where, value
        for key, item in value.items():
            yield from vouched(item, f"{where}/{key}")
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from vouched(item, f"{where}/{number}")


def texts(data: Mapping[str, Any]) -> Iterator[str]:
    """The sentences of a profile that a writer gets to read."""
    for _, item in vouched(data):
        yield from (item[key] for key in ("note", "text", "title", "instead") if key in item)


def test_nothing_is_left_out() -> None:
    assert registry().notices == ()
    assert {path.stem for path in ALL} == set(registry().offers)
    assert len(FILES) >= 16


@every_profile
def test_it_loads_and_has_every_universal_facet_that_applies(path: Path) -> None:
    built = loaded(path)
    assert built.id == path.stem
    for kind in (facets.Reading, facets.Techniques, facets.Polyphony, facets.Ensemble):
        assert built.get(kind) is not None, kind.__name__
    assert built.unowned == ()


@every_file
def test_it_obeys_the_schema(path: Path) -> None:
    assert faults("profile-1", table(path)) == []


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("compass", "lowest", "value"), "H3"),
        (("compass", "lowest", "cite"), []),
        (("compass", "lowest", "certainty"), "sure"),
        (("compass", "middle"), {"value": "C4", "cite": ["M"], "certainty": "memory"}),
        (("polyphony", "at_once", "value"), 0),
        (("programs",), [0]),
        (("reading", "conventions"), []),
        (("compas",), 3),
    ],
    ids=lambda item: "/".join(item) if isinstance(item, tuple) else "",
)
def test_the_schema_refuses_faulty_profiles(place: tuple[str, ...], value: object) -> None:
    data = table(VIOLIN)
    inner: Any = data
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = value
    assert faults("profile-1", data)


def test_a_record_of_the_family_may_be_dropped_and_nothing_half() -> None:
    data = table(VIOLIN)
    data["techniques"]["foreign"].append({"id": "breath", "drop": True})
    assert faults("profile-1", data) == []
    data["techniques"]["foreign"][-1]["words"] = ["breath"]
    assert faults("profile-1", data)
    data["techniques"]["foreign"][-1] = {"id": "breath", "drop": False}
    assert faults("profile-1", data)


@pytest.mark.parametrize("path", sorted((ROOT / "plugins").glob("*/known.toml")), ids=lambda path: path.parent.name)
def test_what_is_known_without_a_profile_obeys_its_schema(path: Path) -> None:
    data = table(path)
    assert faults("known-1", data) == []
    for key, fault in (("known", {"id": "x", "names": ["x"]}), ("shared", {"words": [], "among": {"x": []}})):
        assert faults("known-1", {**data, key: [fault]})
    assert faults("known-1", {**data, "knwon": []})


def test_the_loader_names_file_table_and_key_of_a_fault() -> None:
    data = table(VIOLIN)
    data["compass"]["lowest"]["value"] = "H3"
    with pytest.raises(BadPlugin, match=r"violin\.toml, \[compass\], lowest"):
        profile.build(data, KINDS, "plugin", "violin.toml")


@every_file
def test_every_source_key_resolves_and_every_source_is_used(path: Path) -> None:
    """Keys may be the family's; a profile's own sources are used by itself, or, in a family, by its members."""
    data = table(path)
    cited = {key for _, item in vouched(data) for key in item["cite"]}
    assert cited <= set(loaded(path).sources)
    if not data.get("abstract"):
        assert set(data.get("sources", ())) <= cited


@every_file
def test_no_value_is_surer_than_its_sources(path: Path) -> None:
    """A value of mixed sources counts as its weakest; a value that is only worked out needs something it is worked out from."""
    for where, item in vouched(table(path)):
        cite = set(item["cite"])
        assert cite, where
        if item["certainty"] in {"documented", "player"}:
            assert not cite & MEMORY, f"{where}: {item['certainty']} and from memory"
        assert cite - DERIVED, f"{where}: worked out from nothing"
        if item["certainty"] == "conflicting":
            assert item.get("note"), f"{where}: conflicting without a note that keeps both"


@every_profile
def test_the_compass_is_ordered(path: Path) -> None:
    compass = loaded(path).get(facets.Compass)
    if compass is None:
        return
    low, high = compass.comfortable_lowest or compass.lowest, compass.comfortable_highest or compass.highest
    ends = (compass.lowest, low, high, compass.highest)
    heights = [end.value.cents for end in ends]
    assert heights == sorted(heights)
    assert heights[0] < heights[-1]


@every_profile
def test_one_reading_is_the_usual_one_and_comes_first(path: Path) -> None:
    reading = loaded(path).get(facets.Reading)
    assert reading is not None
    assert [convention.usual for convention in reading.conventions].count(True) == 1
    assert reading.conventions[0].usual
    assert max(Counter(convention.id for convention in reading.conventions).values()) == 1
    for convention in reading.conventions:
        # A letter step is one to two semitones: a convention that contradicts itself would misspell every note.
        assert abs(float(convention.chromatic) - convention.diatonic * 12 / 7) < 1, convention.id


@every_profile
def test_polyphony_and_breath_make_sense(path: Path) -> None:
    built = loaded(path)
    polyphony = built.get(facets.Polyphony)
    assert polyphony is not None
    usual = polyphony.usual or polyphony.at_once
    assert 1 <= usual.value <= polyphony.at_once.value
    breath = built.get(facets.Breath)
    if breath is not None:
        seconds = [item.value for item in (breath.soft, breath.middle, breath.loud) if item is not None]
        assert seconds == sorted(seconds, reverse=True)
        assert all(item > 0 for item in seconds)


@every_profile
def test_no_word_or_mark_is_both_possible_and_foreign(path: Path) -> None:
    techniques = loaded(path).get(facets.Techniques)
    assert techniques is not None
    possible = [word.casefold() for item in techniques.has for word in (*item.words, *item.cancels)]
    strange = [word.casefold() for item in techniques.foreign for word in item.words]
    assert not set(possible) & set(strange)
    marks = [mark for item in techniques.has for mark in item.marks]
    assert not set(marks) & {mark for item in techniques.foreign for mark in item.marks}


@every_profile
def test_a_word_means_one_technique(path: Path) -> None:
    techniques = loaded(path).get(facets.Techniques)
    assert techniques is not None
    for group in (techniques.has, techniques.foreign):
        words = Counter(word.casefold() for item in group for word in item.words)
        assert [word for word, count in words.items() if count > 1] == []
        ids = Counter(item.id for item in group)
        assert [key for key, count in ids.items() if count > 1] == []


@every_profile
def test_what_lasts_can_be_ended(path: Path) -> None:
    techniques = loaded(path).get(facets.Techniques)
    assert techniques is not None
    assert [item.id for item in techniques.has if item.lasting and not item.cancels] == []
    for item in techniques.has:
        assert not {word.casefold() for word in item.words} & {word.casefold() for word in item.cancels}, item.id
        assert not set(item.marks) & set(item.against), item.id


@pytest.mark.parametrize("name", ["violin", "viola", "cello", "double-bass"])
def test_bowed_strings_know_the_usual_wordings(name: str) -> None:
    """Common practice, no source: the wordings that no orchestral string part goes without."""
    path = ROOT / "plugins" / "xmlcheck_orchestra" / "profiles" / f"{name}.toml"
    techniques = loaded(path).get(facets.Techniques)
    assert techniques is not None
    words = {word for item in techniques.has for word in item.words}
    ends = {word for item in techniques.has for word in item.cancels}
    assert {"pizz.", "arco", "con sord.", "mit Dämpfer", "avec sourdine", "col legno", "sul pont.", "am Steg"} <= words
    assert {"sul tasto", "trem.", "harm.", "Flageolett", "spiccato", "sur la touche"} <= words
    assert {"arco", "senza sord.", "ohne Dämpfer", "sans sourdine", "ord.", "nat."} <= ends


@every_profile
def test_marks_are_elements_of_the_standard(path: Path) -> None:
    elements = pytest.importorskip("musicxml.xmlelement.xmlelement")
    techniques = loaded(path).get(facets.Techniques)
    assert techniques is not None
    marks = {mark for item in techniques.has for mark in item.marks}
    marks |= {mark for item in techniques.has for mark in item.against}
    marks |= {mark for item in techniques.foreign for mark in item.marks}
    unknown = [mark for mark in marks if not hasattr(elements, "XML" + mark.title().replace("-", ""))]
    assert unknown == []


@every_profile
def test_texts_address_the_writer_and_judge_nobody(path: Path) -> None:
    assert [text for text in texts(table(path)) if JUDGING.search(text)] == []


def test_a_heading_finds_its_instrument_and_shared_names_all_of_theirs() -> None:
    """A name that several instruments answer to is in each one's list; then recognition asks and never picks."""
    owners: dict[str, set[str]] = {}
    entries = [registry().offers[path.stem].entry for path in FILES]
    for entry in entries:
        for text in (entry.names.get("en", entry.id), *entry.aliases, *entry.abbreviations):
            owners.setdefault(fold(text), set()).add(entry.id)
    names = Names(entries)
    astray = {}
    for entry in entries:
        for text in (entry.names.get("en", entry.id), *entry.aliases, *entry.abbreviations):
            found = names.find(text)
            if entry.id not in found.known or not owners[fold(text)] <= set(found.known):
                astray[entry.id, text] = found.known
    assert astray == {}


@every_profile
def test_aliases_carry_no_desk_and_no_repeat(path: Path) -> None:
    data = table(path)
    aliases = [fold(alias) for alias in data.get("aliases", ())]
    assert [alias for alias, count in Counter(aliases).items() if count > 1] == []
    assert [alias for alias in aliases if re.search(r"\b(i{1,3}|iv|solo|div|[1-9])\.?$", alias)] == []


@pytest.mark.parametrize("name", TRADITIONS)
def test_the_plugin_introduces_itself(name: str) -> None:
    folder = ROOT / "plugins" / name
    data = table(folder / "plugin.toml")
    assert faults("plugin-1", data) == []
    assert data["name"] == name
    assert data["data_licence"] == "Apache-2.0"
    body = ast.parse((folder / "__init__.py").read_text(encoding="utf-8")).body
    assert len(body) == 1, "only a docstring: an instrument is data"
    assert isinstance(body[0], ast.Expr)


@pytest.mark.parametrize("name", sorted(path.name for path in (ROOT / "plugins").iterdir() if (path / "plugin.toml").exists()))
def test_index_and_readme_tables_are_fresh(name: str) -> None:
    """Made by `xmlcheck plugins index plugins/*`."""
    folder = ROOT / "plugins" / name
    assert (folder / "README.md").is_file()
    for file, content in generated(folder).items():
        assert file.read_bytes() == content, f"{file.name} is not fresh: run xmlcheck plugins index"
