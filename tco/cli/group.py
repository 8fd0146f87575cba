"""How the commands end, and how their help is laid out."""

from __future__ import annotations

import errno
import gc
import sys
from typing import Any

import click

from tco.cli.output import left_behind, say
from tco.errors import TcoError, UnknownNameError
from tco.stops import STOPPED, in_order
from tco.write.screen import width

SETTINGS = {"help_option_names": ["-h", "--help"]}
LIVES_ON = 1_000_000  # new objects between two searches for garbage: nearly all of a model's live to the end


class Commands(click.Group):
    """A group whose commands end with a person's own problems as plain messages and exit code 2.

    Being told to stop is like Ctrl-C: what was begun is cleared away, and earlier results stay.
    """

    def invoke(self, ctx: click.Context) -> Any:
        with in_order(lambda: left_behind(ctx)) as stop:
            try:
                return super().invoke(ctx)
            except TcoError as error:
                say(message(error), err=True)
                sys.exit(error.exit_code)
            except (KeyboardInterrupt, click.Abort):  # the latter while a question is asked
                stop.is_over = True
                say(f"stopped; {left_behind(ctx)}", err=True)
                sys.exit(STOPPED)
            except OSError as error:
                if error.errno == errno.EPIPE:  # nobody reads on; click ends quietly, with exit code 1
                    raise
                what = error.filename or "the answer cannot be printed"
                say(f"{what}: {error.strerror or error}; {left_behind(ctx)}", err=True)
                sys.exit(TcoError.exit_code)

    def main(self, *args: Any, **extra: Any) -> Any:
        """The same where the help or the version cannot be printed, which is before any command."""
        gc.set_threshold(LIVES_ON)
        try:
            return super().main(*args, **extra)
        except OSError as error:
            say(f"the answer cannot be printed: {error.strerror or error}", err=True)
            sys.exit(TcoError.exit_code)

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        """Help as wide as everything else."""
        return super().make_context(info_name, args, parent, terminal_width=width(), **extra)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Each command with the whole of its first line."""
        rows = [(name, self.commands[name].get_short_help_str(limit=1000)) for name in self.list_commands(ctx)]
        with formatter.section("Commands"):
            formatter.write_dl(rows)


def message(error: TcoError) -> str:
    """What was wrong; a long list of names in lines that fit."""
    if not isinstance(error, UnknownNameError) or not error.known:
        return str(error)
    from tco.write.lines import listed

    return "\n".join([error.text, *listed(error.known, "there are: ")])
