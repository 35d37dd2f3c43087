"""`xmlcheck handoff`: a folder or zip of score and parts in; what disagrees, and sheets for players and producer, out."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from xmlcheck.cli import options


@click.command("handoff", short_help="Hold the score and parts of a folder or zip against one another.")
@click.argument("folder", type=options.PATH, metavar="FOLDER|ZIP")
@click.option("--declaration", type=options.PATH, metavar="FILE", help="In place of the handoff.toml in the folder.")
@click.option("--init", is_flag=True, help="Print a handoff.toml of what is seen, to be completed.")
@click.option("--no-names", is_flag=True, help="Leave the players' names out of everything.")
@click.option("--sheets", type=options.PATH, metavar="DIR", help="Write the sheets here: one a player, and the producer's.")
@click.option("--html", type=options.PATH, metavar="FILE", help="Write the answer and the sheets as a page too.")
@click.option("--player-notes", is_flag=True, help="Write the players' copies of the parts there too (with --sheets).")
@click.option(
    "--language", default="", metavar="CODE", help="Language of the players' copies, such as de; over what is declared."
)
@click.option("--config", type=options.PATH, metavar="FILE", help="In place of the xmlcheck.toml in or above the folder.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="What to print.")
@options.hold_at
@options.plugins
@options.instruments
@options.quiet
@click.pass_context
def command(
    context: click.Context,
    folder: Path,
    declaration: Path | None,
    init: bool,
    no_names: bool,
    sheets: Path | None,
    html: Path | None,
    player_notes: bool,
    language: str,
    config: Path | None,
    form: str,
    hold_at: str,
    plugins: tuple[Path, ...],
    instruments: tuple[Path, ...],
    quiet: bool,
) -> None:
    """Check a handoff: each part against its line in the score, names, revisions, and every file by all rules.

    A handoff.toml in the folder says what is expected (cues, players, parts, lengths); without one all is inferred, and said.
    The exit status is 1 where anything reaches the grade to hold at, 2 where nothing can be read.
    """
    if player_notes and sheets is None:
        raise click.UsageError("--player-notes needs --sheets DIR, which says where to write.")
    if language and not player_notes:
        raise click.UsageError("--language is that of the players' copies; give --player-notes too.")

    from xmlcheck.cli.lazy import FOUND
    from xmlcheck.finding import Grade
    from xmlcheck.handing import text as handoff_text
    from xmlcheck.handing.answer import answer, look
    from xmlcheck.handing.copies import player_copies
    from xmlcheck.handing.init import declaration_of
    from xmlcheck.output import page
    from xmlcheck.output.html import handed
    from xmlcheck.paths import Choices
    from xmlcheck.write import write

    seen = look(folder, Choices(config, {}, plugins, instruments), declaration)
    if init:
        sys.stdout.buffer.write(declaration_of(seen).encode())
        return
    found = answer(seen, folder.name or str(folder), names=not no_names)
    if form == "json":
        text = json.dumps(found.to_dict(), ensure_ascii=False, indent=2, allow_nan=False) + "\n"
        sys.stdout.buffer.write(text.encode())
    elif not quiet:
        sheet = page.sheet_for(sys.stdout)
        page.show(handoff_text.table(found, sheet), sys.stdout, sheet)
    if player_notes:
        _language(language, [player.language for player in seen.config.players.values()])
    if sheets is not None:
        files = {sheets / name: content.encode() for name, content in found.sheets.items()}
        files |= {sheets / name: data for name, data in (player_copies(seen, language) if player_notes else ())}
        write(files)
        if not quiet:
            click.echo(f"wrote {len(files)} files to {sheets}.", err=True)
    if html is not None:
        options.write_page(html, handed.make(found.to_dict(), found.sheets), quiet)
    worst = found.worst()
    context.exit(FOUND if worst is not None and worst.rank >= Grade(hold_at).rank else 0)


def _language(given: str, declared: list[str]) -> None:
    from xmlcheck.player_lines.words import unknown

    for text in unknown([given] if given else declared):
        click.echo(text, err=True)
