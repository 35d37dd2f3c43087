"""Memory: the peak grows by no more than SHARE times the input's size and CONSTANT, in a child process on Linux.

CONSTANT is what does not grow with the input: rules, profiles and tables that are loaded when an instrument is first met. A score of
one note measured 4.6 to 5.3 MB (31 instruments); three such instruments and the allocator's own steps make 16 MiB.
"""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path

import pytest

from tests.corpus_files import music21_files
from tests.fuzz.bounds import peak_growth
from tests.fuzz.kinds import KINDS
from tests.fuzz.pen import Pen
from tests.fuzz.properties import check, size
from xmlcheck.errors import XmlcheckError
from xmlcheck.testing import score as mini

pytestmark = pytest.mark.skipif(not Path("/proc/self/clear_refs").exists() or sys.platform != "linux", reason="needs /proc")

SHARE, CONSTANT = 20, 16 << 20


def _checked(data: bytes) -> None:
    with suppress(XmlcheckError):
        check(data)


def _growth(data: bytes) -> int:
    check(mini("C5.q D5 E5 F5"))
    return peak_growth(lambda: _checked(data))


def test_a_growth_is_measured() -> None:
    assert peak_growth(lambda: bytearray(64 << 20)) > 60 << 20
    assert peak_growth(lambda: None) < 4 << 20


def test_a_score_of_one_note_takes_less_than_the_constant() -> None:
    assert 0 < _growth(mini("C5.q")) < CONSTANT


@pytest.mark.parametrize("count", [6, pytest.param(150, marks=pytest.mark.long)])
def test_written_and_spoilt_inputs_keep_to_the_bound(count: int) -> None:
    kinds = tuple(KINDS.values())
    for number in range(count):
        _, data = kinds[number % len(kinds)](Pen.seeded(f"memory/{number}"))
        assert _growth(data) <= SHARE * size(data) + CONSTANT, number


@pytest.mark.parametrize("place", [-1, *(pytest.param(-number, marks=pytest.mark.long) for number in range(2, 9))])
def test_the_largest_corpus_files_keep_to_the_bound(place: int) -> None:
    """Of about a megabyte each, so that the constant weighs little."""
    largest = sorted((path for path in music21_files() if path.suffix != ".mxl"), key=lambda path: path.stat().st_size)
    data = largest[place].read_bytes()
    assert _growth(data) <= SHARE * len(data) + CONSTANT
