"""A part of the tiny notation as the plugin sees it: the chair's uses, statements and plans, and the report of a whole check."""

from __future__ import annotations

from functools import cache
from typing import Any, TypeVar

from xmlcheck.chairs import seats
from xmlcheck.checking import check_source
from xmlcheck.checking.ask import Desk
from xmlcheck.config import Config
from xmlcheck.document import parse
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.finding import Report
from xmlcheck.identify import identify
from xmlcheck.reader import read
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini

T = TypeVar("T")


@cache
def installed() -> Registry:
    return discover()


def score(notes: str, heading: str) -> bytes:
    return mini.score([mini.Part(notes, heading)])


def report(notes: str, heading: str, **settings: Any) -> Report:
    """What a check says about one part."""
    return check_source(from_bytes(score(notes, heading), "test.musicxml"), installed(), Config(**settings))


def desk(notes: str, heading: str) -> Desk:
    """The chair of one part, its instrument recognised by its heading, and what can be asked about it."""
    facts = ScoreFacts(read(parse(from_bytes(score(notes, heading), "test.musicxml"))))
    part = facts.score.parts[0]
    seat = seats(part, lambda text: False)[0]
    match = identify(part, seat.instrument, installed().names, {})
    assert match.profile is not None, heading
    chair = Chair(seat, facts)
    facts.chairs = (chair,)
    return Desk(chair, match, installed().profile(match.profile), installed().derived)


def derived(notes: str, heading: str, kind: type[T]) -> T:
    """A derived value of one part."""
    found = desk(notes, heading)._find(kind)
    assert isinstance(found, kind)
    return found
