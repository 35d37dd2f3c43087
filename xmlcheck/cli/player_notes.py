"""The players' copies of a run of `check`: made from the files and the findings that were just written, no plugin needed."""

from __future__ import annotations

from pathlib import Path

import click

from xmlcheck import write
from xmlcheck.annotation import player_copy
from xmlcheck.cli.lazy import FAILED
from xmlcheck.errors import WriteFailed, XmlcheckError
from xmlcheck.output.json import parse
from xmlcheck.paths import STDIN, Choices, Found, config_for, gather
from xmlcheck.player_lines.wish import wishes
from xmlcheck.player_lines.words import unknown
from xmlcheck.source import original, read_source


def write_copies(paths: tuple[Path, ...], choices: Choices, out: Path | None, language: str, quiet: bool) -> int:
    """Writes a copy for each input that has a findings file; the exit status is 0, or 2 where one could not be written."""
    found = [item for item in gather(paths) if isinstance(item, Found)]
    named = {path.resolve() for path in paths}
    status = 0
    told: dict[str, None] = {}
    for path, target in write.targets(found, out).items():
        if path == STDIN or not target.findings.exists():
            continue  # told by the check itself
        try:
            copy, languages = _write(path, target, choices, language, named)
        except XmlcheckError as error:
            status = FAILED
            click.echo(f"xmlcheck: {error}", err=True)
            continue
        told |= dict.fromkeys(languages)
        if not quiet:
            click.echo(f"{path}: wrote {copy}.", err=True)
    for text in told:
        click.echo(text, err=True)
    return status


def _write(path: Path, target: write.Target, choices: Choices, language: str, named: set[Path]) -> tuple[Path, list[str]]:
    """Writes one copy; its path, and what is to be said of its languages. named: inputs of the run. Raises XmlcheckError."""
    report = parse(target.findings.read_bytes(), str(target.findings))
    source = original(read_source(path))
    config = config_for(path, choices)
    copy = target.player(source.container is not None)
    if copy.resolve() in named:
        raise WriteFailed(f"{copy}: is an input of this run and is not overwritten; give --out another folder.")
    write.free(copy, "give --out another folder")
    write.write({copy: player_copy(source.container or source.data, report, wishes(report, config, language))})
    return copy, unknown([language] if language else [player.language for player in config.players.values()])
