"""The files that mutations start from: our own corpus, and the smaller of those that music21 bundles (test-only)."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from tests.corpus_files import SUFFIXES, music21_files

SMALL = 40_000
"""Bytes of a seed file, at most: so that a second is enough for many mutations."""
_CORPUS = Path(__file__).resolve().parents[2] / "corpus"


@cache
def seed_files() -> tuple[Path, ...]:
    """All of them, ours first, always in the same order."""
    ours = sorted(path for path in _CORPUS.rglob("*") if path.suffix in SUFFIXES)
    return tuple(path for path in (*ours, *music21_files()) if path.stat().st_size <= SMALL)
