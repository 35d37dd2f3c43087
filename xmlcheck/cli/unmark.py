"""`xmlcheck unmark`: the original back from an annotated file."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from xmlcheck.cli import options


@click.command("unmark", short_help="Take the check marks out again, byte for byte.")
@click.argument("files", nargs=-1, required=True, type=options.PATH, metavar="FILE...")
@click.option("--out", type=options.PATH, metavar="DIR", help="Write the files here.")
@click.option("--anyway", is_flag=True, help="Also where a file was edited since it was annotated.")
@click.option("--by-label", is_flag=True, help='For files that lost the marks\' instructions: go by the words "[check n]".')
@options.quiet
def command(files: tuple[Path, ...], out: Path | None, anyway: bool, by_label: bool, quiet: bool) -> None:
    """Take the check marks out of annotated files.

    cue.checked.musicxml gives cue.musicxml, byte for byte the file that was checked; that is proved by its recorded sum.
    A file that is there already is not overwritten: where it is the same, that is said. "-" reads standard input and writes
    standard output.
    """
    from xmlcheck.errors import XmlcheckError

    failed = False
    for file in files:
        try:
            told = _unmark(file, out, anyway, by_label)
        except XmlcheckError as error:
            failed = True
            told = [f"xmlcheck: {error}"]
        else:
            told = [] if quiet else told
        for line in told:
            click.echo(line, err=True)
    if failed:
        from xmlcheck.cli.lazy import FAILED

        sys.exit(FAILED)


def _unmark(file: Path, out: Path | None, anyway: bool, by_label: bool) -> list[str]:
    """Unmarks one file and returns what to say about it. Raises XmlcheckError."""
    from xmlcheck.annotation import is_marked, unmark, unmark_by_label
    from xmlcheck.errors import WriteFailed
    from xmlcheck.source import read_source
    from xmlcheck.write import write

    source = read_source(file)
    given = source.container or source.data
    lines: list[str] = []
    if by_label:
        data, labels = unmark_by_label(given, source.name)
        lines = [f"{file}: took out {label}" for label in labels if "left in place" not in label]
        lines += [f"{file}: {label}" for label in labels if "left in place" in label]
        lines.append(f"{file}: these are not the bytes of the original, which another program has rewritten.")
    else:
        data = unmark(given, anyway, source.name)
        if anyway and data != given:
            lines.append(f"{file}: if it was edited since it was annotated, the result is not the file that was checked.")
    if str(file) == "-":
        sys.stdout.buffer.write(data)
        return lines
    if data == given and not is_marked(given):
        return [f"{file}: no check marks in it; nothing was written."]
    target = (out or file.parent) / original_name(file.name)
    if target.exists():
        if target.read_bytes() == data:
            return [*lines, f"{target}: is there already and is this very file; nothing was written."]
        raise WriteFailed(f"{target}: is there already and differs; give --out another folder.")
    write({target: data})
    return [*lines, f"{file}: wrote {target}."]


def original_name(name: str) -> str:
    """`cue.checked.musicxml` gives `cue.musicxml`, `cue.xml.checked.musicxml` `cue.xml`, others `cue.unmarked.musicxml`."""
    stem, suffix = Path(name).stem, Path(name).suffix
    if not stem.endswith(".checked"):
        return f"{stem}.unmarked{suffix}"
    base = stem.removesuffix(".checked")
    return base if Path(base).suffix.lower() in (".xml", ".mxl", ".musicxml") else f"{base}{suffix}"
