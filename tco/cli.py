"""What a person types. Parses, calls, prints; no arithmetic. Heavy libraries are imported inside the commands."""

from __future__ import annotations

import errno
import signal
import sys
from pathlib import Path
from typing import Any

import click

from tco.errors import TcoError

FOLDER = click.Path(path_type=Path)


class Commands(click.Group):
    """A group whose commands end with a person's own problems as plain messages and exit code 2.

    Being told to stop is like Ctrl-C: what was begun is cleared away, and earlier results stay.
    """

    def invoke(self, ctx: click.Context) -> Any:
        signal.signal(signal.SIGTERM, signal.default_int_handler)
        try:
            return super().invoke(ctx)
        except TcoError as error:
            click.echo(str(error), err=True)
            sys.exit(error.exit_code)
        except OSError as error:
            if error.errno == errno.EPIPE:  # nobody reads on; click ends quietly
                raise
            click.echo(f"the answer cannot be printed: {error.strerror or error}", err=True)
            sys.exit(TcoError.exit_code)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(package_name="tco", message="tco %(version)s")
def main() -> None:
    """What a storage cluster at home costs over the years.

    Parts lists and tariffs in CSV go in; purchase, electricity, expected
    replacements and resale, discounted, come out as a live workbook and CSV.

    \b
    First try:  tco compare
    """


def place_of(study: Path | None) -> Path:
    """Where a study stands; the demo where there is none, or none of the name `demo`."""
    import tco

    return tco.demo() if study is None or (str(study) == "demo" and not study.exists()) else study


def compared(study: Path | None, against: str = "") -> Any:
    """The comparison of a study; see place_of."""
    import tco

    return tco.compare(tco.load(place_of(study)), against=against)


@main.command()
@click.argument("study", type=FOLDER, required=False)
@click.option("--out", type=FOLDER, default=Path("out"), help="Folder for the results (default: out).")
@click.option("--replace", is_flag=True, help="Overwrite a workbook that was changed by hand.")
@click.option("--against", default="", metavar="SCENARIO", help="Measure against this one, not the study's baseline.")
def compare(study: Path | None, out: Path, replace: bool, against: str) -> None:
    """Compare the scenarios of STUDY (a folder of CSV files, or one .xlsx; the demo if left out).

    Prints the answer and writes comparison.xlsx, lines.csv, measures.csv,
    bills.csv and checks.csv.

    \b
    Example:  tco compare
              tco compare my-study --out my-results
              tco compare demo --against "quiet minis"
    """
    import tco
    from tco.write.terminal import comparison_text

    comparison = compared(study, against)
    files = tco.save(comparison, out, replace=replace)
    click.echo(comparison_text(comparison, files))


@main.command()
@click.argument("study", type=FOLDER)
@click.argument("scenario")
@click.argument("line")
@click.argument("month", type=int, required=False)
def explain(study: Path, scenario: str, line: str, month: int | None) -> None:
    """Show where a figure comes from: the LINE of a SCENARIO in a MONTH, or over the horizon.

    STUDY may be the word "demo". LINE is a cost line (purchase, electricity,
    replacement, fees, resale ...), "total", "energy", "power", or a measure
    (lcc, equivalent_month, net_savings ...).

    \b
    Example:  tco explain demo "quiet minis" electricity 14
    """
    from tco.ask.explain import explain as how
    from tco.write.layout import layout
    from tco.write.terminal import explanation_text

    comparison = compared(study)
    stands = layout(comparison.built)
    found = how(comparison, scenario, line, month, lambda column, row: "!".join(stands.cell(column, row)))
    click.echo(explanation_text(found))


@main.command()
@click.argument("study", type=FOLDER, required=False)
def check(study: Path | None) -> None:
    """Hold the scenarios of STUDY against good practice (the demo if left out).

    Prints findings with why each matters and on whose word: a published source
    or common practice. A finding blocks nothing and changes no figure. What
    could not be looked at, because an input is missing, is told at the end.

    \b
    Example:  tco check demo
              tco check my-study
    """
    from tco.write.findings_text import findings_text

    click.echo(findings_text(compared(study)))


@main.command()
@click.argument("study", type=FOLDER)
@click.option("--tariff", "tables", type=FOLDER, multiple=True, metavar="FILE", help="New rows as CSV; repeatable.")
@click.option("--price", metavar="AMOUNT", help='Or one new price, such as "0.36 EUR/kWh".')
@click.option("--from", "start", metavar="MONTH", help="The first month of that price, such as 2027-03.")
@click.option("--name", default="", metavar="TARIFF", help="Its tariff, where the study has several.")
@click.option("--out", type=FOLDER, default=Path("out"), help="Folder for the results (default: out).")
@click.option("--write", is_flag=True, help="Change the study itself, not a copy of it.")
@click.option("--replace", is_flag=True, help="Overwrite results that were changed by hand.")
def reprice(study: Path, tables: tuple[Path, ...], out: Path, write: bool, replace: bool, **one: str) -> None:
    """Add a new version to a tariff of STUDY, and show what it changes.

    FILE has rows as tariffs.csv has them; or as charges.csv, hours.csv or
    holidays.csv, beside the tariff's row. Old versions are kept, so that months
    before the change keep their cost. Prints costs before and after, and whether
    the ranking or the price at which scenarios cost the same moved; writes
    reprice.xlsx, reprice.csv and a changed copy of the study. STUDY stays as it
    is unless --write is given.

    \b
    Example:  tco reprice demo --price "0.36 EUR/kWh" --from 2028-01
              tco reprice my-study --tariff new-tariff.csv --write
    """
    import tco
    from tco.ask.reprice import repriced
    from tco.errors import ResultError
    from tco.model import line_inputs
    from tco.read.revise import revise
    from tco.write.reprice import write_repriced
    from tco.write.reprice_text import nothing_text, reprice_text

    revision = revise(place_of(study), offers(tables, **one), line_inputs())
    if revision.is_nothing:
        click.echo(nothing_text(revision.same))
        return
    if write and revision.by_hand:
        raise ResultError(revision.by_hand)
    found = repriced(tco.compare(revision.before), tco.compare(revision.after), revision.added)
    files = write_repriced(found, revision.tables, out, change=write, replace=replace)
    click.echo(reprice_text(found, revision.notes, files))


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


@main.command()
@click.argument("study", type=FOLDER, required=False)
@click.option("--draws", type=int, default=10_000, show_default=True, help="How often to draw.")
@click.option("--seed", type=int, default=1, show_default=True, help="The same seed gives the same figures.")
@click.option("--out", type=FOLDER, default=Path("out"), help="Folder for the results (default: out).")
@click.option("--replace", is_flag=True, help="Overwrite a workbook that was changed by hand.")
def simulate(study: Path | None, draws: int, seed: int, out: Path, replace: bool) -> None:
    """Say how sure the costs of STUDY are (the demo if left out).

    Draws many times which units fail and when, and what the inputs named in
    ranges.csv turn out to be; all scenarios share a draw's luck. Prints how far
    costs may lie apart and how often each scenario is the cheapest; writes
    simulate.xlsx, simulate.csv, simulate_years.csv and simulate_inputs.csv.

    \b
    Example:  tco simulate demo
              tco simulate my-study --draws 100000 --out my-results
    """
    from tco.ask.simulate import simulate as drawn
    from tco.write.chance import write_simulated
    from tco.write.chance_text import simulated_text

    comparison = compared(study)
    with click.progressbar(length=draws, label="drawing", file=sys.stderr, hidden=not sys.stderr.isatty()) as bar:
        found = drawn(comparison, draws, seed, bar.update)
    click.echo(simulated_text(found, write_simulated(found, out, replace=replace)))


@main.command()
@click.argument("study", type=FOLDER, required=False)
@click.option("--grid", multiple=True, metavar="INPUT", help="A side of the grid; twice for both (or: years).")
@click.option("--by", default="20 %", show_default=True, help="How much less and more, without a range.")
@click.option("--steps", type=int, default=13, show_default=True, help="Values of an input in the grid.")
@click.option("--years", "span", metavar="1..10", help="Years in the grid; may go beyond the study's horizon.")
@click.option("--out", type=FOLDER, default=Path("out"), help="Folder for the results (default: out).")
@click.option("--replace", is_flag=True, help="Overwrite a workbook that was changed by hand.")
def vary(
    study: Path | None, grid: tuple[str, ...], by: str, steps: int, span: str | None, out: Path, replace: bool
) -> None:
    """Show which inputs of STUDY matter (the demo if left out).

    Each input alone goes from its low to its high end: as ranges.csv says, else
    20 % less and more; counts by one. Prints what changes costs most and what
    makes another scenario the cheapest; then a grid of two inputs, or of one and
    the years it is kept: who is the cheapest in each cell. Writes vary.xlsx,
    vary.csv and vary_grid.csv.

    \b
    Example:  tco vary demo
              tco vary demo --grid "hour value" --grid "electricity price"
              tco vary my-study --grid "electricity price" --years 1..10
    """
    import tco
    from tco.read import asked
    from tco.write.vary import write_varied
    from tco.write.vary_text import varied_text

    years = asked.years(span) if span else ()
    found = tco.vary(compared(study), grid=grid, by=asked.share(by), steps=steps, years=years)
    click.echo(varied_text(found, write_varied(found, out, replace=replace)))


@main.command()
@click.argument("study", type=FOLDER, required=False)
@click.option("--input", "names", multiple=True, metavar="INPUT", help="What varies (or: years); repeatable.")
@click.option("--between", nargs=2, metavar="ONE OTHER", help="Two scenarios; else the cheapest and each other.")
@click.option("--low", metavar="VALUE", help='Where to begin looking, such as "0 EUR" or "50 %".')
@click.option("--high", metavar="VALUE", help="How far to look, likewise.")
@click.option("--scenario", default="", metavar="SCENARIO", help="The only one in which the input varies.")
@click.option("--out", type=FOLDER, default=Path("out"), help="Folder for the results (default: out).")
@click.option("--replace", is_flag=True, help="Overwrite a file that is not the tool's own.")
def breakeven(
    study: Path | None,
    names: tuple[str, ...],
    between: tuple[str, ...],
    low: str | None,
    high: str | None,
    scenario: str,
    out: Path,
    replace: bool,
) -> None:
    """Say at which value two scenarios of STUDY cost the same (the demo if left out).

    Looks along the inputs that are named, or along the price of electricity,
    the years it is kept and all inputs of ranges.csv, each by itself, for every
    value at which the cheaper one changes, and says where there is none. Prices,
    counts and factors are looked at from 0 to 5 times what the study says, shares
    and growths from -50 % to 100 % or as far; --low and --high name another range,
    of years also beyond the study's horizon. Writes breakeven.csv.

    \b
    Example:  tco breakeven demo
              tco breakeven demo --input "hour value" --high "80 EUR/h"
              tco breakeven my-study --input years --between minis servers
    """
    import tco
    from tco.ask.breakeven import together
    from tco.write.breakeven import write_levels
    from tco.write.breakeven_text import levels_text

    if (low, high) != (None, None) and len(names) != 1:
        raise click.UsageError("--low and --high go with one --input")
    comparison, asked = compared(study), dict.fromkeys(names or ("",))
    ends = ends_of(comparison, names[0] if names else "", scenario, low, high)
    found = together(
        [
            tco.breakeven(comparison, name, between=between or (), low=ends[0], high=ends[1], scenario=scenario)
            for name in asked
        ]
    )
    click.echo(levels_text(found, write_levels(found, out, replace=replace)))


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


@main.command()
def columns() -> None:
    """Print what every column of a study means, with its unit, default and an example.

    \b
    Example:  tco columns
    """
    from tco.model import line_inputs
    from tco.read.columns import page

    click.echo(page(line_inputs()))


if __name__ == "__main__":
    main()
