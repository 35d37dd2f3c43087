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
    from xmlcheck.config import nearest
    from xmlcheck.errors import BadConfig
    from xmlcheck.output import about, page
    from xmlcheck.registry import discover

    registry = discover(plugins, instruments)
    sheet = page.sheet_for(sys.stdout)
    rule = registry.rule(topic)
    if rule is not None:
        if html is not None:
            raise click.UsageError("--html is for instruments.")
        page.show(about.rule_page(rule, registry.derived, sheet), sys.stdout, sheet)
        return
    try:
        id = registry.names.named(topic, "about")
    except BadConfig:
        near = nearest(topic, [rule.id for rule in registry.rules])
        if "." in topic and near:
            raise BadConfig(f"about: no installed rule or instrument is called {topic!r}{near}.") from None
        raise
    entry = registry.names.entries[id]
    if html is not None:
        from xmlcheck.output.html import instrument
        from xmlcheck.write import free, write

        free(html, "give --html another name")
        write({html: instrument.make(registry.profile(id), entry, registry).encode()})
        click.echo(f"wrote {html}.", err=True)
        return
    page.show(about.instrument_page(registry.profile(id), entry, registry, sheet), sys.stdout, sheet)
