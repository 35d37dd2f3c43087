"""What every public class promises: frozen, equal by value, hashable where it holds no mapping, pickled and back, shown without a
machine's addresses, and documented with the unit of every number.

Results cross process borders (`-j`, executors), so pickling is part of the interface. The instances are real ones: found in a
score of our own, its report, and the profiles and rules that are installed.
"""

from __future__ import annotations

import ast
import inspect
import pickle
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import MISSING, fields, is_dataclass, replace
from decimal import Decimal
from enum import Enum
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any, get_args, get_type_hints

import pytest

import xmlcheck
from xmlcheck import errors, facets, finding, plugin
from xmlcheck.chairs import seats
from xmlcheck.cited import Cited
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.registry import discover

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "corpus" / "demo" / "the-crossing.musicxml"
EXPORTS = sorted((ROOT / "corpus" / "exports").glob("*.musicxml"))
VIEWS = {
    "Chair": "one player's music, computed as it is asked for: it is itself, and is not sent anywhere",
    "ScoreFacts": "the same of the whole score",
    "Siblings": "finds relatives in a registry that it was made for",
}
"""Public classes that are no values, and why."""
FUNCTIONS = {"Rule", "Derived"}
"""Values that hold a function, which Python shows with its address; no result holds one."""
UNITS = re.compile(r"_(seconds|mm|cents|semitones|percent)$|^(seconds|mm|cents|semitones)(_|$)")
ADDRESS = re.compile(r"\b0x[0-9a-f]{6,}")


def public(module: ModuleType) -> Iterator[type]:
    names = getattr(module, "__all__", None) or [name for name in vars(module) if not name.startswith("_")]
    for name in names:
        value = getattr(module, name)
        if isinstance(value, type) and value.__module__.startswith("xmlcheck"):
            yield value


def records(kind: type) -> Iterator[type]:
    """The class and all dataclasses that its fields hold."""
    yield kind
    for hint in get_type_hints(kind).values():
        for inner in _inner(hint):
            if is_dataclass(inner) and isinstance(inner, type) and inner is not Cited:
                yield from records(inner)


def _inner(hint: Any) -> Iterator[Any]:
    yield hint
    for arg in get_args(hint):
        yield from _inner(arg)


FACETS = sorted(
    {inner for kind in discover().facets.values() for inner in records(kind)}, key=lambda kind: (kind.__module__, kind.__name__)
)
CLASSES = list(dict.fromkeys(kind for module in (xmlcheck, plugin, facets, finding) for kind in public(module)))
VALUES = [kind for kind in dict.fromkeys((*CLASSES, *FACETS)) if is_dataclass(kind)]
FINDINGS = [kind for kind in public(finding) if is_dataclass(kind)]
every_class = pytest.mark.parametrize("kind", dict.fromkeys((*CLASSES, *FACETS)), ids=lambda kind: kind.__name__)
every_value = pytest.mark.parametrize("kind", VALUES, ids=lambda kind: f"{kind.__module__}.{kind.__name__}")


@cache
def found() -> dict[type, list[Any]]:
    """A few instances of every class, met on the way through real values."""
    registry = discover()
    start: list[Any] = [registry.profile(id) for id in registry.names.entries]
    start += [*registry.rules, *registry.derived.values(), *registry.offers.values(), xmlcheck.Config(), xmlcheck.Choices()]
    for path in (DEMO, *EXPORTS):
        report, score = xmlcheck.check(path, registry=registry), xmlcheck.read(path)
        start += [report, score]
        views = [Chair(seat, ScoreFacts(score)) for part in score.parts for seat in seats(part, lambda _: False)]
        start += [view for chair in views for view in (chair.tones, chair.sonorities)]
    start += list(xmlcheck.check_paths([str(DEMO)]))
    start.append(xmlcheck.compare(str(DEMO), str(DEMO)))
    met: dict[type, list[Any]] = {}
    seen: set[int] = set()
    while start:
        item = start.pop()
        if id(item) in seen:
            continue
        seen.add(id(item))
        if isinstance(item, Mapping):
            start += item.values()
        elif isinstance(item, (tuple, list)):
            start += item
        elif is_dataclass(item) and not isinstance(item, type):
            kept = met.setdefault(type(item), [])
            if len(kept) < 5:
                kept.append(item)
            start += [getattr(item, field.name) for field in fields(item)]
    return met


def instances(kind: type) -> list[Any]:
    """Real instances, or one made of the plainest values of its types where none was met."""
    return found().get(kind) or [_made(kind)]


def _made(kind: type) -> Any:
    hints = get_type_hints(kind)
    needed = [item.name for item in fields(kind) if item.default is MISSING and item.default_factory is MISSING and item.init]
    return kind(**{name: _plainest(hints[name]) for name in needed})


def _plainest(hint: Any) -> Any:
    kinds = [arg for arg in (get_args(hint) or (hint,)) if arg is not type(None)]
    if type(None) in get_args(hint) or hint is Any:
        return None
    origin = getattr(hint, "__origin__", hint)
    if origin is tuple:
        return ()
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return {}
    kind = kinds[0]
    if isinstance(kind, type) and issubclass(kind, Enum):
        return next(iter(kind))
    if is_dataclass(kind) and isinstance(kind, type):
        return instances(kind)[0]
    return kind() if isinstance(kind, type) else kind


def test_every_class_has_an_instance_to_be_tried() -> None:
    assert [kind.__name__ for kind in VALUES if not instances(kind)] == []
    real = sum(kind in found() for kind in VALUES)
    assert real >= 0.7 * len(VALUES), f"{real} of {len(VALUES)} were met"


def test_what_is_no_value_is_known() -> None:
    plain = {kind.__name__ for kind in CLASSES if not is_dataclass(kind) and not issubclass(kind, (Enum, Exception))}
    assert plain - {"Placed", "Vouched"} == set(VIEWS)


@every_class
def test_it_says_what_it_is(kind: type) -> None:
    text = inspect.cleandoc(kind.__doc__ or "")
    assert not text.startswith(f"{kind.__name__}("), "the words are those that Python makes up"
    assert len(text.split()) >= 4, text


@pytest.mark.parametrize("kind", FACETS, ids=lambda kind: f"{kind.__module__}.{kind.__name__}")
def test_a_number_of_a_facet_says_what_it_counts(kind: type) -> None:
    """In the docstring by its name or by the words of its name, or by a unit in the name itself."""
    told = f"{kind.__doc__}"
    for name, hint in get_type_hints(kind).items():
        numeric = {int, float, Decimal} & set(_inner(hint)) and bool not in set(_inner(hint))
        if numeric and not UNITS.search(name) and not re.search(rf"\b{name}\b", told):
            pieces = name.split("_")
            assert len(pieces) > 1, f"{kind.__name__}.{name}"
            assert all(re.search(rf"\b{piece}\b", told) for piece in pieces), f"{kind.__name__}.{name}"


@every_value
def test_it_cannot_be_changed(kind: type) -> None:
    assert kind.__dataclass_params__.frozen  # type: ignore[attr-defined]
    one = instances(kind)[0]
    name = fields(kind)[0].name
    with pytest.raises(AttributeError):
        setattr(one, name, getattr(one, name))
    with pytest.raises((AttributeError, TypeError)):
        one.something_else = 1


@every_value
def test_it_is_equal_by_value(kind: type) -> None:
    for one in instances(kind):
        assert replace(one) == one
        assert one != object()
    different = instances(kind)
    for item in fields(kind):
        values = [getattr(one, item.name) for one in different]
        for one, value in zip(different, values, strict=True):
            other = next((text for text in values if text != value), None)
            if other is None or not item.init:
                continue
            with suppress(errors.BadPlugin):  # two values of a facet that do not go together
                assert replace(one, **{item.name: other}) != one, item.name


def holds_a_mapping(value: Any) -> bool:
    if isinstance(value, Mapping):
        return True
    if isinstance(value, tuple):
        return any(map(holds_a_mapping, value))
    return (
        is_dataclass(value)
        and not isinstance(value, type)
        and any(holds_a_mapping(getattr(value, item.name)) for item in fields(value))
    )


@every_value
def test_it_is_hashable_unless_it_holds_a_mapping(kind: type) -> None:
    for one in instances(kind):
        if holds_a_mapping(one):
            with pytest.raises(TypeError):
                hash(one)
        else:
            assert hash(one) == hash(replace(one))
            assert len({one, replace(one)}) == 1


@every_value
def test_it_goes_to_another_process_and_comes_back(kind: type) -> None:
    for one in instances(kind):
        for protocol in (2, pickle.HIGHEST_PROTOCOL):
            assert pickle.loads(pickle.dumps(one, protocol)) == one


@every_value
def test_it_is_shown_without_addresses(kind: type) -> None:
    for one in instances(kind):
        text = repr(one)
        assert text.startswith(f"{kind.__name__}(")
        assert kind.__name__ in FUNCTIONS or not ADDRESS.search(text), text[:300]


@pytest.mark.parametrize("kind", [kind for kind in CLASSES if issubclass(kind, Enum)], ids=lambda kind: kind.__name__)
def test_a_choice_stays_itself_across_processes(kind: type[Enum]) -> None:
    for one in kind:
        assert pickle.loads(pickle.dumps(one)) is one
        assert kind(one.value) is one


@pytest.mark.parametrize("kind", list(dict.fromkeys(public(errors))), ids=lambda kind: kind.__name__)
def test_an_error_keeps_its_sentence_across_processes(kind: type[Exception]) -> None:
    assert issubclass(kind, xmlcheck.XmlcheckError)
    back = pickle.loads(pickle.dumps(kind("cue.musicxml: bar 3 is missing.")))
    assert (type(back), str(back)) == (kind, "cue.musicxml: bar 3 is missing.")


# Names.


@pytest.mark.parametrize("module", [xmlcheck, plugin], ids=lambda module: module.__name__)
def test_what_is_exported_is_there_once_and_in_order(module: ModuleType) -> None:
    names = list(module.__all__)
    assert len(set(names)) == len(names)
    assert all(getattr(module, name, None) is not None for name in names)
    assert set(names) <= set(dir(module))
    with pytest.raises(AttributeError):
        module.no_such_name  # noqa: B018


def test_the_plugin_module_exports_all_that_it_brings() -> None:
    """What a plugin may import is one list: a name that was imported and not listed would be found by accident."""
    text = Path(plugin.__file__).read_text(encoding="utf-8")
    (typed,) = (node for node in ast.parse(text).body if isinstance(node, ast.If))
    brought = {name.asname or name.name for node in typed.body if isinstance(node, ast.ImportFrom) for name in node.names}
    assert brought == set(plugin.__all__) == set(plugin._HOME) <= set(dir(plugin))
    assert all(getattr(plugin, name) is not None for name in plugin.__all__), "every home has what it is said to have"
    with pytest.raises(AttributeError, match="no_such_name"):
        plugin.no_such_name  # noqa: B018


def test_every_name_that_the_documents_use_is_there() -> None:
    """Python in README.md, DEVELOPERS.md and the docstring of the package."""
    texts = [(ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md")] + [xmlcheck.__doc__ or ""]
    used = {name for text in texts for name in re.findall(r"\bxmlcheck\.(\w+)\(", text)}
    assert {"check", "annotate", "unmark"} <= used
    assert used <= set(xmlcheck.__all__)
    hinted = {
        name
        for text in texts
        for name in re.findall(r"\((?:chair|score|match): (\w+)|-> (\w+):", text)
        for name in name
        if name
    }
    assert hinted <= set(plugin.__all__)


def test_every_plugin_imports_what_is_exported() -> None:
    """The built-in plugins use the same door as everybody else's."""
    for path in sorted((ROOT / "plugins").rglob("*.py")):
        for names in re.findall(
            r"^from xmlcheck\.plugin import (?:\(([^)]*)\)|(.*))$", path.read_text(encoding="utf-8"), re.MULTILINE
        ):
            listed = {name.split(" as ")[0].strip() for name in "".join(names).replace("\n", " ").split(",")} - {""}
            assert listed <= set(plugin.__all__), path


# Findings as JSON.


@pytest.mark.parametrize("path", [DEMO, *EXPORTS], ids=lambda path: path.name)
def test_a_report_goes_through_json_and_comes_back_equal(path: Path) -> None:
    report = xmlcheck.check(path)
    assert finding.Report.from_dict(report.to_dict()).to_dict() == report.to_dict()
