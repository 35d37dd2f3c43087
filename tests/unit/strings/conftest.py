"""Boards of some instruments, built from their profiles."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from xmlcheck.pitch import parse
from xmlcheck.registry import discover
from xmlcheck_strings.board import Board
from xmlcheck_strings.facets import Fingerboard, Hand, Strings
from xmlcheck_strings.stringing import board

BoardOf = Callable[..., Board]


@pytest.fixture(scope="session")
def board_of() -> BoardOf:
    """The board of a profile, in its usual tuning or in the one given by pitch names."""
    registry = discover()

    def make(profile: str, *tuning: str) -> Board:
        found = registry.profile(profile)
        strings = found.get(Strings)
        assert strings is not None
        pitches = [parse(name) for name in tuning] or [course.pitch for course in strings.courses]
        return board(strings, found.get(Fingerboard), found.get(Hand), pitches)

    return make
