"""The core knows no instrument: no profile id, name or alias of a built-in plugin stands in its source.

Looked at are identifiers and all literals, docstrings included, as folded words; a name of several words is found as a phrase.
"""

from __future__ import annotations

import ast
import re
import tomllib
import unicodedata
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CORE = sorted((ROOT / "xmlcheck").rglob("*.py"))
PLAIN = {
    "alto": "a clef, and a word for a high octave in the names of keys",
    "bass": "a clef, and the lowest note of a chord",
    "basso": "a word for a low octave in the names of keys",
    "def": "the keyword of Python, quoted in an example",
    "harp": "in harp-pedals, an element of the standard",
    "percussion": "a clef sign of the standard",
    "so": "an English word",
    "tenor": "a clef",
    "管": "a word for a key in Japanese and Chinese headings",
    "ut": "the French name of the note C",
}
"""Words that are an instrument's name in some language and a plain word here. Each with its reason."""
MOST_WORDS = 8  # of a name


def words(text: str) -> list[str]:
    """Folded words: no accents (canonical ones only: a ligature is not its letters), no case, no punctuation."""
    plain = unicodedata.normalize("NFD", text)
    plain = "".join(c for c in plain if not unicodedata.combining(c) or "\u3040" <= c <= "\u30ff")
    return re.findall(r"[^\W_]+", unicodedata.normalize("NFC", plain).casefold())


@cache
def names() -> dict[str, str]:
    """Every name of every built-in profile as folded words, to its profile."""
    found: dict[str, str] = {}
    for file in sorted((ROOT / "plugins").glob("*/profiles/*.toml")):
        table = tomllib.loads(file.read_text(encoding="utf-8"))
        for name in (table["id"], *table.get("names", {}).values(), *table.get("aliases", ())):
            found.setdefault(" ".join(words(name)), table["id"])
    return found


def texts(source: str) -> Iterator[tuple[int, str]]:
    """Line and text of every identifier and literal of a module."""
    for node in ast.walk(ast.parse(source)):
        line = getattr(node, "lineno", 0)
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield line, node.value
        for field in ("id", "name", "attr", "arg", "asname", "module"):
            value = getattr(node, field, None)
            if isinstance(value, str):
                yield line, value


def named(source: str) -> list[tuple[int, str, str]]:
    """Line, name and profile of every instrument that a module names."""
    found = []
    for line, text in texts(source):
        run = words(text)
        for start in range(len(run)):
            for end in range(start + 1, min(start + MOST_WORDS, len(run)) + 1):
                name = " ".join(run[start:end])
                if name in names() and name not in PLAIN:
                    found.append((line, name, names()[name]))
    return sorted(set(found))


def test_there_are_names_to_look_for() -> None:
    assert len(names()) > 100
    assert max(len(name.split()) for name in names()) <= MOST_WORDS


@pytest.mark.parametrize("file", CORE, ids=lambda file: file.relative_to(ROOT).as_posix())
def test_the_core_names_no_instrument(file: Path) -> None:
    assert named(file.read_text(encoding="utf-8")) == []


def test_a_name_is_seen_wherever_it_stands() -> None:
    id = next(id for id in sorted(set(names().values())) if id in names())
    title = id.title().replace("-", " ")
    for source in (
        f"x = {id!r}",
        f'"""Of the {title}."""',
        f"class My_{id.replace('-', '_')}_thing: pass",
        f"f(y='a {title}, b')",
    ):
        assert [profile for _, _, profile in named(source)] == [id], source


def test_every_plain_word_has_its_reason() -> None:
    """A word that no profile has, or that stands nowhere in the core, is struck from the list."""
    used = {word for file in CORE for _, text in texts(file.read_text(encoding="utf-8")) for word in words(text)}
    assert [word for word in PLAIN if word not in names() or word not in used] == []
