"""Facets refuse what makes no sense, and say which table and key."""

from __future__ import annotations

from typing import Any

import pytest

from xmlcheck.errors import BadPlugin
from xmlcheck.profile import record
from xmlcheck_zither.facets import Levers, Pedals, Retuning, StringSet


def cited(value: Any) -> dict[str, Any]:
    return {"value": value, "cite": ["M"], "certainty": "memory"}


def tuning(id: str, *pitches: str, usual: bool = False) -> dict[str, Any]:
    return {"id": id, "title": id, "pitches": list(pitches), "usual": usual, "cite": ["M"]}


@pytest.mark.parametrize(
    ("kind", "table", "told"),
    [
        (StringSet, {"counted": cited("1 is low"), "tunings": [tuning("a", "D4")]}, "exactly one of the tunings"),
        (
            StringSet,
            {"counted": cited("x"), "tunings": [tuning("a", "D4", usual=True), tuning("b", "D4", "E4")]},
            "a pitch for each",
        ),
        (StringSet, {"counted": cited("x"), "naming": cited("colours"), "tunings": [tuning("a", "D4", usual=True)]}, "naming"),
        (Retuning, {"kind": cited("pedal"), "up": cited(1), "down": cited(1), "in_cue": cited(True)}, "kind"),
        (
            Retuning,
            {"kind": cited("peg"), "up": cited(1), "down": cited(1), "in_cue": cited(True), "hand": cited("foot")},
            "hand",
        ),
        (Levers, {"hand": cited("left")}, "either rise"),
        (Levers, {"hand": cited("left"), "steps": [{"letters": "H", "cents": [0], "cite": ["M"]}]}, "letters"),
        (Pedals, {"positions": cited([-1, 0, 1]), "left": cited("DCB"), "right": cited("EFG")}, "seven letters"),
    ],
    ids=lambda item: item.__name__ if isinstance(item, type) else "",
)
def test_a_faulty_table_is_refused(kind: type, table: dict[str, Any], told: str) -> None:
    with pytest.raises(BadPlugin, match=told):
        record(kind, table, "test.toml")


def test_the_usual_tuning_is_found() -> None:
    strings = record(
        StringSet, {"counted": cited("x"), "tunings": [tuning("a", "D4"), tuning("b", "E4", usual=True)]}, "test.toml"
    )
    assert strings.usual.id == "b"
    assert not strings.by_letter
