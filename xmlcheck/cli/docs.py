"""`xmlcheck docs`: the reference of all rules and instruments as Markdown, written or compared."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from xmlcheck.cli import options


@click.command("docs", short_help="Write the reference of all rules and instruments as Markdown.")
@click.option("--out", type=options.PATH, metavar="FOLDER", help="Write the pages into this folder.")
@click.option("--check", type=options.PATH, metavar="FOLDER", help="Say which pages are stale there; exit with 1 if any is.")
@options.plugins
@options.instruments
def command(out: Path | None, check: Path | None, plugins: tuple[Path, ...], instruments: tuple[Path, ...]) -> None:
    """Make a page for every rule (its card, and its cases as worked examples) and every instrument, with an index.

    The pages say what `xmlcheck about` says. Equal rules and instruments give equal bytes.
    """
    from xmlcheck.authoring import docs
    from xmlcheck.cli.lazy import FOUND
    from xmlcheck.registry import discover

    folder = out or check
    if folder is None or (out is not None and check is not None):
        raise click.UsageError("Give either --out FOLDER or --check FOLDER.")
    registry = discover(plugins, instruments)
    for notice in registry.notices:
        click.echo(notice, err=True)
    if out is not None:
        written, taken = docs.put(out, registry)
        click.echo(f"wrote {written} pages to {out}{f'; old pages taken away: {taken}' if taken else ''}.", err=True)
        return
    amiss = list(docs.stale(folder, registry))
    for path, what in amiss:
        click.echo(f"{path}: {what}")
    if amiss:
        click.echo(f"Renew them with: xmlcheck docs --out {folder}", err=True)
        sys.exit(FOUND)
    click.echo(f"{folder}: fresh", err=True)
