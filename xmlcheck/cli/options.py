"""Options and arguments that several commands share."""

from __future__ import annotations

from pathlib import Path

import click

PATH = click.Path(path_type=Path)

plugins = click.option(
    "--plugin", "plugins", multiple=True, type=PATH, metavar="FOLDER", help="Use this plugin folder, its Python too."
)
instruments = click.option(
    "--instrument", "instruments", multiple=True, type=PATH, metavar="FILE", help="Use this instrument profile (TOML)."
)
hold_at = click.option(
    "--hold-at", type=click.Choice(["halt", "query", "tidy"]), default="halt", help="Exit with 1 from this grade on."
)
quiet = click.option("-q", "--quiet", is_flag=True, help="Errors only; the exit status tells the rest.")


def named_part(text: str) -> tuple[str, str]:
    """Part and instrument of NAME=INSTRUMENT. Raises click.BadParameter."""
    name, sign, instrument = text.rpartition("=")
    if not (name.strip() and sign and instrument.strip()):
        raise click.BadParameter(f"{text!r}: say NAME=INSTRUMENT, for example P3=INSTRUMENT.", param_hint="--part")
    return name.strip(), instrument.strip()


def write_page(target: Path, text: str, quiet: bool) -> None:
    """Writes a page where nothing is, or over an untouched page of this tool. Raises WriteFailed."""
    from xmlcheck.errors import WriteFailed
    from xmlcheck.write import replaceable, write

    if target.exists() and not replaceable(target):
        raise WriteFailed(f"{target}: is there already and is no untouched page of this tool; give another name.")
    write({target: text.encode()})
    if not quiet:
        click.echo(f"wrote {target}.", err=True)
