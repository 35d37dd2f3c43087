"""`xmlcheck compare`: what changed between two revisions, what a round trip lost, whether every note of a sketch arrived."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from xmlcheck.cli import options

if TYPE_CHECKING:
    from xmlcheck.comparing import Comparison
    from xmlcheck.finding import Report
    from xmlcheck.paths import Choices
    from xmlcheck.source import Source


@click.command("compare", short_help="Tell what changed between two revisions, and who needs a new page.")
@click.argument("old", type=options.PATH)
@click.argument("new", type=options.PATH)
@click.option("--round-trip", is_flag=True, help="NEW is OLD after another program had it: tell what was lost.")
@click.option("--account", is_flag=True, help="OLD is a sketch, NEW the score made of it: tell which notes did not arrive.")
@click.option("--music-only", is_flag=True, help="Do not check the files; leave findings and plans aside.")
@click.option("--mark-changes", is_flag=True, help="Also write NEW with a mark at every change.")
@click.option("--html", type=options.PATH, metavar="FILE", help="Write the comparison as a page too.")
@click.option("--out", type=options.PATH, metavar="DIR", help="Where --mark-changes writes; beside NEW if not given.")
@click.option("--part", "parts", multiple=True, metavar="NAME=INSTRUMENT", help="What a part (id or name) is for; repeatable.")
@click.option("--config", type=options.PATH, metavar="FILE", help="In place of the xmlcheck.toml beside or above a score.")
@options.plugins
@options.instruments
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="What to print.")
@options.quiet
@click.pass_context
def command(
    context: click.Context,
    old: Path,
    new: Path,
    round_trip: bool,
    account: bool,
    music_only: bool,
    mark_changes: bool,
    html: Path | None,
    out: Path | None,
    parts: tuple[str, ...],
    config: Path | None,
    plugins: tuple[Path, ...],
    instruments: tuple[Path, ...],
    form: str,
    quiet: bool,
) -> None:
    """Tell what changed from OLD to NEW, bar by bar; "-" is standard input, for one of them.

    Both files are checked too: findings that are gone, new or still there, whether tuning, key and breath plans hold, and which
    parts need a new page. Exit status: 0 the same, 1 different (with --account: not every note arrived), 2 could not compare.
    """
    if round_trip + account > 1:
        raise click.UsageError("--round-trip and --account exclude one another.")
    if mark_changes and account:
        raise click.UsageError("--mark-changes marks a revision; --account has none.")
    if str(old) == str(new) == "-":
        raise click.UsageError("standard input can be one of the two files only.")
    if mark_changes and str(new) == "-" and out is None:
        raise click.UsageError("For standard input say where to write: --out DIR.")

    from xmlcheck.cli.lazy import FOUND
    from xmlcheck.comparing import account_for, compare_revisions, revision
    from xmlcheck.paths import Choices
    from xmlcheck.source import original, read_source

    given = original(read_source(old)), original(read_source(new))
    choices: Choices = Choices(config, dict(options.named_part(text) for text in parts), plugins, instruments)
    if account:
        report = None if music_only else _checked(given[0], old, choices)
        comparison = account_for(*given, report=report)
    else:
        both = revision(given[0]), revision(given[1])
        reports = None
        if not (music_only or round_trip):
            reports = _checked(given[0], old, choices), _checked(given[1], new, choices)
        comparison = compare_revisions(*both, reports, round_trip)
    _show(comparison, old, new, form == "json", quiet)
    if html is not None:
        from xmlcheck.document import parse
        from xmlcheck.output.html import compared

        options.write_page(html, compared.make(comparison.to_dict(), parse(given[0]), parse(given[1])), quiet)
    if mark_changes:
        written = _marked(given[1], comparison, new, out)
        if not quiet:
            click.echo(f"{new}: wrote {written}.", err=True)
    context.exit(0 if comparison.same else FOUND)


def _checked(source: Source, path: Path, choices: Choices) -> Report:
    """The report of one of the files, by the configuration beside it."""
    from xmlcheck.config import Config
    from xmlcheck.errors import Unreadable
    from xmlcheck.paths import STDIN, Found, check, outcome, registry_for

    if path == STDIN:  # it was read already, and can be read only once
        registry = registry_for(choices, Config())
        data = source.container or source.data
        return check(data, parts=choices.parts, config=choices.config or Config(), registry=registry)
    found = outcome(Found(path), choices)
    if found.report is None:
        raise found.error or Unreadable(f"{path}: could not be checked.")
    return found.report


def _show(comparison: Comparison, old: Path, new: Path, as_json: bool, quiet: bool) -> None:
    if as_json:
        from xmlcheck.output import compare_json

        sys.stdout.buffer.write(compare_json.text(comparison).encode())
        return
    if quiet:
        return
    from xmlcheck.output import compare_text, page

    sheet = page.sheet_for(sys.stdout)
    names = (str(old), str(new)) if old.name == new.name else (old.name, new.name)
    page.show(compare_text.table(comparison, sheet, *names), sys.stdout, sheet)


def _marked(source: Source, comparison: Comparison, path: Path, out: Path | None) -> Path:
    """Writes the new revision with its changes marked and returns the path."""
    from xmlcheck.comparing import mark_changes, revision
    from xmlcheck.errors import WriteFailed
    from xmlcheck.write import replaceable, write

    name = path.name if str(path) != "-" else "score.musicxml"
    suffix = ".mxl" if source.container is not None else ".musicxml"
    target = (out or path.parent) / f"{Path(name).stem}.changes{suffix}"
    if target.exists() and not replaceable(target):
        raise WriteFailed(
            f"{target}: is there already and is no untouched output of this tool; move it away, or give --out another folder."
        )
    write({target: mark_changes(source.container or source.data, revision(source), comparison.changes)})
    return target
