"""Four times the signs take four times the steps: no rule looks along the whole part for each note, sign or chair.

Counted are the lines of Python that a check runs, each turn of a loop or comprehension anew: the same on every machine. Work that
grows with the square would take sixteen times the steps. There is nothing outside the project to check against (the bound is ours).
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import FrameType
from typing import Any

import pytest

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.registry import Registry, discover
from xmlcheck.source import Source, from_bytes, original

TIMES, MOST = 4, 4.1
"""How many times larger the larger score is, and how many times the steps its check may take: with what every check does but once,
it is somewhat under four."""

NOTE = (
    "<note><pitch><step>A</step><octave>4</octave></pitch><duration>4</duration>{}<voice>1</voice><type>quarter</type></note>"
)
PLAIN = NOTE.format("")


def words(one: str, other: str) -> Callable[[int], str]:
    """Two texts in turn, a note after each."""
    text = "<direction><direction-type><words>{}</words></direction-type></direction>" + PLAIN
    return lambda n: text.format((one, other)[n % 2])


def attribute(text: str, different: int) -> Callable[[int], str]:
    """An attribute with one of so many numbers, a note after each."""
    return lambda n: f"<attributes>{text.format(n % different + 1)}</attributes>{PLAIN}"


GROWN: dict[str, tuple[int, Callable[[int], str]]] = {
    "changes of instrument": (60, words("to Viola", "to Violin")),
    "instruments": (60, lambda n: NOTE.format(f'<instrument id="I{n}"/>')),
    "plucked and bowed": (150, words("pizz.", "arco")),
    "mutes": (150, words("con sord.", "senza sord.")),
    "transpositions": (150, attribute("<transpose><chromatic>{}</chromatic></transpose>", 5)),
    "divisions": (150, attribute("<divisions>{}</divisions>", 97)),
    "keys": (150, attribute("<key><fifths>{}</fifths></key>", 6)),
}
"""How many in the smaller score, and what each of them looks like."""


def score(kind: str, count: int) -> Source:
    """A violin part of one bar with so many of them."""
    instruments = "".join(
        f'<score-instrument id="I{n}"><instrument-name>Violin</instrument-name></score-instrument>'
        for n in range(count if kind == "instruments" else 1)
    )
    _, element = GROWN[kind]
    text = (
        f'<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Violin</part-name>{instruments}</score-part>'
        '</part-list><part id="P1"><measure number="1"><attributes><divisions>4</divisions></attributes>'
        f"{''.join(map(element, range(count)))}</measure></part></score-partwise>"
    )
    return original(from_bytes(text.encode(), "grown.musicxml"))


def steps(source: Source, registry: Registry) -> int:
    """The lines of Python that one check runs."""
    count = 0

    def counted(frame: FrameType, event: str, argument: Any) -> Any:
        nonlocal count
        count += event == "line"
        return counted

    before = sys.gettrace()
    sys.settrace(counted)
    try:
        report = check_source(source, registry, Config())
    finally:
        sys.settrace(before)
    assert not any(" failed on " in notice for notice in report.notices)  # a rule that fails is quick
    return count


@pytest.fixture(scope="module")
def registry() -> Registry:
    """All plugins."""
    return discover()


@pytest.mark.parametrize("kind", GROWN)
def test_four_times_as_many_take_four_times_the_steps(kind: str, registry: Registry) -> None:
    few, _ = GROWN[kind]
    once, more = score(kind, few), score(kind, TIMES * few)
    check_source(more, registry, Config())  # what is kept for good (profiles, texts once read) is no part of either
    small, large = steps(once, registry), steps(more, registry)
    assert large < MOST * small, f"{few} {kind}: {small} steps, {TIMES * few}: {large}, {large / small:.2f} times"
