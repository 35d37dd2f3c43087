"""`xmlcheck instruments`: what is known, one a line."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from xmlcheck.cli import options


@click.command("instruments", short_help="List the instruments that are known.")
@click.argument("text", required=False)
@options.plugins
def command(text: str | None, plugins: tuple[Path, ...]) -> None:
    """List all instruments, or those with TEXT in their id, a name, an alias or the family."""
    from xmlcheck.output import about, page
    from xmlcheck.partname import fold
    from xmlcheck.registry import discover

    registry = discover(plugins)
    wanted = fold(text or "")
    entries = [
        entry
        for entry in registry.names.entries.values()
        if any(wanted in fold(word) for word in (entry.id, entry.family, *entry.names.values(), *entry.aliases))
    ]
    if not entries:
        click.echo(f"No instrument has {text!r} in its names." if text else "No instrument is installed.", err=True)
    sheet = page.sheet_for(sys.stdout)
    page.show(about.instrument_list(entries, sheet), sys.stdout, sheet)
