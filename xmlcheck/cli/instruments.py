"""`xmlcheck instruments`: what is known, one a line, and which can do what."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from xmlcheck.cli import options

if TYPE_CHECKING:
    from xmlcheck.pitch import Pitch


@click.command("instruments", short_help="List the instruments that are known.")
@click.argument("text", required=False)
@click.option("--family", metavar="WORD", default="", help="Of this family, such as brass.")
@click.option("--tradition", metavar="WORD", default="", help="Of this tradition, such as persian.")
@click.option("--covers", metavar="LOW:HIGH", help="With both sounding notes in the compass, such as D4:A5 (middle C is C4).")
@click.option(
    "--technique", metavar="WORD", default="", help="That have this technique: its id, a word or a sign that asks for it."
)
@click.option(
    "--at-once", metavar="N", type=click.IntRange(1), default=None, help="On which one player begins N notes together."
)
@options.plugins
def command(
    text: str | None,
    family: str,
    tradition: str,
    covers: str | None,
    technique: str,
    at_once: int | None,
    plugins: tuple[Path, ...],
) -> None:
    """List all instruments, or those with TEXT in their id, a name, an alias or the family. Options narrow the list."""
    from xmlcheck.output import about, page
    from xmlcheck.output.search import Wanted, search
    from xmlcheck.registry import catalogue

    wanted = Wanted(text or "", family, tradition, _notes(covers), technique, at_once or 0)
    found = list(search(catalogue(plugins), wanted))
    if not found:
        asked = {"text": text, "--family": family, "--tradition": tradition, "--covers": covers, "--technique": technique}
        given = [f"{name} {value}" for name, value in {**asked, "--at-once": at_once}.items() if value]
        if given == [f"text {text}"]:
            click.echo(f"No instrument has {text!r} in its names.", err=True)
        else:
            click.echo(f"No instrument answers to {', '.join(given)}." if given else "No instrument is installed.", err=True)
    sheet = page.sheet_for(sys.stdout)
    remarks = {entry.id: remark for entry, remark in found if remark}
    page.show(about.instrument_list((entry for entry, _ in found), sheet, remarks), sys.stdout, sheet)


def _notes(text: str | None) -> tuple[Pitch, Pitch] | None:
    """The two notes of LOW:HIGH, the lower first. Raises UsageError."""
    from xmlcheck.pitch import parse

    if text is None:
        return None
    low, colon, high = text.partition(":")
    try:
        first, last = parse(low), parse(high if colon else low)
    except ValueError as error:
        raise click.UsageError(f"--covers {text}: {error}.") from None
    return (first, last) if first.cents <= last.cents else (last, first)
