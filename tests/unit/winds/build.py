"""A chair out of one line of the tiny notation."""

from __future__ import annotations

from xmlcheck.chairs import seats
from xmlcheck.document import parse
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini


def chair(notes: str) -> Chair:
    score = read(parse(from_bytes(mini.score([mini.Part(notes, "P")]), "t")))
    return Chair(seats(score.parts[0], lambda _: False)[0], ScoreFacts(score))
