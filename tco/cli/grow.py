"""`tco grow`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study_or_demo
@click.option(
    "--scenario", "names", multiple=True, metavar="NAME", help="The scenario that grows; else all that may."
)
@click.option("--ahead", type=int, default=0, show_default=True, metavar="MONTHS", help="Buy so many months earlier.")
@click.option("--rent", metavar="AMOUNT", help="Compare with a rent per TB held.")
@options.out
@options.replace
@formats
def grow(
    output: Output,
    study: Path | None,
    names: tuple[str, ...],
    ahead: int,
    rent: str | None,
    out: Path | None,
    replace: bool,
) -> None:
    """Buy as the data grow, or all on day one?

    STUDY is a folder of CSV files or one .xlsx; the demo if left out. In the first
    month whose data are more than the room, the purchase whose turn it is
    (purchases.csv) is bought at that month's price; compared with the same bought
    on day one, and with renting. Prints what is bought when and what each way
    costs; writes grow.xlsx, a live comparison of the ways, and grow.csv.

    \b
    Example:  tco grow demo --ahead 1
              tco grow my-study --scenario minis --rent "5.50 EUR/TB/month"
    """
    import tco
    from tco.read import asked
    from tco.write.chance_words import TYPED
    from tco.write.grow import write_grown
    from tco.write.grow_csv import grow_table
    from tco.write.grow_text import grown_text
    from tco.write.grow_words import answers, notes

    with output.work(3) as work:
        read = options.read(work, study)
        paid = None if rent is None else asked.rent(rent, read)
        found = work.step("growing", lambda: tco.grow(read, scenarios=names, ahead=ahead, rent=paid))
        files = work.write(lambda folder: write_grown(found, folder, replace=replace), output.folder(out))
    output.show(
        Found(
            lambda: grown_text(found, files),
            lambda: grow_table(found),
            lambda: answers(found, TYPED),
            lambda: notes(found, TYPED),
            read.settings.question,
        )
    )
