"""`xmlcheck plugins`: what is installed; and the index of a plugin folder, made or compared."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click


@click.command("plugins", short_help="List the plugins, or index plugin folders.")
@click.argument("folders", nargs=-1, type=click.Path(path_type=Path), metavar="[FOLDER]...")
@click.option("--index", is_flag=True, help="Write each FOLDER's index.json, which start-up reads, and its README tables.")
@click.option("--check", is_flag=True, help="Say whether what --index writes is fresh; exit with 1 where it is not.")
def command(folders: tuple[Path, ...], index: bool, check: bool) -> None:
    """List the installed plugins and any FOLDER: version, profiles, rules, and how many values each certainty vouches for."""
    if index and check:
        raise click.UsageError("--index and --check exclude one another.")
    if (index or check) and not folders:
        raise click.UsageError("Name the plugin folders.")
    if index:
        _write(folders)
    elif check:
        _compare(folders)
    else:
        _list(folders)


def index_text(folder: Path) -> str:
    """The index of a plugin folder as JSON text; equal folders give equal texts. Raises BadPlugin, naming the file."""
    from xmlcheck.errors import BadPlugin
    from xmlcheck.folder import make_index

    if not folder.is_dir():
        raise BadPlugin(f"{folder}: no such plugin folder.")
    try:
        return json.dumps(make_index(folder, folder.resolve().name), ensure_ascii=False, indent=1, sort_keys=True) + "\n"
    except TypeError as error:  # TOML has dates, JSON has none
        raise BadPlugin(f"{folder}: holds a value that an index cannot keep ({error}).") from error


def generated(folder: Path) -> dict[Path, bytes]:
    """What is made from a plugin folder's own files: its index, and its README with the tables between markers renewed."""
    from xmlcheck.folder import INDEX
    from xmlcheck.output.tables import renewed
    from xmlcheck.registry import discover

    files = {folder / INDEX: index_text(folder).encode()}
    readme = folder / "README.md"
    if readme.is_file():
        registry = discover() if _installed(folder) else discover([folder])
        files[readme] = renewed(readme.read_text(encoding="utf-8"), folder.resolve().name, registry).encode()
    return files


def _installed(folder: Path) -> bool:
    from importlib.metadata import entry_points

    from xmlcheck.hookspecs import GROUP

    return any(point.name == folder.resolve().name for point in entry_points(group=GROUP))


def _list(folders: tuple[Path, ...]) -> None:
    from xmlcheck.output import about, page
    from xmlcheck.registry import discover

    registry = discover(folders)
    sheet = page.sheet_for(sys.stdout)
    page.show(about.plugin_list(registry, sheet), sys.stdout, sheet)
    for notice in registry.notices:
        click.echo(notice, err=True)


def _write(folders: tuple[Path, ...]) -> None:
    from xmlcheck.write import write

    texts = {path: text for folder in folders for path, text in generated(folder).items()}
    write(texts)
    for path in texts:
        click.echo(f"wrote {path}.", err=True)


def _compare(folders: tuple[Path, ...]) -> None:
    from xmlcheck.cli.lazy import FOUND

    stale = False
    for file, text in ((file, text) for folder in folders for file, text in generated(folder).items()):
        fresh = file.is_file() and file.read_bytes() == text
        stale = stale or not fresh
        state = "fresh" if fresh else "not fresh: run xmlcheck plugins --index" if file.is_file() else "missing"
        click.echo(f"{file}: {state}")
    if stale:
        sys.exit(FOUND)
