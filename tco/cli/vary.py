"""`tco vary`."""

from __future__ import annotations

from pathlib import Path

import click

from tco.cli import options
from tco.cli.output import Found, Output, formats


@click.command()
@options.study_or_demo
@click.option("--grid", multiple=True, metavar="INPUT", help="A side of the grid; twice for both (or: years).")
@click.option("--by", default="20 %", show_default=True, help="How much less and more, without a range.")
@click.option("--steps", type=int, default=13, show_default=True, help="Values of an input in the grid.")
@click.option("--years", "span", metavar="1..10", help="Years in the grid; may go beyond the study's horizon.")
@options.out
@options.replace
@formats
def vary(
    output: Output,
    study: Path | None,
    grid: tuple[str, ...],
    by: str,
    steps: int,
    span: str | None,
    out: Path | None,
    replace: bool,
) -> None:
    """Show which inputs of a study matter most.

    STUDY is a folder of CSV files or one .xlsx; the demo if left out. Each input
    alone goes from its low to its high end: as ranges.csv says, else 20 % less and
    more; counts by one. Prints what changes costs most and what makes another
    scenario the cheapest; then a grid of two inputs, or of one and the years it is
    kept: who is the cheapest in each cell. Writes vary.xlsx, vary.csv and
    vary_grid.csv. With csv the table is that of vary.csv, or of vary_grid.csv
    where --grid or --years is given.

    \b
    Example:  tco vary demo
              tco vary demo --grid "hour value" --grid "electricity price"
              tco vary my-study --grid "electricity price" --years 1..10
    """
    import tco
    from tco.read import asked
    from tco.write.chance_words import TYPED
    from tco.write.vary import write_varied
    from tco.write.vary_csv import grid_table, vary_table
    from tco.write.vary_text import varied_text
    from tco.write.vary_words import answers, grid_answer, notes

    years, share = asked.years(span) if span else (), asked.share(by)
    is_grid = bool(grid or years)
    with output.work(4) as work:
        comparison = options.compared(work, study)
        found = work.step(
            "varying inputs", lambda: tco.vary(comparison, grid=grid, by=share, steps=steps, years=years)
        )
        files = work.write(lambda folder: write_varied(found, folder, replace=replace), output.folder(out))
    more = [grid_answer(found.grid)] if found.grid else []
    output.show(
        Found(
            lambda: varied_text(found, files),
            lambda: (grid_table if is_grid else vary_table)(found),
            lambda: [*answers(found, TYPED), *more],
            lambda: notes(found),
            comparison.study.settings.question,
        )
    )
