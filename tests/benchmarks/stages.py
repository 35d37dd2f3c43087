"""The stages of a check on published quartets, as multiples of lxml's bare parse of the same bytes, and music21's parse beside it.

Files: music21's bundled corpus (test-only), string quartets of two megabytes and more.
"""

from __future__ import annotations

from statistics import median

import music21
from lxml import etree

from tests.benchmarks.measure import peak, seconds, table
from tests.corpus_files import package_folder
from xmlcheck.annotation import annotate
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.document import parse
from xmlcheck.memory import collector_at_rest
from xmlcheck.output import json as findings_file
from xmlcheck.reader import read
from xmlcheck.registry import Registry, discover
from xmlcheck.source import read_source

MUSIC21 = package_folder("music21") / "corpus"
FILES = (
    "beethoven/opus18no3.mxl", "beethoven/opus59no1/movement3.mxl", "beethoven/opus59no1/movement4.mxl",
    "beethoven/opus59no2/movement1.mxl", "beethoven/opus59no3/movement4.mxl", "beethoven/opus18no1/movement4.mxl",
)  # fmt: skip


def speed() -> str:
    """The table of times."""
    registry = discover()
    rows = [_row(name, registry) for name in FILES]
    middle = [median(value for row in rows if isinstance(value := row[index], float)) for index in range(3, 9)]
    rows.append(("median", "", "", *middle, ""))
    head = (
        "file",
        "MB",
        "lxml, ms",
        "parse",
        "+ read",
        "+ annotate",
        "whole check",
        "music21's parse",
        "music21 / check",
        "notes",
    )
    return table("Times, as multiples of lxml's parse", head, [(*row[:3], *row[3:9], row[9]) for row in rows])


def _row(name: str, registry: Registry) -> tuple[object, ...]:
    source = read_source(MUSIC21 / name)
    data, config = source.data, Config()
    base = seconds(lambda: etree.fromstring(data), 15)
    report = check_source(source, registry, config)
    parsed = seconds(lambda: parse(source)) / base

    def read_only() -> object:
        with collector_at_rest():
            return read(parse(source))

    reading = seconds(read_only) / base
    writing = seconds(lambda: annotate(data, report)) / base

    def whole() -> object:
        found = check_source(source, registry, config)
        return annotate(data, found), findings_file.text(found)

    whole_check = seconds(whole) / base
    path = MUSIC21 / name
    theirs = seconds(lambda: music21.converter.parseFile(path, forceSource=True), 1) / base
    notes = sum(part.notes for part in report.parts)
    return (
        name, f"{len(data) / 1e6:.1f}", f"{base * 1e3:.0f}", parsed, reading, reading + writing, whole_check, theirs,
        theirs / whole_check, notes,
    )  # fmt: skip


def memory() -> str:
    """The table of peak memory."""
    rows: list[tuple[object, ...]] = []
    ratios = []
    for name in FILES:
        path = str(MUSIC21 / name)
        load = "from xmlcheck.source import read_source\nfrom lxml import etree"
        tree = peak(load, f"source = read_source({path!r})\ntree = etree.fromstring(source.data)")
        imports = (
            "from xmlcheck.source import read_source\nfrom xmlcheck.checking import check_source\n"
            "from xmlcheck.annotation import annotate\n"
            "from xmlcheck.config import Config\nfrom xmlcheck.registry import discover\nregistry = discover()"
        )
        whole = peak(
            imports,
            f"source = read_source({path!r})\nreport = check_source(source, registry, Config())\nannotate(source.data, report)",
        )
        ratios.append(whole / tree)
        rows.append((name, tree, whole, whole / tree))
    rows.append(("median", "", "", median(ratios)))
    return table("Peak memory over imports, MB", ("file", "lxml's tree", "whole check", "ratio"), rows)
