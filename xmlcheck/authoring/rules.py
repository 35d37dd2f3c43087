"""Second look at the rules of a plugin folder: does its Python load, do the cards hold together, do the cases pass?"""

from __future__ import annotations

import sys
import traceback
from collections.abc import Iterator
from pathlib import Path

from xmlcheck.authoring.faults import Fault, at
from xmlcheck.authoring.texts import CASES, table
from xmlcheck.errors import BadPlugin
from xmlcheck.folder import FolderPlugin
from xmlcheck.registry import Registry
from xmlcheck.testing.cases import load
from xmlcheck.testing.trial import problems


def python(folder: Path) -> Iterator[Fault]:
    """Whether facets, derived values and rules can be imported, each told at the line that breaks."""
    home = folder.resolve()
    if str(home.parent) not in sys.path:
        sys.path.insert(0, str(home.parent))
    plugin = FolderPlugin(home, home.name, home.name)
    for hook in (plugin.xmlcheck_facets, plugin.xmlcheck_derived, plugin.xmlcheck_rules):
        try:
            hook()
        except Exception as error:  # the author's own Python may break in any way
            yield _broken(folder, error)


def card(path: Path, registry: Registry, others: Registry) -> Iterator[Fault]:
    """What is amiss with one rule's card, beyond its schema."""
    data = table(path)
    id = str(data["id"])
    taken = others.rule(id)
    if taken is not None:
        yield at(path, ("id",), f"{taken.card.plugin} has a rule {id!r} already; give this one another id.")
        return
    for key in data.get("cite", ()):
        if key not in data.get("sources", {}):
            yield at(path, ("cite",), f"cites {key!r}, which [sources] does not list.")
    for other in data.get("explains", ()):
        if registry.rule(other) is None:
            yield at(path, ("explains",), f"explains {other!r}, a rule that no installed plugin brings.")
    rule = registry.rule(id)
    if rule is not None and not rule.check.__doc__:
        line = rule.check.__code__.co_firstlineno
        yield Fault(path.with_name("rule.py"), line, "the function says in its docstring what one hit is; it says nothing.")
    beside = path.with_name(CASES)
    kinds = set(table(beside)) if beside.is_file() else set()
    for kind, meaning in (("pass", "in which the rule keeps silent"), ("fail", "in which it finds something")):
        if kind not in kinds:
            yield Fault(beside, 1, f"a rule has at least one case {meaning} ([[{kind}]]).")


def cases(path: Path, registry: Registry) -> Iterator[Fault]:
    """The cases of one file that do not hold."""
    try:
        loaded = load(path)
    except BadPlugin as error:
        yield Fault(path, 1, str(error))
        return
    data = table(path)
    places = {item["name"]: (kind, number) for kind in ("pass", "fail") for number, item in enumerate(data.get(kind, ()))}
    for case in loaded:
        wrong = problems(case, registry)
        if wrong:
            yield at(path, places[case.name], "\n".join([f"case {case.name!r} does not hold.", *wrong]))


def _broken(folder: Path, error: Exception) -> Fault:
    """The fault at the last line of the folder's own that an error passed through."""
    says = f"{type(error).__name__}: {error}"
    if isinstance(error, SyntaxError) and error.filename:
        return Fault(_shown(folder, Path(error.filename)), error.lineno or 1, says)
    home = folder.resolve()
    for frame in reversed(traceback.extract_tb(error.__traceback__)):
        if home in Path(frame.filename).resolve().parents:
            return Fault(_shown(folder, Path(frame.filename)), frame.lineno or 1, says)
    return Fault(folder, 1, says)


def _shown(folder: Path, file: Path) -> Path:
    """The file under the folder as the user named it."""
    home, file = folder.resolve(), file.resolve()
    return folder / file.relative_to(home) if home in file.parents else file
