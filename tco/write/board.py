"""The summary's table as cells with what they show: figures, and right of the page what sentences and charts need."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import fsum
from typing import Any

from tco.ask.compare import cents
from tco.engine import absent
from tco.model import LINES, Ground
from tco.write import names
from tco.write.blocks import Draft
from tco.write.live import Live, either, fixed, picked, row_of, sentence, size
from tco.write.unmet import why_not

OUTSIDE = -1000  # a month left of any chart: where a scenario's line does not meet the baseline's
LEGEND = 26
HELPERS = (
    "order",
    "open",
    "why",
    "side",
    "month",
    "fell behind",
    "paid",
    "largest line",
    "largest amount",
    "gross",
    "undiscounted",
    "electricity worth",
    "kWh price",
    "counted",
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
    known: dict[int, dict[str, Live]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        comparison = self.draft.comparison  # what is not ranked stands below
        self.grounds = tuple(sorted(comparison.built.grounds, key=lambda one: not comparison.meets(one)))
        self.columns["scenario"] = 0
        lines = [f"line {line.name}" for line in LINES]
        self.columns |= {key: self.help + n for n, key in enumerate([*HELPERS, *lines])}

    # cells

    def cell(self, key: str, number: int) -> str:
        """The cell of a scenario's figure."""
        return self.at(self.columns[key], number)

    def at(self, column: int, number: int) -> str:
        """The cell of a column in a scenario's row; right of the table's own columns too, and below the last row."""
        return f"{names.quoted(self.sheet)}${names.letters(column)}${self.first + number + 1}"

    def span(self, key: str, until: int = -1) -> str:
        """The cells of all scenarios' figures."""
        return self.down(self.columns[key], until)

    def down(self, column: int, until: int = -1) -> str:
        """The cells of a column in all scenarios' rows, or in those up to one."""
        last = until if until >= 0 else len(self.grounds) - 1
        return f"{self.at(column, 0)}:{self.at(column, last).rpartition('!')[2]}"

    # what they show

    def measure(self, number: int, name: str) -> Live:
        """A measure, on its scenario's sheet."""
        column = self.grounds[number].measure(name)
        return Live(self.draft.layout.absolute(column), float(self.draft.comparison.of(column)[0]))

    def values(self, key: str) -> list[Any]:
        """What a column of the table shows."""
        if key == "scenario":
            return [ground.scenario.scenario for ground in self.grounds]
        rows = range(len(self.grounds))
        if key in HELPERS or key.startswith("line "):
            return [self.helpers(number)[key].value for number in rows]
        return [self.measure(number, key).value for number in rows]

    def in_month(self, number: int, name: str, place: Live) -> Live:
        """A monthly figure at a place counted from 1."""
        column = self.grounds[number].month(name)
        span = self.draft.layout.absolute(column, 0, len(column.table.rows) - 1)
        return picked(self.draft.comparison.of(column).tolist(), span, place)

    def helpers(self, number: int) -> dict[str, Live]:
        """What the sentences and charts need of a scenario; worked out once."""
        if number not in self.known:
            self.known[number] = self.found(number)
        return self.known[number]

    def found(self, number: int) -> dict[str, Live]:
        """As helpers, afresh."""
        last = len(self.grounds[number].months.rows)
        month = self.measure(number, "caught_up")
        found = {
            "order": self.order(number),
            "open": self.measure(number, "needs_open"),
            "why": why_not(self, number),
            "side": self.measure(number, "side_at_end"),
            "month": month,
            "fell behind": self.measure(number, "fell_behind"),
            "paid": self.in_month(number, "cumulative", Live(str(last), last)),
            **self.largest(number),
            "undiscounted": self.measure(number, "undiscounted"),
            "electricity worth": self.measure(number, "electricity_worth"),
            "kWh price": self.kwh_price(number),
            "counted": self.counted(number),
            **self.meeting(number, month),
            "line": self.line_name(number),
        }
        return found | {f"line {line.name}": self.measure(number, f"total_{line.name}") for line in LINES}

    def kwh_price(self, number: int) -> Live:
        """What a kWh of the build costs; 0 where there is no such price."""
        column = self.grounds[number].measure("marginal_price")
        cell, words = self.draft.layout.absolute(column), absent(column, 0, self.draft.comparison.figures)
        return Live(f"IF(ISNUMBER({cell}),{cell},0)", 0.0 if words else float(self.draft.comparison.of(column)[0]))

    def counted(self, number: int) -> Live:
        """1 for those among which the cheapest is looked for: that meet all needs, or all where none does."""
        is_open, none = f"{self.cell('open', number)}=0", f"COUNTIF({self.span('open')},0)=0"
        name = self.grounds[number].scenario.scenario
        return Live(f"IF(OR({is_open},{none}),1,0)", float(name in self.draft.comparison.among))

    def order(self, number: int) -> Live:
        """A scenario's place by life-cycle cost to the cent, those that meet all needs first; of equals the first."""
        ranks = [self.rank(n) for n in range(len(self.grounds))]
        place = sum(rank < ranks[number] for rank in ranks) + ranks[: number + 1].count(ranks[number])
        own, mine = f"ROUND({self.cell('lcc', number)},2)", f"({self.cell('open', number)}>0)*1"
        cost, missed = f"ROUND({self.span('lcc')},2)", f"({self.span('open')}>0)*1"
        same, alike = f"ROUND({self.span('lcc', number)},2)", f"({self.span('open', number)}>0)*1"
        before = f"SUMPRODUCT(({missed}<{mine})+({missed}={mine})*({cost}<{own}))"
        return Live(f"{before}+SUMPRODUCT(({alike}={mine})*({same}={own}))", place)

    def rank(self, number: int) -> tuple[bool, float]:
        """Whether a scenario misses a need, and its life-cycle cost to the cent."""
        return self.measure(number, "needs_open").value > 0, cents(self.measure(number, "lcc").value)

    def is_ranked(self, place: Live) -> Live:
        """Whether the scenario in a row meets all needs."""
        own = self.figure("open", place)
        return Live(f"{own.formula}=0", own.value == 0)

    def largest(self, number: int) -> dict[str, Live]:
        """The largest cost line of a scenario."""
        keys = [f"line {line.name}" for line in LINES]
        values = [self.measure(number, f"total_{line.name}").value for line in LINES]
        cells = f"{self.cell(keys[0], number)}:{self.cell(keys[-1], number).rpartition('!')[2]}"
        amount = Live(f"MAX({cells})", max(values))
        labels = [line.label.lower() for line in LINES]
        choices = ",".join(f'"{label}"' for label in labels)
        place = values.index(amount.value)
        name = Live(f"CHOOSE(MATCH({amount.formula},{cells},0),{choices})", labels[place])
        gross = Live(f'SUMIF({cells},">0")', fsum(value for value in values if value > 0))
        return {"largest line": name, "largest amount": amount, "gross": gross}

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
        outside, nothing = Live(str(OUTSIDE), OUTSIDE), Live("0", 0.0)
        return {"meets at": either(never, outside, at), "meets with": either(never, nothing, paid)}

    def among(self) -> Live:
        """What to say of those among which the cheapest is looked for, where that is not all of them."""
        meet, count = f"COUNTIF({self.span('open')},0)", len(self.grounds)
        number = sum(value == 0 for value in self.values("open"))
        some = Live(f"({meet}>0)*({meet}<{count})>0", 0 < number < count)
        return either(some, ", among those that meet all needs", "")

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
        """`cheapest` for each that meets all needs and costs least, to the cent; `not ranked`; `baseline`."""
        best = self.place_of(Live("1", 1))
        least = f"ROUND({self.cell('lcc', number)},2)=ROUND({self.figure('lcc', best).formula},2)"
        is_open = Live(f"{self.cell('open', number)}>0", self.measure(number, "needs_open").value > 0)
        first = Live(least, self.rank(number)[1] == cents(self.figure("lcc", best).value))
        if self.grounds[number].scenario.baseline:
            return either(is_open, "not ranked, baseline", either(first, "cheapest, baseline", "baseline"))
        return either(is_open, "not ranked", either(first, "cheapest", ""))

    def shown(self, number: int, name: str) -> Live:
        """A measure that may be words: of these, only the first, `unknown` or `none`."""
        column = self.grounds[number].measure(name)
        cell, words = self.draft.layout.absolute(column), absent(column, 0, self.draft.comparison.figures)
        value = words.split(":")[0] if words else float(self.draft.comparison.of(column)[0])
        return Live(f'IF(ISNUMBER({cell}),{cell},LEFT({cell},FIND(":",{cell}&":")-1))', value)

    def line_name(self, number: int) -> Live:
        """A scenario's name in the chart's legend, with the month from which it is ahead of the baseline."""
        name = shortened(Live(self.cell("scenario", number), self.grounds[number].scenario.scenario))
        if self.grounds[number].scenario.baseline:
            return sentence(name, " (baseline)")
        month = Live(self.cell("month", number), self.measure(number, "caught_up").value)
        since = either(Live(f"{month.formula}=0", month.value == 0), "the start", sentence("month ", fixed(month)))
        return sentence(name, either(self.is_ahead(number), sentence(", ahead from ", since), ""))

    def is_ahead(self, number: int) -> Live:
        """Whether a scenario has cost less than the baseline by the end."""
        side = self.measure(number, "side_at_end").value
        return Live(f"{self.cell('side', number)}>0", side > 0)

    def state(self, number: int) -> Live:
        """From which month to the end a scenario is ahead of the baseline: a number, or words."""
        if self.grounds[number].scenario.baseline:
            return Live('"–"', "–")
        month = Live(self.cell("month", number), self.measure(number, "caught_up").value)
        since = either(Live(f"{month.formula}=0", month.value == 0), "the start", month)
        side = self.measure(number, "side_at_end").value
        level = either(Live(f"{self.cell('side', number)}=0", side == 0), "level", "not at the end")
        return either(self.is_ahead(number), since, level)


def shortened(name: Live) -> Live:
    """A name as short as a legend needs it."""
    if_long = Live(f"LEN({name.formula})>{LEGEND}", len(name.value) > LEGEND)
    start = Live(f"LEFT({name.formula},{LEGEND - 1})", name.value[: LEGEND - 1])
    return either(if_long, sentence(start, "…"), name)
