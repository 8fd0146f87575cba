"""The library: load a study, compare its scenarios, get pandas frames, write the results."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tco import read
from tco.ask.compare import Comparison, compare
from tco.model import line_inputs
from tco.places import data_folder
from tco.study import Study

if TYPE_CHECKING:
    from datetime import date

    import pandas as pd

    from tco.ask.breakeven import BreakEvens
    from tco.ask.grow import Growth
    from tco.ask.spend import Spending
    from tco.ask.track import Tracked
    from tco.ask.vary import Variation
    from tco.start.answers import Answers


def load(study: str | Path, *, horizon: int | None = None) -> Study:
    """A checked study from a folder of CSV files or one .xlsx; raises StudyError with every problem at once.

    horizon: months for which it is kept, in the place of what the study says.
    """
    return read.load(study, line_inputs(), horizon=horizon)


def demo() -> Path:
    """The folder of the demo study that travels with the tool."""
    return data_folder() / "demo"


def new(
    folder: str | Path,
    *,
    region: str | None = None,
    currency: str | None = None,
    price: str | None = None,
    rate: str | None = None,
    drive_price: str | None = None,
    room: str | None = None,
    builds: Sequence[str] = (),
    today: date | None = None,
) -> list[Path]:
    """Make a starting study in a new or empty folder; returns its files. Raises AskedError, ResultError.

    Each answer is a text as the options of `tco new` take it (`"Germany"`, `"20 TB"`); what is left out is taken.
    today: the study begins in the month after, a rate is of that day; else the clock's.
    """
    from tco.start.answers import answered

    said = {"region": region, "currency": currency, "price": price, "rate": rate, "drive": drive_price, "room": room}
    said["today"] = f"{today}" if today else None
    given = {name: text for name, text in said.items() if text is not None}
    return write_study(answered(given | ({"build": ",".join(builds)} if builds else {})), Path(folder))


def write_study(answers: Answers, folder: Path) -> list[Path]:
    """The files of a starting study, once they have been read without a problem."""
    from tco.start.study import started
    from tco.write.new_folder import write_new

    return write_new(started(answers, line_inputs()), folder, load)


def lines(comparison: Comparison) -> pd.DataFrame:
    """Every cost line, and energy: columns scenario, line, month, value, unit."""
    from tco.write.frames import lines_frame

    return lines_frame(comparison)


def bills(comparison: Comparison) -> pd.DataFrame:
    """Every month's bill: columns scenario, month, kind, item, home, with_build, difference, unit."""
    from tco.write.frames import bills_frame

    return bills_frame(comparison)


def measures(comparison: Comparison) -> pd.DataFrame:
    """Every measure: columns scenario, measure, value, unit."""
    from tco.write.frames import measures_frame

    return measures_frame(comparison)


def vary(
    comparison: Comparison, *, grid: Sequence[str] = (), by: float = 0.2, steps: int = 13, years: Sequence[int] = ()
) -> Variation:
    """Each input alone between its ends, and a grid of two at once, or of one and the years it is kept.

    grid: two inputs by name; the years beside one; electricity price and years beside none (where that price changes
    no cost, the input that changes most). by: how much less and more than the study says, as a share of it, where
    ranges.csv says nothing. steps: values a side. years: the first and the last; beyond the horizon the study is read
    again from its folder. Raises AskedError, UnknownNameError, VariedError.
    """
    from dataclasses import replace

    from tco.ask import vary, vary_grid

    longer = kept_for(comparison, 12 * years[1]) if years else None
    found = vary.vary(comparison, by)
    matter = [one.choice.input.label for one in found.swings]
    own = vary_grid.grid(comparison, grid, by, steps, longer=longer, years=years, matter=matter)
    return replace(found, grid=own)


def breakeven(
    comparison: Comparison,
    input: str = "",
    *,
    between: Sequence[str] = (),
    low: float | None = None,
    high: float | None = None,
    scenario: str = "",
) -> BreakEvens:
    """At which value of an input two scenarios cost the same; see tco.ask.breakeven.

    input: by name, or `years`; else the price of electricity, the years and all of ranges.csv. between: two
    scenarios, else the cheapest and each other one. low, high: of the range in the input's unit, as a factor on what
    the study says, or in months; beyond the horizon the study is read again from its folder. scenario: the only one
    in which the input varies. Raises AskedError, UnknownNameError, VariedError.
    """
    from tco.ask import breakeven as asked

    longer = kept_for(comparison, int(high)) if asked.is_years(input) and high is not None else None
    return asked.breakeven(comparison, input, between, asked.Ends(low, high), scenario, longer=longer)


def kept_for(comparison: Comparison, months: int) -> Comparison | None:
    """The same study kept longer, read from its folder again; None where its own horizon has those months."""
    study = comparison.study
    if months <= study.settings.horizon:
        return None
    return compare(load(study.folder, horizon=months), against=comparison.built.baseline.scenario.scenario)


def track(study: Study, *, until: date | None = None, today: date | None = None) -> Tracked:
    """Hold a study's ledger against its plan, and forecast the rest from what is there now; see tco.ask.track.

    until: a month that is known to its end; its last row's if left out. today: a row after it is refused. Raises
    StudyError for rows in the future, AskedError where there is no ledger or it cannot be.
    """
    from tco.ask import track as asked

    return asked.track(study, until=until, today=today)


def spend(study: Study, *, scenario: str = "", goal: str = "", budget: float | None = None) -> Spending:
    """What to buy next of a study's purchases.csv: what each changes for its price, the best set within a budget.

    scenario: for which; else the only one with purchases, or the baseline. goal: a measure by its name in
    measures.csv, a plain word (`room`, `noise`), or a need; else the needs that are missed, or the room. budget: in
    the study's money; without it no set is looked for. Raises AskedError, UnknownNameError.
    """
    from tco.ask.spend import spend as asked

    return asked(study, scenario, goal, budget)


def grow(study: Study, *, scenarios: Sequence[str] = (), ahead: int = 0, rent: float | None = None) -> Growth:
    """Buying of purchases.csv as the data outgrow the room, against all on day one and renting; see tco.ask.grow.

    scenarios: which grow; else all for which a purchase has a turn. ahead: how many months earlier it is bought.
    rent: of one more way, per TB held and month, in the study's money. Raises AskedError, UnknownNameError.
    """
    from tco.ask.grow import grow as asked

    return asked(study, scenarios, ahead, rent)


def save(
    comparison: Comparison, folder: str | Path = "out", *, replace: bool = False, html: bool = False
) -> list[Path]:
    """Write comparison.xlsx and the CSV files, whole or not at all; raises ResultError.

    replace: whether a workbook that a person has changed may be overwritten. html: comparison.html as well, a page to
    send.
    """
    from tco.write.results import write_results

    return write_results(comparison, Path(folder), replace=replace, html=html)


__all__ = [
    "Comparison",
    "Study",
    "bills",
    "breakeven",
    "compare",
    "demo",
    "grow",
    "lines",
    "load",
    "measures",
    "new",
    "save",
    "spend",
    "track",
    "vary",
]
