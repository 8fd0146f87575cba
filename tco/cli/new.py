"""`tco new`."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats, say
from tco.write.screen import is_terminal

if TYPE_CHECKING:
    from tco.start.answers import Answers, Ask, Question
    from tco.write.tables import Table

HEADER = ("answer", "value", "from")


@click.command()
@click.argument("folder", type=options.FOLDER)
@click.option("--region", metavar="NAME", help='Country or state, for its average price of a kWh; or "none".')
@click.option("--currency", metavar="CODE", help="Currency of the study (default: the region's).")
@click.option("--price", metavar="AMOUNT", help='Price of a kWh from your bill instead, such as "0.31 EUR/kWh".')
@click.option("--rate", metavar="NUMBER", help="What 1 of the region's currency costs, where it is another.")
@click.option("--drive-price", "drive", metavar="AMOUNT", help="What a new hard drive of 8 TB costs; scales prices.")
@click.option("--room", metavar="AMOUNT", help='Data to keep at the start, such as "12 TB" (0.5 to 500 TB).')
@click.option("--build", multiple=True, metavar="KIND", help="minis, boards, servers or rented; repeatable.")
@options.today
@click.option("--no-questions", is_flag=True, help="Take the usual for what is not given, without asking.")
@formats
def new(output: Output, folder: Path, build: tuple[str, ...], no_questions: bool, **texts: str | None) -> None:
    """Begin a study of your own, which compares as it is.

    Makes FOLDER with every table, realistic invented values, and README.md with a
    note to each column. What no option says is asked on a terminal; elsewhere the
    usual is taken, and told. FOLDER must be new or empty.

    \b
    Example:  tco new my-study
              tco new my-study --region Germany --room "20 TB" --no-questions
              tco new my-study --build minis --build rented --price "0.29 CHF/kWh"
    """
    from tco.api import write_study
    from tco.start.answers import answered
    from tco.write.new_folder import check_free

    check_name(folder)
    check_free(folder)
    given = {name: text for name, text in texts.items() if text is not None}
    given |= {"build": ",".join(build)} if build else {}
    answers = answered(given, None if no_questions or not is_asking() else asking())
    with output.work(1) as work:
        files = work.write(lambda place: write_study(answers, place), folder)
    output.show(
        Found(
            lambda: told(answers, folder, files),
            lambda: table(answers),
            lambda: [f"A study to begin with is in {folder}; everything in it is invented but what says its source."],
            lambda: first_changes(answers),
        )
    )


def check_name(folder: Path) -> None:
    """Raises AskedError for the name by which the commands know the demo."""
    from tco.errors import AskedError

    if str(folder) == "demo":
        raise AskedError("demo", "is what the commands call the study that comes with tco; choose another name")


def is_asking() -> bool:
    """Whether a person is there to answer."""
    return is_terminal(sys.stdin) and is_terminal(sys.stderr)


def asking() -> Ask:
    """Puts questions on the terminal, each until its answer can be read."""
    from tco.errors import AskedError
    from tco.start.answers import take
    from tco.write.lines import wrapped

    say("Some questions; what stands in brackets is taken where you just press Enter.", err=True)

    def ask(question: Question, so_far: Answers, taken: str) -> Answers:
        say("\n".join(wrapped(f"{question.words(so_far)}; such as: {question.shown(so_far)}")), err=True)
        while True:
            text: Any = click.prompt("  answer", default=taken or None, err=True)
            try:
                return take(question, text, so_far)
            except AskedError as error:
                say("\n".join(wrapped(error.why, "  ", "")), err=True)

    return ask


def first_changes(answers: Answers) -> list[str]:
    """What to change first, in the order of weight."""
    from tco.start.notes import to_change

    return [text.replace("`", "") for text in to_change(answers)]


def told(answers: Answers, folder: Path, files: list[Path]) -> str:
    """What was made, what to change first, and how to go on."""
    from tco.start.notes import taken
    from tco.write.lines import all_wrapped, page, wrapped

    head = f"A study to begin with: {len(files)} files in {folder}. Values are invented where no source is named."
    order = [f"{number}. {text}" for number, text in enumerate(first_changes(answers), start=1)]
    results = folder.with_name(f"{folder.name}-results")
    steps = [f"tco compare {shlex.quote(str(folder))} --out {shlex.quote(str(results))}"]
    return page(
        head,
        [],
        [
            all_wrapped(f"- {text}" for text in taken(answers)),
            ["change first, what weighs most at the top:", *all_wrapped(order, hang="   ")],
            wrapped(f"What every column means, and why its values are as they are: {folder / 'README.md'}"),
            ["next:", *(f"  {step}" for step in steps)],
        ],
    )


def table(answers: Answers) -> Table:
    """The answers as a table."""
    from tco.start.notes import each
    from tco.write.tables import Table

    rows = [(name, value, "given" if is_given else "taken") for name, value, is_given in each(answers)]
    return Table("", HEADER, rows)
