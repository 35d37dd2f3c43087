"""Small folders of score and parts in the tiny notation."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from xmlcheck.handing.answer import handoff
from xmlcheck.handing.values import Handoff
from xmlcheck.testing.mini import Part, score

UPPER = "tempo=90 <p> C5.q D5 E5 F5 | G5.h E5 | D5.q E5 F5 D5 | C5.w"
LOWER = "<p> clef=bass C3.h G3 | E3.h C3 | G3.h G2 | C3.w"
TIMED = "tempo=90 "

Files = Mapping[str, bytes | str]


def two(upper: str = UPPER, lower: str = LOWER, **more: str) -> bytes:
    """A score of two lines."""
    return score([Part(upper, name="Oboe"), Part(lower, name="Bassoon")], title="Even Keel", **more)


def alone(notes: str, name: str, **more: str) -> bytes:
    """A part."""
    return score(Part(notes, name=name), title="Even Keel", **more)


@pytest.fixture
def answered(tmp_path: Path) -> Callable[..., Handoff]:
    """Writes files into a folder and answers."""

    def run(files: Files, **options: object) -> Handoff:
        for name, data in files.items():
            path = tmp_path / "folder" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data if isinstance(data, bytes) else data.encode())
        return handoff(tmp_path / "folder", **options)  # type: ignore[arg-type]

    return run


def kinds(answer: Handoff) -> list[str]:
    return [item.kind for item in answer.disagreements]
