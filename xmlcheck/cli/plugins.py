"""`xmlcheck plugins`: what is installed; and for authors: skeletons, the index of a plugin folder, a check of the whole."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from xmlcheck.cli import options

_FOLDERS = click.argument("folders", nargs=-1, required=True, type=options.PATH, metavar="FOLDER...")


@click.group("plugins", short_help="List the plugins; write, index and check your own.", invoke_without_command=True)
@options.plugins
@click.pass_context
def command(context: click.Context, plugins: tuple[Path, ...]) -> None:
    """List the installed plugins: version, profiles, rules, and how many values each certainty vouches for.

    The commands are for those who write instruments and rules; an instrument is a text file, and needs no programming.
    """
    if context.invoked_subcommand is not None:
        if plugins:
            raise click.UsageError("--plugin goes with the list; the commands name their folder themselves.")
        return
    from xmlcheck.output import about, page
    from xmlcheck.registry import discover

    registry = discover(plugins)
    sheet = page.sheet_for(sys.stdout)
    page.show(about.plugin_list(registry, sheet), sys.stdout, sheet)
    for notice in registry.notices:
        click.echo(notice, err=True)


@command.command("new-instrument", short_help="Begin an instrument: a file that asks for every value and its source.")
@click.argument("name")
@click.option("--like", metavar="INSTRUMENT", help="Ask for what is known of this one; without it, for what any can have.")
@click.option("--table", "tables", multiple=True, metavar="NAME", help="Ask for this table too, such as strings.")
@click.option("--folder", type=options.PATH, default=Path("house"), metavar="FOLDER", help="Plugin folder. Default: house.")
def new_instrument(name: str, like: str | None, tables: tuple[str, ...], folder: Path) -> None:
    """Write the skeleton of the instrument NAME ("causeway box") into a plugin folder, with a clean and a failing case.

    Nothing in it is invented: "?" stands for every value, its sources and its certainty, under what it means and in which unit.
    """
    from xmlcheck.authoring import instrument
    from xmlcheck.authoring.folders import around
    from xmlcheck.write import write

    registry = around(folder)
    sibling = registry.names.named(like, "--like") if like is not None else None
    files = instrument.skeletons(name, folder, registry, sibling, tables)
    write(files)
    _tell(files, folder, f'Then name the folder in xmlcheck.toml beside your scores: plugins = ["{folder}"]')


@command.command("new-rule", short_help="Begin a rule: its card, its cases, an empty function.")
@click.argument("id", metavar="AREA.SLUG")
@click.option("--plugin", "folder", type=options.PATH, default=Path("house"), metavar="FOLDER", help="Default: house.")
def new_rule(id: str, folder: Path) -> None:
    """Write the skeleton of a rule (lantern.too-bright) into a plugin folder. Write the card and the cases first."""
    from xmlcheck.authoring import rule
    from xmlcheck.authoring.folders import around
    from xmlcheck.write import write

    files = rule.skeletons(id, folder, around(folder))
    write(files)
    _tell(files, folder, f"Its Python runs where it is asked for: xmlcheck check cue.musicxml --plugin {folder}")


@command.command("index", short_help="Write what start-up reads of a plugin folder.")
@_FOLDERS
def index(folders: tuple[Path, ...]) -> None:
    """Write each FOLDER's index.json, which start-up reads, and the tables in its README."""
    from xmlcheck.authoring.generated import generated
    from xmlcheck.write import write

    files = {path: content for folder in folders for path, content in generated(folder).items()}
    write(files)
    for path in files:
        click.echo(f"wrote {path}.", err=True)


@command.command("check", short_help="Say what is amiss in a plugin folder, with file and line.")
@_FOLDERS
@click.option("--no-cases", is_flag=True, help="Leave the cases out; pytest runs them too.")
def check(folders: tuple[Path, ...], no_cases: bool) -> None:
    """Look at each FOLDER: files and schemas, blanks, sources, names, cards, index, cases. Exit with 1 where anything is amiss.

    The Python of the folders is run.
    """
    from xmlcheck.authoring.check import check as look
    from xmlcheck.cli.lazy import FOUND

    amiss = False
    for folder in folders:
        answer = look(folder, not no_cases)
        amiss = amiss or not answer.sound
        for fault in answer.faults:
            click.echo(fault)
        numbers = {"profile": answer.profiles, "rule": answer.rules, "case": answer.cases}
        told = ", ".join(f"{count} {noun}{'' if count == 1 else 's'}" for noun, count in numbers.items() if count is not None)
        left = "" if answer.cases is not None else "; the cases were not tried"
        click.echo(f"{folder}: {told}: {'nothing amiss' if answer.sound else 'not sound yet'}{left}.", err=True)
    if amiss:
        sys.exit(FOUND)


def _tell(files: dict[Path, bytes], folder: Path, then: str) -> None:
    for path in files:
        click.echo(f"wrote {path}.", err=True)
    click.echo(f'Fill in every "?", then: xmlcheck plugins check {folder}\n{then}', err=True)
