"""The summary's table as cells with what they show: figures, and right of the page what sentences and charts need."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from tco.model import LINES, Ground
from tco.write import names
from tco.write.blocks import Draft
from tco.write.live import Live, either, fixed, picked, row_of, sentence, size

HELPERS = (
    "order",
    "ahead at the end",
    "month",
    "paid",
    "largest line",
    "largest amount",
    "undiscounted",
    "meets at",
    "meets with",
    "line",
)


@dataclass
class Board:
    """The summary's table: one scenario a row from `first` on, one figure a column; helpers right of the page."""

    draft: Draft
    sheet: str
    first: int
    columns: dict[str, int]
    help: int
    grounds: tuple[Ground, ...] = field(init=False)

    def __post_init__(self) -> None:
        self.grounds = self.draft.comparison.built.grounds
        self.columns["scenario"] = 0
        lines = [f"line {line.name}" for line in LINES]
        self.columns |= {key: self.help + n for n, key in enumerate([*HELPERS, *lines])}

    # cells

    def cell(self, key: str, number: int) -> str:
        """The cell of a scenario's figure."""
        return f"{names.quoted(self.sheet)}${names.letters(self.columns[key])}${self.first + number + 1}"

    def span(self, key: str, until: int = -1) -> str:
        """The cells of all scenarios' figures."""
        last = until if until >= 0 else len(self.grounds) - 1
        return f"{self.cell(key, 0)}:{self.cell(key, last).rpartition('!')[2]}"

    # what they show

    def measure(self, number: int, name: str) -> Live:
        """A measure, on its scenario's sheet."""
        column = self.grounds[number].own("measures", name)
        return Live(self.draft.layout.absolute(column), float(self.draft.comparison.of(column)[0]))

    def values(self, key: str) -> list[Any]:
        """What a column of the table shows."""
        if key == "scenario":
            return [ground.scenario.scenario for ground in self.grounds]
        rows = range(len(self.grounds))
        if key in HELPERS:
            return [self.helpers(number)[key].value for number in rows]
        return [self.measure(number, key).value for number in rows]

    def in_month(self, number: int, name: str, place: Live) -> Live:
        """A monthly figure at a place counted from 1."""
        column = self.grounds[number].month(name)
        span = self.draft.layout.absolute(column, 0, len(column.table.rows) - 1)
        return picked(self.draft.comparison.of(column).tolist(), span, place)

    def helpers(self, number: int) -> dict[str, Live]:
        """What the sentences and charts need of a scenario."""
        last = len(self.grounds[number].months.rows)
        month = self.measure(number, "caught_up")
        found = {
            "order": self.order(number),
            "ahead at the end": self.in_month(number, "ahead", Live(str(last), last)),
            "month": month,
            "paid": self.in_month(number, "cumulative", Live(str(last), last)),
            **self.largest(number),
            "undiscounted": self.measure(number, "undiscounted"),
            **self.meeting(number, month),
            "line": self.line_name(number),
        }
        return found | {f"line {line.name}": self.measure(number, f"total_{line.name}") for line in LINES}

    def order(self, number: int) -> Live:
        """A scenario's place by life-cycle cost; of two that are equal, the first comes first."""
        costs = [self.measure(n, "lcc").value for n in range(len(self.grounds))]
        own = self.cell("lcc", number)
        less = sum(cost < costs[number] for cost in costs) + costs[: number + 1].count(costs[number])
        both = f"SUMPRODUCT(({self.span('lcc')}<{own})*1)+SUMPRODUCT(({self.span('lcc', number)}={own})*1)"
        return Live(both, less)

    def largest(self, number: int) -> dict[str, Live]:
        """The largest cost line of a scenario."""
        keys = [f"line {line.name}" for line in LINES]
        values = [self.measure(number, f"total_{line.name}").value for line in LINES]
        cells = f"{self.cell(keys[0], number)}:{self.cell(keys[-1], number).rpartition('!')[2]}"
        amount = Live(f"MAX({cells})", max(values))
        choices = ",".join(f'"{line.label}"' for line in LINES)
        place = values.index(amount.value)
        name = Live(f"CHOOSE(MATCH({amount.formula},{cells},0),{choices})", LINES[place].label)
        return {"largest line": name, "largest amount": amount}

    def meeting(self, number: int, month: Live) -> dict[str, Live]:
        """Where a scenario's line last meets the baseline's from above: month and amount, straight between months."""
        before = Live(self.cell("month", number), int(month.value))
        never = Live(f"{before.formula}=0", before.value == 0)
        places = (before, Live(f"{before.formula}+1", before.value + 1))
        one, two = (size(self.in_month(number, "ahead", place)) for place in places)
        low, high = (self.in_month(number, "cumulative", place) for place in places)
        way = 0.0 if never.value else one.value / (one.value + two.value)
        at = Live(
            f"{before.formula}-1+{one.formula}/({one.formula}+{two.formula})",
            before.value - 1 + way,
        )
        gone = f"({self.cell('meets at', number)}-{before.formula}+1)"
        paid = Live(
            f"{low.formula}+({high.formula}-{low.formula})*{gone}",
            low.value + (high.value - low.value) * way,
        )
        nothing = Live("0", 0.0)
        return {"meets at": either(never, nothing, at), "meets with": either(never, nothing, paid)}

    def place_of(self, order: Live) -> Live:
        """The row, counted from 1, of the scenario that comes first, second ..."""
        return row_of(self.values("order"), self.span("order"), order)

    def name(self, place: Live) -> Live:
        """The scenario's name in a row."""
        return picked(self.values("scenario"), self.span("scenario"), place)

    def figure(self, key: str, place: Live) -> Live:
        """A figure in a row."""
        return picked(self.values(key), self.span(key), place)

    def place_word(self, number: int) -> Live:
        """`cheapest`, `baseline`, both or nothing."""
        first = Live(f"{self.cell('order', number)}=1", self.order(number).value == 1)
        if self.grounds[number].scenario.baseline:
            return either(first, "cheapest, baseline", "baseline")
        return either(first, "cheapest", "")

    def line_name(self, number: int) -> Live:
        """A scenario's name in the chart's legend, with the month from which it is ahead of the baseline."""
        name = Live(self.cell("scenario", number), self.grounds[number].scenario.scenario)
        if self.grounds[number].scenario.baseline:
            return sentence(name, " (baseline)")
        month = Live(self.cell("month", number), self.measure(number, "caught_up").value)
        behind = self.behind(number)
        ahead = either(Live(f"{month.formula}=0", month.value == 0), "the start", sentence("month ", fixed(month)))
        return sentence(name, either(behind, ", not ahead by the end", sentence(", ahead from ", ahead)))

    def behind(self, number: int) -> Live:
        """Whether a scenario has paid more than the baseline by the end."""
        last = len(self.grounds[number].months.rows)
        end = self.in_month(number, "ahead", Live(str(last), last))
        return Live(f"{self.cell('ahead at the end', number)}<0", end.value < 0)

    def state(self, number: int) -> Live:
        """From which month on a scenario is ahead of the baseline for good: a number, or words."""
        if self.grounds[number].scenario.baseline:
            return Live('"–"', "–")
        behind = self.behind(number)
        month = Live(self.cell("month", number), self.measure(number, "caught_up").value)
        start = Live(f"{month.formula}=0", month.value == 0)
        return either(behind, "not by the end", either(start, "from the start", month))
