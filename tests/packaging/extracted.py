"""Run by its path in a bare Python: what a set of installed plugins makes of the cases of one of them. Prints JSON.

    python -S extracted.py PLUGIN [CASES FILE AND NAME]...

Without names: all cases whose instruments are installed, and the others told. With names: these.
"""

from __future__ import annotations

import importlib
import json
import sys
from pathlib import Path

from xmlcheck.registry import discover
from xmlcheck.testing.cases import Case, load
from xmlcheck.testing.trial import problems


def needs(case: Case) -> list[str]:
    """The instruments that a case names; where its heading decides, the heading in quotes."""
    found = list(case.instruments().values())
    if isinstance(case.profile, str) and not case.recognise:
        found.append(case.profile)
    if case.recognise or case.file:
        found.append(f'"{case.heading}"')
    own = None if isinstance(case.profile, str) or case.profile is None else case.profile["id"]
    return sorted({id for id in found if id != own})


def main(plugin: str, *wanted: str) -> None:
    registry = discover()
    home = Path(next(iter(importlib.import_module(plugin).__path__)))
    own = [id for id, offer in registry.offers.items() if offer.entry.plugin == plugin]
    for id in own:
        registry.profile(id)
    wrong, ran, left = {}, 0, {}
    for path in sorted(home.rglob("cases.toml")):
        for case in load(path):
            name = f"{path.relative_to(home).as_posix()}: {case.name}"
            absent = [id for id in needs(case) if id not in registry.offers]
            if name not in wanted if wanted else absent:
                left[name] = absent
                continue
            ran += 1
            faults = problems(case, registry)
            if faults:
                wrong[name] = {"rule": case.rule, "faults": faults}
    origins = sorted(
        {str(module.__file__) for name, module in sys.modules.items() if name.startswith("xmlcheck") and module.__file__}
    )
    answer = {
        "plugins": [item.name for item in registry.plugins],
        "notices": list(registry.notices),
        "rules": [rule.id for rule in registry.rules if rule.card.plugin == plugin],
        "profiles": own,
        "ran": ran,
        "wrong": wrong,
        "left": left,
        "origins": origins,
    }
    print(json.dumps(answer))


if __name__ == "__main__":
    main(*sys.argv[1:])
