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
quiet = click.option("-q", "--quiet", is_flag=True, help="Errors only; the exit status tells the rest.")
