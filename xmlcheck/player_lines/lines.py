"""All lines of a player's copy but the plans', in the order in which they stand before a note."""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.finding import Report
from xmlcheck.model import Score
from xmlcheck.player_lines.degrees import degree_lines
from xmlcheck.player_lines.heads import head_lines, size_line
from xmlcheck.player_lines.line import Line, heard
from xmlcheck.player_lines.strings import string_lines
from xmlcheck.player_lines.terms import term_lines
from xmlcheck.player_lines.wish import Wishes


def lines(score: Score, report: Report, wishes: Wishes) -> Iterator[Line]:
    """The lines of every part."""
    infos = {info.id: info for info in report.parts}
    for part in score.parts:
        wish, notes = wishes.of(part.id), heard(part)
        yield from head_lines(part, (*score.fields, *part.fields), notes, wish)
        if part.id in infos:
            yield from size_line(report, infos[part.id], part, notes, wish)
            yield from term_lines(infos[part.id], part)
        if wish.degrees:
            yield from degree_lines(part, notes, wish)
        if wish.strings:
            yield from string_lines(report, part, notes, wish)
