"""The table of what varied: each input's ends, its share of each scenario's spread, and where the ends are from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tco.ask.simulated import Simulated, Varied
from tco.ranges import Range
from tco.write import formats
from tco.write.chance_cells import LEFT, PERCENT, WIDE, head_height, heading, short_heads
from tco.write.chance_figures import (
    driven,
    driver_names,
    is_share,
    label_of,
    main_duel,
    origins,
    ranked,
    unit_of,
)
from tco.write.page import EIGHT, NINE, Page, lines_of

FIRST = 6  # the column of the first scenario; before it: name (two), low, likely, high, unit
LEAST = 3  # columns that sources take at least


@dataclass(frozen=True)
class Line:
    """One row: an input with its row of ranges.csv, or the luck of failures, with neither.

    shares: whether its shares stand here, and not in the row above that has the same name.
    """

    name: str
    varied: Varied | None = None
    row: Range | None = None
    shares: bool = True

    @property
    def label(self) -> str:
        """How it is called here."""
        return label_of(self.varied, self.row) if self.varied else self.name

    @property
    def unit(self) -> str:
        """The unit of its ends."""
        return unit_of(self.varied, self.row) if self.varied else ""


def columns(found: Simulated) -> int:
    """How many columns the table needs."""
    return FIRST + len(found.outcomes) + 1 + LEAST


def lines(found: Simulated) -> Iterator[Line]:
    """From what drives most down, the luck of failures last; inputs of one name stand together."""
    known = origins(found)
    for name in driver_names(found):
        same = [(own, row) for own, row in known if own.name == name]
        yield from (Line(name, own, row, shares=number == 0) for number, (own, row) in enumerate(same))
        if not same:
            yield Line(name)


def spreads(found: Simulated) -> list[tuple[str, dict[str, float]]]:
    """Whose spread is driven by what: each scenario's, and the difference of the two that are most often cheapest."""
    short, pair = short_heads(found), main_duel(found)
    told = [(short[own.scenario], driven(own.drivers)) for own in ranked(found)]
    if pair is None:
        return told
    return [*told, (f"{short[pair.one]} less {short[pair.other]}", driven(pair.drivers))]


class Inputs:
    """The table; `last`: the page's last column."""

    def __init__(self, page: Page, found: Simulated, last: int) -> None:
        self.page, self.last = page, last
        self.lines, self.spreads = list(lines(found)), spreads(found)
        self.sources = FIRST + len(self.spreads)

    def write(self, row: int) -> int:
        """The whole table; returns the row after it."""
        heading(
            self.page,
            row,
            (0, self.last),
            "What varied, and how much of the variance of the life-cycle cost comes from it",
        )
        self.heads(row + 1)
        for number, line in enumerate(self.lines, start=row + 2):
            self.line(number, line)
        return row + 2 + len(self.lines)

    def heads(self, row: int) -> None:
        """Headings over the columns."""
        page, made = self.page, self.page.formats
        for column in range(2):
            page.text(row, column, "", made.get("head_left"))
        for column, word in enumerate(("low", "likely", "high", "unit"), start=2):
            page.text(row, column, word, made.get("head"))
        for column, (name, _) in enumerate(self.spreads, start=FIRST):
            page.text(row, column, name, made.get("head"))
        page.wide(row, self.sources, self.last - self.sources + 1, made.get("head_aside"), "source of low and high")
        head_height(page, row, [name for name, _ in self.spreads])

    def line(self, row: int, line: Line) -> None:
        """One input."""
        page, made, is_last = self.page, self.page.formats, line is self.lines[-1]
        page.wide(row, 0, 2, made.get("label", last=is_last), line.label)
        for column in range(2, self.last + 1):
            page.text(row, column, "", made.get("label", last=is_last))
        if line.varied is not None:
            look = formats.PERCENT if is_share(line.varied, line.row) else ""
            for column, value in enumerate((line.varied.low, line.varied.likely, line.varied.high), start=2):
                page.number(row, column, value, made.get("number", look, last=is_last))
        page.text(row, 5, line.unit, made.get("text", last=is_last))
        for column, (_, drivers) in enumerate(self.spreads, start=FIRST):
            self.driver(row, column, self.share_of(line, drivers), last=is_last)
        source, columns_left = line.row.source if line.row else "", self.last - self.sources + 1
        page.wide(row, self.sources, columns_left, made.get("aside", last=is_last), source)
        tall = lines_of(source, columns_left * WIDE - 3, EIGHT), lines_of(line.label, LEFT + WIDE - 1, NINE)
        page.height(row, max(tall), least=15)

    def share_of(self, line: Line, drivers: dict[str, float]) -> float | None:
        """An input's share; None where there is no spread, or where it stands in the row above."""
        return drivers.get(line.name, 0.0) if drivers and line.shares else None

    def driver(self, row: int, column: int, value: float | None, *, last: bool) -> None:
        """A share, or a dash where there is no spread."""
        if value is None:
            self.page.text(row, column, "–", self.page.formats.get("text", last=last))
        else:
            self.page.number(row, column, value, self.page.formats.get("number", PERCENT, last=last))
