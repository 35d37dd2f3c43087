"""`xmlcheck about`: one rule's card or one instrument's page."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from xmlcheck.cli import options


@click.command("about", short_help="Show what is known of an instrument, or what a rule says.")
@click.argument("topic", metavar="RULE|INSTRUMENT")
@click.option("--html", type=options.PATH, metavar="FILE.html", help="Write an instrument's page, with pictures, to this file.")
@options.plugins
@options.instruments
def command(topic: str, html: Path | None, plugins: tuple[Path, ...], instruments: tuple[Path, ...]) -> None:
    """Show a rule (compass.below) or an instrument (its id or any of its names): every value with its source and certainty."""
    from xmlcheck.errors import BadConfig
    from xmlcheck.output import about, page
    from xmlcheck.registry import Registry, catalogue, discover

    # A rule's id has a dot, few headings have one; the page of an instrument imports no rule.
    known = discover(plugins, instruments) if "." in topic else catalogue(plugins, instruments)
    sheet = page.sheet_for(sys.stdout)
    if isinstance(known, Registry) and (rule := known.rule(topic)) is not None:
        if html is not None:
            raise click.UsageError("--html is for instruments.")
        page.show(about.rule_page(rule, known.derived, sheet), sys.stdout, sheet)
        return
    try:
        id = topic if topic in known.entries else known.names.named(topic, "about")
    except BadConfig:
        from xmlcheck.config import nearest

        near = nearest(topic, [asked.card.id for asked in known.asked])
        if "." in topic and near:
            raise BadConfig(f"about: no installed rule or instrument is called {topic!r}{near}.") from None
        raise
    entry = known.entries[id]
    if html is not None:
        from xmlcheck.output.html import instrument
        from xmlcheck.write import free, write

        free(html, "give --html another name")
        write({html: instrument.make(known.profile(id), entry, known).encode()})
        click.echo(f"wrote {html}.", err=True)
        return
    page.show(about.instrument_page(known.profile(id), entry, known, sheet), sys.stdout, sheet)
