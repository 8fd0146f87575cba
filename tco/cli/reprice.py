"""`tco reprice`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study
@click.option(
    "--tariff", "tables", type=options.FOLDER, multiple=True, metavar="FILE", help="New rows as CSV; repeatable."
)
@click.option(
    "--price", metavar="AMOUNT", help='Or one new price for all of a kWh, taxes and grid in it: "0.36 EUR/kWh".'
)
@click.option("--from", "start", metavar="MONTH", help="The first month of that price, such as 2027-03.")
@click.option("--name", default="", metavar="TARIFF", help="Its tariff, where the study has several.")
@options.out
@click.option("--write", is_flag=True, help="Change the study itself, not a copy of it.")
@click.option("--replace", is_flag=True, help="Overwrite results that were changed by hand.")
@formats
def reprice(
    output: Output, study: Path, tables: tuple[Path, ...], out: Path | None, write: bool, replace: bool, **one: str
) -> None:
    """Add a new version to a tariff, and show what it changes.

    FILE has rows as tariffs.csv has them; or as charges.csv, hours.csv or
    holidays.csv, beside the tariff's row. Old versions are kept, so that months
    before the change keep their cost. Prints costs before and after, and whether
    the ranking or the price at which scenarios cost the same moved; writes
    reprice.xlsx, reprice.csv and a changed copy of the study. STUDY stays as it
    is unless --write is given, which writes results with any format.

    \b
    Example:  tco reprice demo --price "0.36 EUR/kWh" --from 2028-01
              tco reprice my-study --tariff new-tariff.csv --write
    """
    import tco
    from tco.ask.reprice import repriced
    from tco.errors import ResultError
    from tco.model import line_inputs
    from tco.read.revise import revise
    from tco.write.reprice import nothing_table, reprice_table, write_repriced
    from tco.write.reprice_text import nothing_text, reprice_text, sentences

    place, offered = options.place_of(study), offers(tables, **one)
    with output.work(4) as work:
        revision = work.step(f"reading {place}", lambda: revise(place, offered, line_inputs()))
        if revision.is_nothing:
            told = [f"nothing to change: {same}" for same in revision.same]
            output.show(Found(lambda: nothing_text(revision.same), nothing_table, lambda: told, lambda: told))
            return
        if write and revision.by_hand:
            raise ResultError(revision.by_hand)
        before = work.step("working out costs before", lambda: tco.compare(revision.before))
        after = work.step("working out costs after", lambda: tco.compare(revision.after))
        found = repriced(before, after, revision.added)
        files = work.write(
            lambda folder: write_repriced(found, revision.tables, folder, change=write, replace=replace),
            output.folder(out, wanted=write),
        )
    output.show(
        Found(
            lambda: reprice_text(found, revision.notes, files),
            lambda: reprice_table(found),
            lambda: sentences(found),
            lambda: revision.notes,
            found.study.settings.question,
        )
    )


def offers(tables: tuple[Path, ...], price: str | None, start: str | None, name: str) -> list[Any]:
    """What is offered to `tco reprice`: files, or one price."""
    from tco.read.revise import NewPrice

    if bool(tables) == (price is not None):
        raise click.UsageError("give new rows with --tariff FILE, or one new price with --price and --from")
    if (price is None) != (start is None) or (name and price is None):
        raise click.UsageError(
            "--price, --from and --name go together: the price and its first month, and its tariff"
        )
    return [*tables] if price is None or start is None else [NewPrice(price, start, name)]
