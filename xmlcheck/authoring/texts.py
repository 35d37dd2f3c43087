"""First look at a plugin folder: is every TOML file readable, filled in, and what its published schema says?"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator
from itertools import takewhile
from pathlib import Path
from typing import Any

from xmlcheck import schemas
from xmlcheck.authoring.blanks import BLANK, blanks, told
from xmlcheck.authoring.blanks import Path as Way
from xmlcheck.authoring.faults import Fault, at
from xmlcheck.authoring.folders import PLUGIN
from xmlcheck.authoring.lines import broken_at, line_of, path_of
from xmlcheck.authoring.rule import slug
from xmlcheck.folder import KNOWN

CASES = "cases.toml"
MOST = 12
"""Lines with blanks that are told one by one, of one file."""

_PLAIN = (
    (r"^Additional properties are not allowed \((.*?) (?:was|were) unexpected\)", r"there is no key \1 here"),
    (r"^(.+) is a required property", r"the key \1 is missing"),
    (r"does not match '\^\[A-G\]\(#.*'", "is no pitch such as Bb3, F#5 or E4-50c (middle C is C4)"),
    (r"does not match '(.*)'", r"has another form than it must (\1)"),
    (r"is not of type 'string'", "is not a text in quotes"),
    (r"is not of type '(integer|number)'", "is not a number (without quotes)"),
    (r"is not of type 'boolean'", "is neither true nor false (without quotes)"),
    (r"is not of type 'array'", "is not a list in brackets"),
    (r"is not of type 'object'", "is not a table"),
    (r"is not one of \[(.*)\]", r"is not one of \1"),
)
"""What the validator says, and the same in plain words."""


def documents(folder: Path) -> list[tuple[Path, str]]:
    """The TOML files of a plugin folder that have a published schema, each with its name."""
    listed = [(folder / PLUGIN, "plugin-1")]
    listed += [(folder / KNOWN, "known-1")]
    listed += [(path, "profile-1") for path in sorted((folder / "profiles").glob("*.toml"))]
    listed += [(path, "rule-1") for path in sorted((folder / "rules").glob("*/rule.toml"))]
    listed += [(path, "cases-1") for path in case_files(folder)]
    return [(path, schema) for path, schema in listed if path.is_file()]


def case_files(folder: Path) -> list[Path]:
    """The cases of the rules and of the instruments."""
    return sorted({*(folder / "rules").glob(f"*/{CASES}"), *(folder / "cases").rglob(CASES)})


def table(path: Path) -> dict[str, Any]:
    """The tables of a file that was looked at before."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


def faults(folder: Path) -> Iterator[Fault]:
    """What is amiss in the files as such."""
    for path, schema in documents(folder):
        yield from _document(path, schema)
    for path in sorted((folder / "rules").glob("*/rule.py")):
        yield from _unwritten(path)


def _document(path: Path, schema: str) -> Iterator[Fault]:
    try:
        text = path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        yield Fault(path, 1, f"cannot be read as UTF-8 text ({error}).")
        return
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        yield Fault(path, broken_at(text, error), f"not TOML ({error}).")
        return
    empty = _by_line(text, blanks(data))
    for line, ways in list(empty.items())[:MOST]:
        common = _common(ways)
        yield Fault(path, line, f'{told(common)}: still to be filled in (it says "{BLANK}").')
    if len(empty) > MOST:
        yield Fault(path, list(empty)[MOST], f"and {len(empty) - MOST} more lines from here on are still to be filled in.")
    if not empty:
        yield from (at(path, path_of(fault), plain(fault)) for fault in schemas.validate(schema, data))
        yield from _named(path, schema, data)


def plain(fault: str) -> str:
    """A sentence of the schema's validator in words for people who write no schemas."""
    way = path_of(fault)
    says = re.sub(r"^\$\S*: ", "", fault)
    for pattern, words in _PLAIN:
        says = re.sub(pattern, words, says)
    return f"{told(way)}: {says}" if way else says[:1].upper() + says[1:]


def _common(ways: list[Way]) -> Way:
    """How far the ways are one: to their leaf where there is one alone."""
    alike = takewhile(lambda steps: len(set(steps)) == 1, zip(*ways, strict=False))
    return tuple(steps[0] for steps in alike)


def _by_line(text: str, ways: Iterable[Way]) -> dict[int, list[Way]]:
    """The ways to blanks by the line on which they stand, in order."""
    found: dict[int, list[Way]] = {}
    for way in ways:
        found.setdefault(line_of(text, way), []).append(way)
    return dict(sorted(found.items()))


def _named(path: Path, schema: str, data: dict[str, Any]) -> Iterator[Fault]:
    """Whether a file stands where its own name says."""
    named, asked = {
        "plugin-1": ("name", path.parent.resolve().name),
        "profile-1": ("id", path.stem),
        "rule-1": ("id", path.parent.name),
    }.get(schema, ("", ""))
    given = str(data.get(named, asked))
    if named and (slug(given) if schema == "rule-1" else given) != asked:
        stands = "the folder" if schema != "profile-1" else "the file"
        yield at(path, (named,), f"{named} is {given!r}, and {stands} is called {asked!r}: the two go together.")


def _unwritten(path: Path) -> Iterator[Fault]:
    for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1):
        if f'"""{BLANK}' in line:
            yield Fault(path, number, f'still to be written (it says "{BLANK}").')
