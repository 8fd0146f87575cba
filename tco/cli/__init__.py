"""What a person types. Parses, calls, prints; no arithmetic. Heavy libraries are imported inside the commands.

A command is a module beside this one, with a click command of its name, and a line in COMMANDS.
"""

from __future__ import annotations

import click

from tco.cli import breakeven, check, columns, compare, explain, grow, new, reprice, simulate, spend, track, vary
from tco.cli.group import SETTINGS, Commands
from tco.cli.output import manner

COMMANDS = (
    breakeven.breakeven,
    check.check,
    columns.columns,
    compare.compare,
    explain.explain,
    grow.grow,
    new.new,
    reprice.reprice,
    simulate.simulate,
    spend.spend,
    track.track,
    vary.vary,
)


@click.group(cls=Commands, context_settings=SETTINGS)
@manner
@click.version_option(package_name="tco", message="tco %(version)s")
def main() -> None:
    """What a storage cluster at home costs over the years.

    Parts lists and tariffs in CSV go in; purchase, electricity, expected
    replacements and resale, discounted, come out as a live workbook and CSV.

    \b
    First try:  tco compare

    Exit code 0: done; 1: stopped, by Ctrl-C or because nobody reads what is
    printed; 2: something for you to mend, which standard error tells.
    """


for command in COMMANDS:
    main.add_command(command)
