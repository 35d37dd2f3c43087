"""`xmlcheck check`: files in, tables or JSON out, annotated copies and findings files beside or elsewhere."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from xmlcheck.cli import options

if TYPE_CHECKING:
    from xmlcheck.paths import Choices


@click.command("check", short_help="Check scores; write an annotated copy and a findings file.")
@click.argument("paths", nargs=-1, required=True, type=options.PATH, metavar="PATH...")
@click.option("--part", "parts", multiple=True, metavar="NAME=INSTRUMENT", help="What a part (id or name) is for; repeatable.")
@click.option(
    "--triggers", metavar="LIST", help='Trigger notes of the patches: "24=pizz,25=arco", "Solo: C0=pizz; P3: 24=trem".'
)
@click.option("--middle-c", type=click.Choice(["C3", "C4", "C5"]), help="What the sequencer calls MIDI note 60.")
@click.option("--config", type=options.PATH, metavar="FILE", help="In place of the xmlcheck.toml beside or above a score.")
@options.plugins
@options.instruments
@click.option("--out", type=options.PATH, metavar="DIR", help="Write outputs here; for a folder its tree is mirrored.")
@click.option("--beside", is_flag=True, help="Write outputs beside the scores of a folder.")
@click.option("--no-write", is_flag=True, help="Write no files.")
@click.option("--player-notes", is_flag=True, help="Write a player's copy too, with lines for the player only.")
@click.option("--language", default="", metavar="CODE", help="Language of the player's copy, such as de.")
@click.option("--html", is_flag=True, help="Write the report as a page too: cue.report.html.")
@click.option(
    "--second-reader", is_flag=True, help="Have music21 read the file with and without the marks; the notes must agree."
)
@click.option("--marks", type=click.Choice(["usual", "all", "none"]), help="Which findings are marked in the score.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="What to print.")
@click.option("--hold-at", type=click.Choice(["halt", "query", "tidy"]), help="Exit with 1 from this grade on (default: halt).")
@click.option("-j", "--jobs", type=click.IntRange(1), default=1, metavar="N", help="Check N files at a time.")
@options.quiet
@click.pass_context
def command(
    context: click.Context,
    paths: tuple[Path, ...],
    parts: tuple[str, ...],
    triggers: str | None,
    middle_c: str | None,
    config: Path | None,
    plugins: tuple[Path, ...],
    instruments: tuple[Path, ...],
    out: Path | None,
    beside: bool,
    no_write: bool,
    player_notes: bool,
    language: str,
    html: bool,
    second_reader: bool,
    marks: str | None,
    form: str,
    hold_at: str | None,
    jobs: int,
    quiet: bool,
) -> None:
    """Check MusicXML scores and parts (.musicxml, .xml, .mxl): files, folders, or "-" for standard input.

    For cue.musicxml it writes cue.checked.musicxml, a desk copy with check marks, and cue.findings.json. An input is never
    overwritten. For folders say where to write: --out DIR, --beside or --no-write. Standard input is only printed about.
    """
    if (out is not None) + beside + no_write > 1:
        raise click.UsageError("--out, --beside and --no-write exclude one another.")
    if any(os.path.isdir(path) for path in paths) and not (out or beside or no_write):
        raise click.UsageError("For a folder say where to write: --out DIR, --beside, or --no-write.")
    if language and not player_notes:
        raise click.UsageError("--language is that of the player's copy; give --player-notes too.")

    from xmlcheck.cli.run import Run, run
    from xmlcheck.paths import Choices

    choices: Choices = Choices(
        config, dict(options.named_part(text) for text in parts), plugins, instruments, settings=_triggers(triggers, middle_c)
    )
    status = run(Run(paths, choices, out, not no_write, marks, form == "json", hold_at, jobs, quiet, html, second_reader))
    if player_notes and not no_write:
        from xmlcheck.cli.player_notes import write_copies

        status = max(status, write_copies(paths, choices, out, language, quiet))
    context.exit(status)


def _triggers(triggers: str | None, middle_c: str | None) -> dict[str, dict[str, str]]:
    """The settings of the rule that knows trigger notes. Octave names differ between sequencers, so names need --middle-c."""
    if triggers and not middle_c and re.search(r"(?:^|[,;:])\s*[A-Ga-g][#b♯♭]*-?\d+\s*=", triggers):
        raise click.UsageError(
            "--triggers with note names needs --middle-c C3, C4 or C5: octave names differ; MIDI numbers do not."
        )
    given = {"triggers": triggers, "middle_c": middle_c}
    return {"trigger.notes": {name: value for name, value in given.items() if value}} if triggers or middle_c else {}
