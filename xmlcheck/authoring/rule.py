"""A new rule: its card with a blank for every word, cases to write from the sources, and an empty function."""

from __future__ import annotations

import keyword
import re
from collections.abc import Iterator
from pathlib import Path

from xmlcheck import schemas
from xmlcheck.authoring.blanks import LIST, TEXT
from xmlcheck.authoring.folders import beginnings, template, untaken
from xmlcheck.authoring.skeleton import OFF, remark
from xmlcheck.errors import BadPlugin
from xmlcheck.registry import Registry


def skeletons(id: str, folder: Path, registry: Registry) -> dict[Path, bytes]:
    """The files of a new rule, not yet written, by path. Raises BadPlugin where the id is odd or taken, or a file is there."""
    if not re.fullmatch(r"[a-z0-9-]+\.[a-z0-9-]+", id):
        raise BadPlugin(f"{id!r}: a rule is called area.slug, in small letters, figures and hyphens, such as compass.below.")
    taken = registry.rule(id)
    if taken is not None:
        raise BadPlugin(f"{taken.card.plugin} has a rule {id!r} already; give yours another name.")
    home = folder / "rules" / slug(id)
    function = slug(id.partition(".")[2])
    if not function.isidentifier() or keyword.iskeyword(function):
        function = f"find_{function}"
    texts = {
        home / "rule.toml": "\n".join(_card(id)) + "\n",
        home / "cases.toml": template("rule-cases", id=id),
        home / "rule.py": template("rule", id=id, function=function),
    }
    return untaken({**beginnings(folder), **texts})


def slug(id: str) -> str:
    """The name of a rule's folder, which Python imports."""
    return re.sub(r"[.-]", "_", id)


def _card(id: str) -> Iterator[str]:
    """The card's keys in the order of the schema, each under what it means; those that may be left out are switched off."""
    schema = schemas.load("rule-1")
    yield from remark(f"{schema['description']} Fill in every {TEXT}. A line that opens with # and no space may be left out.")
    yield 'schema = "rule-1"'
    yield f'id = "{id}"'
    for key, about in schema["properties"].items():
        if key in ("schema", "id", "sources"):
            continue
        choice = f" One of: {', '.join(about['enum'])}." if "enum" in about else ""
        yield from remark(f"{about['description']}{choice}")
        asked = key in schema["required"] or key == "cite"
        yield f"{'' if asked else OFF}{key} = {LIST if about.get('type') == 'array' else TEXT}"
    yield ""
    yield from remark(schema["properties"]["sources"]["description"])
    yield from ("[sources]", f"S1 = {TEXT}")
