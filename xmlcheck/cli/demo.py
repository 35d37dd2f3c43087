"""`xmlcheck demo`: our own cue with faults put in, copied out, checked and annotated."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

import click

from xmlcheck.cli import options

CUE = "the-crossing.musicxml"


@click.command("demo", short_help="Try it on a cue of our own, with faults put in.")
@click.option("--out", type=options.PATH, default=Path("xmlcheck-demo"), metavar="DIR", help="Default: xmlcheck-demo.")
def command(out: Path) -> None:
    """Copy the demo cue to DIR and check it there.

    It is "The Crossing" from "The Lamplighters' Causeway", invented for this tool: a mock-up as it leaves a sequencer, with
    faults put in on purpose, so there are findings and the exit status is 0 all the same.
    """
    from xmlcheck.cli.lazy import FAILED, Failed
    from xmlcheck.cli.run import Run, run
    from xmlcheck.config import Config
    from xmlcheck.errors import WriteFailed
    from xmlcheck.paths import Choices
    from xmlcheck.write import write

    data = cue().read_bytes()
    target = out / CUE
    if target.exists() and target.read_bytes() != data:
        raise WriteFailed(f"{target}: is there already and is not the demo cue; give --out another folder.")
    if not target.exists():
        write({target: data})
        click.echo(f"wrote {target}.", err=True)
    choices = Choices(config=Config())  # whatever stands above DIR, the demo shows the same
    status = run(Run((target,), choices, None, True, None, False, None, 1, False))
    if status == FAILED:
        raise Failed("the demo could not be finished.")


def cue() -> Traversable:
    """The demo cue: in an installed wheel inside the package; in an editable install in the checkout's corpus."""
    inside = files("xmlcheck") / "demo" / CUE
    if inside.is_file():
        return inside
    return Path(__file__).resolve().parents[2] / "corpus" / "demo" / CUE
