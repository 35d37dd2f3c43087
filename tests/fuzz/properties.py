"""What must hold for any input: a clean refusal, or a check whose promises are all kept.

`examine` takes bytes and raises Broken, which says what was broken. The promises are the project's own (README.md, DEVELOPERS.md).
"""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import astuple, replace
from functools import cache
from typing import Any

from xmlcheck import schemas
from xmlcheck.annotation import annotate, player_copy, unmark
from xmlcheck.checking import check_source
from xmlcheck.comparing.revision import revision
from xmlcheck.comparing.scores import compare_music
from xmlcheck.config import Config
from xmlcheck.document import parse
from xmlcheck.errors import XmlcheckError
from xmlcheck.finding import Place, Report
from xmlcheck.model import Score
from xmlcheck.output import json as findings_file
from xmlcheck.reader import read
from xmlcheck.registry import Registry, discover
from xmlcheck.source import Source, from_bytes, original

NAME = "cue.musicxml"
LONGEST = 600
"""Characters of a sentence that tells an error."""


class Broken(Exception):
    """A promise that an input broke: the promise's name and what was seen."""

    def __init__(self, promise: str, seen: str) -> None:
        super().__init__(f"{promise}: {seen}")
        self.promise = promise


@cache
def registry() -> Registry:
    """All plugins, found once."""
    return discover()


def examine(data: bytes) -> str:
    """What became of the input: "checked", or "refused" and the kind of error. Raises Broken where a promise is."""
    report = refused = None
    try:
        report = check(data)
    except XmlcheckError as error:
        refused = error
    except MemoryError:
        raise
    except Exception as error:
        raise Broken("no unhandled exception", f"{type(error).__name__}: {error}") from error
    if report is None:
        one_sentence(refused)
        return f"refused {type(refused).__name__}"
    no_rule_fails(report)
    try:
        for promise in (valid_findings, same_bytes_again, annotated_again, same_notes, deterministic, compared_with_itself):
            promise(data, report)
    except (Broken, MemoryError):
        raise
    except (
        XmlcheckError
    ) as error:  # of an .mxl only the score is read; another entry that is damaged cannot be put back beside it
        if not data.startswith(b"PK"):
            raise Broken("what was checked can be annotated", str(error)) from error
        one_sentence(error)
        return f"checked, not annotated {type(error).__name__}"
    except Exception as error:  # whatever was checked can also be annotated, stripped and compared
        raise Broken("no unhandled exception after the check", f"{type(error).__name__}: {error}") from error
    return "checked"


def check(data: bytes) -> Report:
    """The report of these bytes, by all plugins and no configuration."""
    return check_source(original(from_bytes(data, NAME)), registry(), Config())


def size(data: bytes) -> int:
    """Bytes of the score: of an .mxl, unpacked."""
    try:
        return len(from_bytes(data, NAME).data)
    except XmlcheckError:
        return len(data)


def one_sentence(error: XmlcheckError | None) -> None:
    """Errors name the file first, stand on one line, end as a sentence ends, and are short."""
    text = str(error)
    if not text.startswith(f"{NAME}: ") or not text.endswith(".") or not text.isprintable() or len(text) > LONGEST:
        raise Broken("one clear sentence", repr(text))


def no_rule_fails(report: Report) -> None:
    """No rule of ours raises, whatever the music."""
    for notice in report.notices:
        if " failed on " in notice or " could not be told: " in notice:
            raise Broken("no rule fails", notice)


def valid_findings(data: bytes, report: Report) -> None:
    """The findings are valid by schema findings-1, come back the same, and speak of bars and places that exist."""
    text = findings_file.text(report)
    wrong = schemas.validate("findings-1", json.loads(text))
    if wrong:
        raise Broken("findings are valid", wrong[0])
    if findings_file.text(Report.from_dict(json.loads(text))) != text:
        raise Broken("findings come back the same", "")
    document = parse(original(from_bytes(data, NAME)))
    bars = {part.id: part.measures for part in report.parts}
    anchors = len(document.starts or ())
    for finding in report.findings:
        _exists(finding.place, bars.get(finding.part or "", 0), anchors, finding.rule)
    for plan in report.plans:
        for line in plan.lines:
            _exists(line.place, bars.get(plan.part, 0), anchors, plan.id)


def _exists(place: Place, bars: int, anchors: int, who: str) -> None:
    first, last = place.measure_index, place.to_measure_index
    if first is not None and not 0 <= first <= (first if last is None else last) <= max(first, last or 0) < bars:
        raise Broken("findings point at bars that exist", f"{who}: bars {first} to {last} of {bars}")
    if place.anchor is not None and not 0 <= place.anchor < anchors:
        raise Broken("findings point at places that exist", f"{who}: {place.anchor} of {anchors}")


def same_bytes_again(data: bytes, report: Report) -> None:
    """Without its marks an annotated file and a player's copy are the bytes they were made from."""
    given = original(from_bytes(data, NAME))
    for what, marked in (("annotate", annotate(data, report, "all")), ("player's copy", player_copy(data, report))):
        back = unmark(marked)
        if given.container is None:
            same = back == given.data
        else:
            same = from_bytes(back, NAME).data == given.data and _others(back, given) == _others(given.container, given)
        if not same:
            raise Broken(f"unmark({what}) is the original", f"{len(given.data)} bytes and {len(back)}")


def _others(data: bytes, source: Source) -> list[tuple[str, bytes]]:
    """Names and contents of a zip's entries in order, the score apart."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = [info.filename for info in archive.infolist()]
        return [
            (info.filename, b"" if info.filename == source.member else archive.read(info)) for info in archive.infolist()
        ] + [(name, b"") for name in names]


def annotated_again(data: bytes, report: Report) -> None:
    """An annotated file is checked as its original is, and annotating it once more changes nothing."""
    once = annotate(data, report, "all")
    again = check(once)
    if (again.findings, again.plans) != (report.findings, report.plans):
        raise Broken("an annotated file has the same findings", f"{len(report.findings)} and {len(again.findings)}")
    if annotate(once, again, "all") != once:
        raise Broken("annotate is idempotent", "")


def same_notes(data: bytes, report: Report) -> None:
    """Our reader finds the same music in the annotated file, with its marks in it."""
    before = heard(read(parse(original(from_bytes(data, NAME)))))
    after = heard(read(parse(from_bytes(annotate(data, report, "all"), NAME))))
    if before != after:
        raise Broken("same notes before and after", next(f"{a} and {b}" for a, b in zip(before, after, strict=True) if a != b))


def heard(score: Score) -> list[tuple[object, ...]]:
    """Parts, bars, notes, rests and directions without their anchors, which insertions move."""
    rows: list[tuple[object, ...]] = [(score.resolution, len(score.parts), score.title, score.fields)]
    for part in score.parts:
        rows.append((part.id, part.name, part.staves))
        events: list[Any] = [*part.measures, *part.notes, *part.rests, *part.directions, *part.keys, *part.times]
        rows += [astuple(replace(event, anchor=0)) for event in (*events, *part.transposes, *part.tunings, *part.barlines)]
    return rows


def deterministic(data: bytes, report: Report) -> None:
    """The same bytes give the same findings file."""
    if findings_file.text(check(data)) != findings_file.text(report):
        raise Broken("same bytes, same findings", "")


def compared_with_itself(data: bytes, report: Report) -> None:
    """A file against itself: nothing changed."""
    one = revision(data, NAME)
    changes = compare_music(one, revision(data, NAME)).changes
    if changes:
        raise Broken("compare(x, x) tells nothing", changes[0].text)
