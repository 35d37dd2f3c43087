"""A click group that imports a command when it is run, not to list it; and errors as one sentence with exit status 2."""

from __future__ import annotations

import traceback
from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click

from xmlcheck.errors import XmlcheckError

FOUND, FAILED = 1, 2
"""Exit statuses: findings at or above --hold-at; the job could not be done."""


class Failed(click.ClickException):
    """Ends the run with one sentence on standard error."""

    exit_code = FAILED

    def show(self, file: Any = None) -> None:
        click.echo(f"xmlcheck: {self.message}", file=file, err=file is None)


class LazyGroup(click.Group):
    """commands_at: command name to (module with a click command `command`, line in the help)."""

    def __init__(self, *args: Any, commands_at: Mapping[str, tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.commands_at = commands_at

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands_at)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.commands_at:
            return None
        command: click.Command = import_module(self.commands_at[cmd_name][0]).command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in self.commands_at.items()])

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except XmlcheckError as error:
            raise Failed(str(error)) from error
        except KeyboardInterrupt:
            raise Failed("stopped; files that were written are complete.") from None
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except Exception as error:  # a fault of ours: exit status 1 would mean "findings"
            traceback.print_exc()
            raise Failed(f"failed by a fault of its own ({type(error).__name__}); please report the lines above.") from error
