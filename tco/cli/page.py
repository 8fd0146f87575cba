"""The page that documents every command, made from the commands themselves: `python -m tco.cli.page`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import main
from tco.cli.group import SETTINGS
from tco.places import data_folder

PAGE = Path("commands.md")
WIDTH, HELP = 80, SETTINGS["help_option_names"]
INTRODUCTION = """# Commands

*Made from the commands by `python -m tco.cli.page`; do not edit.*

Each command is as its own `--help` prints it. A study is a folder of CSV files or one .xlsx ([columns](columns.md)).
"""


def page() -> str:
    """The whole page: the tool itself, then each command in alphabetical order."""
    every = [("tco", main), *((f"tco {name}", main.commands[name]) for name in sorted(main.commands))]
    return "\n".join([INTRODUCTION, *(block(name, command) for name, command in every)])


def block(name: str, command: click.Command) -> str:
    """One command's help under its name."""
    context = click.Context(command, info_name=name, terminal_width=WIDTH, help_option_names=HELP)
    return f"## {name}\n\n```text\n{command.get_help(context)}\n```\n"


if __name__ == "__main__":
    (data_folder() / PAGE).write_text(page(), encoding="utf-8")
