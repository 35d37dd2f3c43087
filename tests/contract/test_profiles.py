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
from xmlcheck.errors import BadPlugin
from xmlcheck.identify import Entry, Names
from xmlcheck.partname import fold
from xmlcheck.profile import Profile

ROOT = Path(__file__).parents[2]
PLUGINS = ("xmlcheck_orchestra", "xmlcheck_west_asia", "xmlcheck_east_asia", "xmlcheck_europe_folk")
FILES = sorted(path for plugin in PLUGINS for path in (ROOT / "plugins" / plugin / "profiles").glob("*.toml"))
KINDS: dict[str, type] = {kind.FACET: kind for kind in facets.UNIVERSAL}  # type: ignore[attr-defined]
MEMORY = {"M", "MEM"}
DERIVED = {"D", "DER"}
# Words the texts do not use: they judge the player or the writer instead of telling what the instrument does.
JUDGING = re.compile(r"\b(easy|easily|wrong|should|fails to|unplayable|lazy)\b", re.IGNORECASE)

every_profile = pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)


def table(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def loaded(path: Path) -> Profile:
    text = path.read_text(encoding="utf-8")
    return profile.build(profile.read_table(text, path.name), KINDS, path.parents[1].name, path.name)


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


def test_all_sixteen_are_there() -> None:
    assert {path.stem for path in FILES} == {
        *("violin", "viola", "cello", "double-bass", "clarinet-b-flat", "horn"),
        *("oud", "qanun", "ney-turkish", "kemence-classical", "kemence-black-sea"),
        *("koto", "shakuhachi", "erhu", "pipa", "lever-harp"),
    }
    assert len(FILES) == 16


@every_profile
def test_it_loads_and_has_every_universal_facet_that_applies(path: Path) -> None:
    built = loaded(path)
    assert built.id == path.stem
    for kind in (facets.Compass, facets.Reading, facets.Techniques, facets.Polyphony, facets.Ensemble):
        assert built.get(kind) is not None, kind.__name__
    blown = built.family in {"flutes", "reeds", "brass"}
    assert (built.get(facets.Breath) is not None) == blown


@every_profile
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
    data = table(FILES[0])
    inner: Any = data
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = value
    assert faults("profile-1", data)


def test_the_loader_names_file_table_and_key_of_a_fault() -> None:
    data = table(FILES[0])
    data["compass"]["lowest"]["value"] = "H3"
    with pytest.raises(BadPlugin, match=r"violin\.toml, \[compass\], lowest"):
        profile.build(data, KINDS, "plugin", "violin.toml")


@every_profile
def test_every_source_key_resolves_and_every_source_is_used(path: Path) -> None:
    data = table(path)
    cited = {key for _, item in vouched(data) for key in item["cite"]}
    assert cited == set(data["sources"])


@every_profile
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
    assert compass is not None
    assert compass.comfortable_lowest is not None
    assert compass.comfortable_highest is not None
    lowest, highest = compass.lowest.value.cents, compass.highest.value.cents
    low, high = compass.comfortable_lowest.value.cents, compass.comfortable_highest.value.cents
    assert lowest <= low < high <= highest


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
    assert polyphony.usual is not None
    assert 1 <= polyphony.usual.value <= polyphony.at_once.value
    breath = built.get(facets.Breath)
    if breath is not None:
        assert breath.soft is not None
        assert breath.middle is not None
        assert breath.loud is not None
        assert breath.soft.value >= breath.middle.value >= breath.loud.value > 0


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


def test_no_name_or_sound_leads_to_two_instruments() -> None:
    owners: dict[str, set[str]] = {}
    for path in FILES:
        data = table(path)
        for name in (*data["aliases"], *data["abbreviations"], *data["sound_ids"], *data["names"].values(), data["id"]):
            owners.setdefault(fold(name) or name, set()).add(data["id"])
    assert {name: ids for name, ids in owners.items() if len(ids) > 1} == {}


def test_every_alias_as_a_heading_names_its_instrument_alone() -> None:
    entries = []
    for path in FILES:
        data = table(path)
        lists: dict[str, Any] = {key: tuple(data[key]) for key in ("aliases", "abbreviations", "key_names")}
        entries.append(Entry(data["id"], path.parents[1].name, data["names"], **lists))
    names = Names(entries)
    astray = {
        (entry.id, text): names.find(text).ids
        for entry in entries
        for text in (entry.names["en"], *entry.aliases, *entry.abbreviations)
        if names.find(text).ids != (entry.id,)
    }
    assert astray == {}


@every_profile
def test_aliases_carry_no_desk_and_no_repeat(path: Path) -> None:
    data = table(path)
    aliases = [fold(alias) for alias in data["aliases"]]
    assert [alias for alias, count in Counter(aliases).items() if count > 1] == []
    assert [alias for alias in aliases if re.search(r"\b(i{1,3}|iv|solo|div|[1-9])\.?$", alias)] == []


@pytest.mark.parametrize("name", PLUGINS)
def test_the_plugin_introduces_itself(name: str) -> None:
    folder = ROOT / "plugins" / name
    data = table(folder / "plugin.toml")
    assert faults("plugin-1", data) == []
    assert data["name"] == name
    assert data["data_licence"] == "Apache-2.0"
    body = ast.parse((folder / "__init__.py").read_text(encoding="utf-8")).body
    assert len(body) == 1, "only a docstring: an instrument is data"
    assert isinstance(body[0], ast.Expr)


@pytest.mark.parametrize("name", PLUGINS)
def test_the_readme_lists_every_instrument_as_it_is(name: str) -> None:
    text = (ROOT / "plugins" / name / "README.md").read_text(encoding="utf-8")
    listed = text.partition("<!-- instruments -->")[2].partition("<!-- /instruments -->")[0]
    for path in sorted((ROOT / "plugins" / name / "profiles").glob("*.toml")):
        compass = table(path)["compass"]
        row = next(line for line in listed.splitlines() if f"`{path.stem}`" in line)
        assert compass["lowest"]["value"] in row
        assert compass["highest"]["value"] in row
