"""Parts that cannot be told apart by their headings."""

from __future__ import annotations

from collections import defaultdict

from xmlcheck.plugin import Hit, Hits, Part, ScoreFacts, folded, rule
from xmlcheck_export.names import generic, heading, not_played


@rule
def part_same_name(score: ScoreFacts) -> Hits:
    """One hit a name that several parts have, at the first of them.

    A pair under different clefs next to each other is one instrument on two staves; generic names are another rule's business.
    """
    named: dict[str, list[Part]] = defaultdict(list)
    for part in score.score.parts:
        name = heading(part)
        if part.notes and not generic(name) and not not_played(name):
            named[folded(name)].append(part)
    order = {part.id: index for index, part in enumerate(score.score.parts)}
    for parts in named.values():
        if len(parts) < 2 or _staves_of_one(parts, order):
            continue
        yield Hit(values={"heading": heading(parts[0]), "count_parts": len(parts)}, part=parts[0].id)


def _staves_of_one(parts: list[Part], order: dict[str, int]) -> bool:
    clefs = [next((clef.sign for clef in part.clefs), "G") for part in parts]
    ids = [order[part.id] for part in parts]
    return len(set(clefs)) == len(parts) and ids == list(range(ids[0], ids[0] + len(ids)))
