"""`xmlcheck report`: a saved findings file as a page; needs no plugin."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from xmlcheck.cli import options

if TYPE_CHECKING:
    from xmlcheck.document import Document
    from xmlcheck.finding import Report

_ENDING = ".findings.json"


@click.command("report", short_help="Make a page of a findings file, to look at and to print.")
@click.argument("findings", type=options.PATH, metavar="FINDINGS.json")
@click.option("--score", type=options.PATH, metavar="FILE", help="The checked score, for engraved excerpts.")
@click.option("--out", type=options.PATH, metavar="FILE.html", help='Default: beside the findings file; "-" prints it.')
@options.quiet
def command(findings: Path, score: Path | None, out: Path | None, quiet: bool) -> None:
    """Make one HTML file of a findings file: it opens from disk, prints on paper, and needs no network and no plugin.

    Excerpts are drawn from the checked score or its annotated copy, given by --score or found beside the findings file by its
    SHA-256, where the extra `report` is installed; else places are told in words.
    """
    from xmlcheck.output import html
    from xmlcheck.output import json as findings_file
    from xmlcheck.write import free, write

    report = findings_file.parse(_read(findings), findings.name)
    document = html.document_of(report, _read(score), str(score)) if score is not None else _beside(findings, report)
    page = html.make(report, document).encode()
    if out is not None and str(out) == "-":
        sys.stdout.buffer.write(page)
        return
    path = out or findings.with_name(f"{findings.name.removesuffix(_ENDING).removesuffix('.json')}.report.html")
    free(path, "give --out another name")
    write({path: page})
    if not quiet:
        told = "" if document is not None else " (no score at hand: places are told in words)"
        click.echo(f"wrote {path}{told}.", err=True)


def _read(path: Path) -> bytes:
    from xmlcheck.errors import Unreadable

    try:
        return sys.stdin.buffer.read() if str(path) == "-" else path.read_bytes()
    except OSError as error:
        raise Unreadable(f"{path}: cannot be read ({error.strerror}); check the spelling.") from None


def _beside(findings: Path, report: Report) -> Document | None:
    """The checked score in the folder of the findings file, by its own name first; None where there is none."""
    from xmlcheck.output import html

    if str(findings) == "-":
        return None
    for path in _candidates(findings, report.source.name):
        document = html.document_or_none(report, _read(path), path.name)
        if document is not None:
            return document
    return None


def _candidates(findings: Path, name: str) -> Iterator[Path]:
    from xmlcheck.paths import SUFFIXES

    stem = findings.name.removesuffix(_ENDING)
    likely = [Path(name).name, *(f"{stem}{middle}{suffix}" for middle in ("", ".checked") for suffix in SUFFIXES)]
    others = sorted(path.name for path in findings.parent.iterdir() if path.name.lower().endswith(SUFFIXES))
    yield from (path for path in map(findings.with_name, dict.fromkeys((*likely, *others))) if path.is_file())
