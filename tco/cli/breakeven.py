"""`tco breakeven`."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study_or_demo
@click.option("--input", "names", multiple=True, metavar="INPUT", help="What varies (or: years); repeatable.")
@click.option("--between", nargs=2, metavar="ONE OTHER", help="Two scenarios; else the cheapest and each other.")
@click.option("--low", metavar="VALUE", help='Where to begin looking, such as "0 EUR" or "50 %".')
@click.option("--high", metavar="VALUE", help="How far to look, likewise.")
@click.option("--scenario", default="", metavar="SCENARIO", help="The only one in which the input varies.")
@options.out
@click.option("--replace", is_flag=True, help="Overwrite a file that is not the tool's own.")
@formats
def breakeven(
    output: Output,
    study: Path | None,
    names: tuple[str, ...],
    between: tuple[str, ...],
    low: str | None,
    high: str | None,
    scenario: str,
    out: Path | None,
    replace: bool,
) -> None:
    """Say at which value two scenarios cost the same.

    STUDY is a folder of CSV files or one .xlsx; the demo if left out. Looks along
    the inputs that are named, or along the price of electricity, the years it is
    kept and all inputs of ranges.csv, each by itself, for every value at which the
    cheaper one changes, and says where there is none. Prices, counts and factors
    are looked at from 0 to 5 times what the study says, shares and growths from
    -50 % to 100 % or as far; --low and --high name another range, of years also
    beyond the study's horizon. Writes breakeven.csv, which is the table with csv.

    \b
    Example:  tco breakeven demo
              tco breakeven demo --input "hour value" --high "80 EUR/h"
              tco breakeven my-study --input years --between minis servers
    """
    import tco
    from tco.ask.breakeven import together
    from tco.write.breakeven import levels_table, write_levels
    from tco.write.breakeven_text import answers, levels_text, notes

    if (low, high) != (None, None) and len(names) != 1:
        raise click.UsageError("--low and --high go with one --input")
    asked = list(dict.fromkeys(names or ("",)))
    with output.work(3 + len(asked)) as work:
        comparison = options.compared(work, study)
        ends = ends_of(comparison, names[0] if names else "", scenario, low, high)
        ask = partial(tco.breakeven, comparison, between=between or (), low=ends[0], high=ends[1], scenario=scenario)
        parts = [work.step(f"looking along {name or 'all inputs'}", partial(ask, name)) for name in asked]
        found = together(parts)
        files = work.write(lambda folder: write_levels(found, folder, replace=replace), output.folder(out))
    output.show(
        Found(
            lambda: levels_text(found, files),
            lambda: levels_table(found),
            lambda: answers(found),
            lambda: notes(found),
            comparison.study.settings.question,
        )
    )


def ends_of(comparison: Any, name: str, scenario: str, *texts: str | None) -> list[float | None]:
    """The ends of a range as a person types them, as numbers in the input's unit."""
    from tco.ask.breakeven import is_years
    from tco.ask.inputs import find
    from tco.ask.vary_ends import as_one
    from tco.read import asked

    if texts == (None, None):
        return [None, None]
    one = None if is_years(name) else as_one(find(comparison, name, scenario))
    cell = asked.KEPT if one is None else one.cell or asked.FACTOR
    return [None if text is None else asked.amount(text, cell, comparison.study) for text in texts]
