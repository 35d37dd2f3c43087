"""Test cases as data: `cases.toml` beside a rule, so that a plugin's test-suite needs no Python.

    schema = "cases-1"
    rule = "compass.below"
    profile = "house-instrument"        # an id, or a whole profile as a table

    [[pass]]                        # the rule finds nothing
    name = "the lowest open string"
    notes = "D3.w"                  # the tiny notation of xmlcheck.testing.mini; or parts = [{ name, notes, … }]; or file

    [[fail]]
    name = "a semitone under it"
    notes = "r.q C#3 r.h"
    expect = [{ at = "1:2", grade = "halt", lowest = "D3" }]

An expectation is one finding of this rule, in order of part and place; a case lists them all. Compared is what it names and
nothing else: `at` (bar:beat, "2:3+1/2"), `to_bar`, `part` (id), `grade`, `certainty`, `count`, `also`; all other keys are
values of the hit. A number is compared to as many decimals as the expectation writes. All keys: schemas/cases-1.schema.json.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from xmlcheck import schemas
from xmlcheck.config import Config
from xmlcheck.config import parse as parse_config
from xmlcheck.errors import BadPlugin
from xmlcheck.folder import offer
from xmlcheck.identify import Entry, Names
from xmlcheck.registry import Registry
from xmlcheck.testing import mini

SCHEMA = "cases-1"
OWN = ("at", "to_bar", "part", "grade", "certainty", "count", "also")
"""Keys of an expectation that speak of the finding; all others are values of the hit."""
UNNAMED = "Music"
"""The name of a part that is given none: no instrument's."""
_SHARED = ("profile", "heading", "recognise", "settings", "config", "given")


@dataclass(frozen=True, slots=True)
class Case:
    """One case. expect: None for a pass case. asked: whether the rule must have been asked of a chair at all.

    profile: id, or the tables of a whole profile, or None. heading: name of the part given by `notes`.
    """

    name: str
    rule: str
    path: Path
    expect: tuple[Mapping[str, Any], ...] | None
    notes: str = ""
    parts: tuple[Mapping[str, Any], ...] = ()
    file: str = ""
    title: str = ""
    header: str = ""
    profile: str | Mapping[str, Any] | None = None
    heading: str = UNNAMED
    recognise: bool = False
    asked: bool = True
    settings: Mapping[str, Any] = field(default_factory=dict)
    config: Mapping[str, Any] = field(default_factory=dict)
    given: Mapping[str, str] = field(default_factory=dict)

    @property
    def told(self) -> str:
        """What is checked, for people."""
        if self.file:
            return f"the file {self.file}"
        parts = self.parts or ({"name": self.heading, "notes": self.notes},)
        return "\n".join(f"{part.get('name', UNNAMED)}: {part['notes']}".removeprefix(f"{UNNAMED}: ") for part in parts)

    def data(self) -> bytes:
        """The MusicXML bytes. Raises mini.MiniError, or BadPlugin where the file is missing."""
        if self.file:
            try:
                return (self.path.parent / self.file).read_bytes()
            except OSError as error:
                raise BadPlugin(f"{self.path}: case {self.name!r}: {self.file}: {error.strerror}.") from error
        own = [{key: value for key, value in part.items() if key != "profile"} for part in self.parts]
        parts = [mini.part(table) for table in own] or [mini.Part(self.notes, self.heading)]
        return mini.score(parts, title=self.title, header=self.header)

    def instruments(self) -> dict[str, str]:
        """Part id to profile id, as a user would give it on the command line; empty where the part's name decides."""
        if self.recognise:
            return dict(self.given)
        found = {}
        for number, part in enumerate(self.parts or ({},), 1):
            own = part.get("profile", self.profile)
            if own is not None and not self.file:
                found[str(part.get("id", f"P{number}"))] = own if isinstance(own, str) else str(own["id"])
        return found | dict(self.given)

    def registry(self, installed: Registry) -> Registry:
        """The registry, with the case's own profile where it brings one."""
        if not isinstance(self.profile, Mapping):
            return installed
        text = _toml({"schema": "profile-1", **self.profile})
        item = offer(_Text(f"{self.profile['id']}.toml", text), "cases")  # type: ignore[arg-type] # read by name and text only
        entries: list[Entry] = [*installed.names.entries.values(), item.entry]
        offers = {**installed.offers, item.entry.id: item}
        return replace(installed, offers=offers, names=Names(entries, installed.names.known))

    def configuration(self) -> Config:
        """The configuration of the run: `config` as an xmlcheck.toml would say it, and `settings` for this rule."""
        table = dict(self.config)
        if self.settings:
            table["settings"] = {**table.get("settings", {}), self.rule: dict(self.settings)}
        return parse_config(_toml(table), self.path)


@dataclass(frozen=True, slots=True)
class _Text:
    """A text that is read as a file is."""

    name: str
    text: str

    def read_text(self, encoding: str = "utf-8") -> str:
        return self.text


def is_cases(text: str) -> bool:
    """Whether a text is a cases file of this format; a text that is no TOML is one where it names the format."""
    if SCHEMA not in text:
        return False
    try:
        return tomllib.loads(text).get("schema") == SCHEMA
    except tomllib.TOMLDecodeError:
        return True


def load(path: Path) -> tuple[Case, ...]:
    """The cases of a file, pass cases first. Raises BadPlugin, naming the file and what is wrong in it."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadPlugin(f"{path}: not a cases file ({error}).") from error
    faults = schemas.validate(SCHEMA, table)
    if faults:
        raise BadPlugin(f"{path}: {faults[0]}")
    shared = {key: table[key] for key in _SHARED if key in table}
    cases = []
    for kind in ("pass", "fail"):
        for item in table.get(kind, ()):
            values: dict[str, Any] = {
                key: tuple(value) if isinstance(value, list) else value for key, value in {**shared, **item}.items()
            }
            values.pop("why", None)
            expect = values.pop("expect", ()) if kind == "fail" else None
            cases.append(Case(**values, rule=table["rule"], path=path, expect=expect))
    names = [case.name for case in cases]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise BadPlugin(f"{path}: two cases are called {twice!r}.")
    return tuple(cases)


def _toml(table: Mapping[str, Any]) -> str:
    """Plain tables as TOML text: one line a key, inner tables inline."""
    return "".join(f"{json.dumps(key)} = {_inline(value)}\n" for key, value in table.items())


def _inline(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{json.dumps(key)} = {_inline(item)}" for key, item in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_inline, value)) + "]"
    return json.dumps(value)
