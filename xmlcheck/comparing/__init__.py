"""Two revisions of a file: what changed, what follows from it, what a round trip lost, whether every note arrived.

    comparison = xmlcheck.compare("cue.musicxml", "cue-2.musicxml")
    for change in comparison.changes: print(change.new, change.text)

Eats scores, reports and bytes; knows no rule and no instrument.
"""

from __future__ import annotations

from pathlib import Path

from xmlcheck.comparing.account import account
from xmlcheck.comparing.comparison import Comparison, side
from xmlcheck.comparing.consequences import consequences
from xmlcheck.comparing.marking import mark_changes
from xmlcheck.comparing.reissue import reissues
from xmlcheck.comparing.revision import Revision, revision
from xmlcheck.comparing.scores import compare_music
from xmlcheck.comparing.transfer import transfer
from xmlcheck.finding import Report
from xmlcheck.source import Source

__all__ = ["Comparison", "Revision", "account_for", "compare", "compare_revisions", "mark_changes", "revision"]

Given = Path | str | bytes | Source


def compare(old: Given, new: Given, *, reports: tuple[Report, Report] | None = None, round_trip: bool = False) -> Comparison:
    """What changed from one file to the other: paths, "-" for standard input, or the bytes themselves.

    reports: of both files; then findings and plans are compared too. round_trip: `new` is `old` after another program had it, and
    what was lost is sorted by what a player would miss. Raises errors.XmlcheckError.
    """
    return compare_revisions(revision(old, "the old file"), revision(new, "the new file"), reports, round_trip)


def compare_revisions(
    old: Revision, new: Revision, reports: tuple[Report, Report] | None = None, round_trip: bool = False
) -> Comparison:
    """The same for files that were read already."""
    music = compare_music(old, new)
    found = consequences(*reports, music.parts, music.runs, music.changes) if reports is not None else None
    pages = reissues(new.score, old.score, music.parts, music.runs, music.changes, found) if not round_trip else ()
    return Comparison(
        "round trip" if round_trip else "revision",
        side(old),
        side(new),
        music.parts,
        music.runs,
        music.changes,
        pages,
        found,
        transfer(old, new, music.changes) if round_trip else None,
        notices=tuple(notice.text for notice in (*old.source.notices, *new.source.notices)),
    )


def account_for(sketch: Given, score: Given, *, report: Report | None = None) -> Comparison:
    """Whether each note of a sketch is found in some part of the orchestrated score. report: of the sketch, for its triggers."""
    one, other = revision(sketch, "the sketch"), revision(score, "the score")
    return Comparison("account", side(one), side(other), account=account(one, other, report))
