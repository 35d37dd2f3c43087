"""The published JSON schemas (draft 2020-12): where they are, and what a document says against one. Imports jsonschema on use.

Our own outputs are proved against them in tests; at run time only documents from outside are validated.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError

ENDING = ".schema.json"
MOST = 20
"""Error sentences given for one document."""


def names() -> tuple[str, ...]:
    """The names of all schemas, such as `findings-1`, sorted."""
    return tuple(sorted(file.name.removesuffix(ENDING) for file in _folder().iterdir() if file.name.endswith(ENDING)))


def load(name: str) -> dict[str, Any]:
    """The schema of this name. Raises KeyError, naming those there are."""
    file = _folder() / f"{name}{ENDING}"
    if name not in names():
        raise KeyError(f"no schema {name!r}; there are {', '.join(names())}")
    loaded: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return loaded


def validate(name: str, data: Any) -> list[str]:
    """What is wrong with a document, one sentence each with its JSON path, in document order; empty where it is valid.

    At most `MOST` sentences. Raises KeyError where no schema has this name.
    """
    errors = sorted(_validator(name).iter_errors(data), key=lambda error: [str(step) for step in error.absolute_path])
    told = [f"{error.json_path}: {_sentence(error)}" for top in errors for error in _leaves(top)]
    return list(dict.fromkeys(told))[:MOST]


def _leaves(error: ValidationError) -> Iterator[ValidationError]:
    """The causes of an error: of the alternatives of an `anyOf`, those of the one that the value is meant to be."""
    branches: dict[Any, list[ValidationError]] = {}
    for item in error.context or ():
        branches.setdefault(item.schema_path[0], []).append(item)
    meant = [items for items in branches.values() if not any(_other_kind(item) for item in items)]
    if len(meant) != 1:
        yield error
        return
    for item in meant[0]:
        yield from _leaves(item)


def _other_kind(error: ValidationError) -> bool:
    """Whether the whole value is of another kind than this alternative asks for."""
    return not error.relative_path and error.validator in ("type", "const", "enum")


def _sentence(error: ValidationError) -> str:
    text = str(error.message)
    return f"{text if len(text) <= 300 else text[:140] + ' … ' + text[-140:]}."


@cache
def _validator(name: str) -> Any:
    from jsonschema import Draft202012Validator

    return Draft202012Validator(load(name))


@cache
def _folder() -> Traversable:
    """In an installed wheel inside the package; in an editable install in the checkout above it."""
    inside = files("xmlcheck") / "schemas"
    if inside.is_dir():
        return inside
    return Path(__file__).resolve().parent.parent / "schemas"
