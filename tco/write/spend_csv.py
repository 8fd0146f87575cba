"""What to buy next as CSV: a tidy table, floats in full.

spend.csv (scenario, what, bought, along, figure, before, after, change, per_100, unit): a row for each purchase
(`what` is `purchase`), or the best set within the budget (`set`), and each figure. `along`: what is bought with it
because it needs that. Figure `price`: what is paid more at the start; `verdict`: `improves`, `no improvement` or `not
recommended` with the reason. `change`: after less before; `per_100`: that for each 100 units of money. The best for
its money stands first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.spend import HUNDRED, Figure, Spending
from tco.model.measure import LEVEL
from tco.write.spend_words import verdict
from tco.write.tables import Table

HEADER = ("scenario", "what", "bought", "along", "figure", "before", "after", "change", "per_100", "unit")
NUMBERS = ("before", "after", "change", "per_100")
PURCHASE, SET, NOTHING = "purchase", "set", "nothing"
JOIN = " + "
Row = tuple[str | float, ...]


def spend_csv(found: Spending) -> str:
    """See above."""
    return spend_table(found).csv


def spend_table(found: Spending) -> Table:
    """What spend.csv has."""
    return Table("spend.csv", HEADER, [*single_rows(found), *best_rows(found)], NUMBERS)


def single_rows(found: Spending) -> Iterator[Row]:
    """Every purchase by itself."""
    for one in found.singles:
        about = (found.scenario, PURCHASE, one.name, JOIN.join(one.along))
        yield (*about, "verdict", "", verdict(one), "", "", "")
        if one.price is not None:
            yield from rows_of(found, about, one.price, one.figures)


def best_rows(found: Spending) -> Iterator[Row]:
    """The best set within the budget."""
    best = found.best
    if best is not None:
        about = (found.scenario, SET, JOIN.join(best.names) or NOTHING, "")
        proven = f"not proven: {'; '.join(best.why_not_proven)}" if best.why_not_proven else "no set is better"
        yield (*about, "verdict", "", proven, "", "", "")
        yield (*about, "budget", "", best.budget, "", "", found.study.settings.currency)
        yield from rows_of(found, about, best.price, best.figures)


def rows_of(found: Spending, about: Sequence[str], price: float, figures: Sequence[Figure]) -> Iterator[Row]:
    """The price, then the figures."""
    yield (*about, "price", 0.0, price, price, "", found.study.settings.currency)
    for figure in figures:
        change: float | str = "" if figure.change is None else figure.change
        per = "" if isinstance(change, str) or price <= LEVEL else HUNDRED * change / price
        unit = "" if isinstance(figure.after, str) else figure.unit
        yield (*about, figure.name, figure.before, figure.after, change, per, unit)
