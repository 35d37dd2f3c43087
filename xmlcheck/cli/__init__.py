"""The command line: thin over the API, each command loaded when it is asked for."""

from __future__ import annotations

import click

from xmlcheck.cli.lazy import LazyGroup

COMMANDS = {
    "check": ("xmlcheck.cli.check", "Check scores; write an annotated copy and a findings file."),
    "handoff": ("xmlcheck.cli.handoff", "Hold the score and parts of a folder or zip against one another."),
    "compare": ("xmlcheck.cli.compare", "Tell what changed between two revisions, and who needs a new page."),
    "watch": ("xmlcheck.cli.watch", "Check each export in a folder as it is made."),
    "library": ("xmlcheck.cli.library", "Check a whole library into one results file; can be resumed."),
    "report": ("xmlcheck.cli.report", "Make a page of a findings file, to look at and to print."),
    "unmark": ("xmlcheck.cli.unmark", "Take the check marks out again, byte for byte."),
    "about": ("xmlcheck.cli.about", "Show what is known of an instrument, or what a rule says."),
    "instruments": ("xmlcheck.cli.instruments", "List the instruments that are known."),
    "plugins": ("xmlcheck.cli.plugins", "List the plugins; write, index and check your own."),
    "docs": ("xmlcheck.cli.docs", "Write the reference of all rules and instruments as Markdown."),
    "demo": ("xmlcheck.cli.demo", "Try it on a cue of our own, with faults put in."),
}
"""Command to its module, which holds a click command named `command`, and its line in the help."""


def _version(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted:
        from xmlcheck.version import VERSION

        click.echo(f"xmlcheck {VERSION}")
        context.exit()


@click.group(
    cls=LazyGroup, commands_at=COMMANDS, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.option("--version", is_flag=True, is_eager=True, expose_value=False, callback=_version, help="Show the version.")
def main() -> None:
    """Finds what live players cannot play or could misread in MusicXML, and says why, who says so and what to do.

    Results go to standard output, all else to standard error; "-" is standard input. Exit status: 0 nothing open at or
    above --hold-at, 1 findings, 2 the job could not be done.
    """
