"""Who costs least if all is sold sooner: cells right of the summary's page, by period, and the words they come to."""

from __future__ import annotations

from tco.ask.compare import cents
from tco.write import names
from tco.write.board import Board
from tco.write.live import Live, either, sentence, text
from tco.write.page import Page

FAR = 1e300  # more than anything costs: never the least


class Sooner:
    """By period one column: each counted scenario's cost if sold then, who costs least, and the words so far."""

    def __init__(self, board: Board, left: int) -> None:
        self.board, self.left = board, left
        self.periods = board.grounds[0].own("holding", "lcc").table.rows
        count = len(board.grounds)
        self.costs = [[self.cost(number, place) for number in range(count)] for place in range(len(self.periods))]
        every = board.values("scenario")
        self.best = [
            every[values.index(min(values))] for values in ([own.value for own in row] for row in self.costs)
        ]

    def cell(self, place: int, below: int) -> str:
        """A cell of a period's column, counted from the first scenario's row."""
        column = names.letters(self.left + place)
        return f"{names.quoted(self.board.sheet)}${column}${self.board.first + below + 1}"

    def cost(self, number: int, place: int) -> Live:
        """A scenario's life-cycle cost to the cent if sold after a period; far too much if it is not counted."""
        board = self.board
        column, counted = board.grounds[number].own("holding", "lcc"), board.helpers(number)["counted"]
        cost = float(board.draft.comparison.of(column)[place])
        cell = board.draft.layout.absolute(column, place)
        formula = f"IF({board.cell('counted', number)}=1,ROUND({cell},2),1E+300)"
        return Live(formula, cents(cost) if counted.value else FAR)

    def who(self, place: int) -> Live:
        """Who costs least if all is sold after a period."""
        last = self.cell(place, len(self.board.grounds) - 1).rpartition("!")[2]
        span = f"{self.cell(place, 0)}:{last}"
        return Live(f"INDEX({self.board.span('scenario')},MATCH(MIN({span}),{span},0))", self.best[place])

    def so_far(self, place: int) -> Live:
        """Who costs least, up to a period: `from 1 year on a costs least, from 2 years on b`, cell by cell."""
        count = len(self.board.grounds)
        own = Live(self.cell(place, count), self.best[place])
        if not place:
            return sentence(f"from {self.periods[0]} on ", own, " costs least")
        before, told = Live(self.cell(place - 1, count), self.best[place - 1]), self.words_before(place)
        same = Live(f"{own.formula}={before.formula}", own.value == before.value)
        return sentence(told, either(same, "", sentence(f", from {self.periods[place]} on ", own)))

    def words_before(self, place: int) -> Live:
        """The cell with the words up to the period before."""
        return Live(self.cell(place - 1, len(self.board.grounds) + 1), self.so_far(place - 1).value)

    def write(self, page: Page) -> None:
        """The cells."""
        look = page.formats.get("number")
        for place, period in enumerate(self.periods):
            page.text(self.board.first - 2, self.left + place, f"sold after {period}", page.formats.get("head"))
            for row, live in enumerate([*self.costs[place], self.who(place), self.so_far(place)]):
                page.formula(self.board.first + row, self.left + place, f"={live.formula}", live.value, look)

    def told(self) -> Live:
        """The sentence."""
        last, count = len(self.periods) - 1, len(self.board.grounds)
        if not last:
            return text("")
        end = Live(self.cell(last, count), self.best[last])
        chain, first = (Live(self.cell(n, count + 1), self.so_far(n).value) for n in (last, 0))
        same = Live(f"{chain.formula}={first.formula}", chain.value == first.value)
        lead = sentence(f"Time, year by year up to {self.periods[last]}", self.board.among(), ": ")
        always = sentence(lead, "whenever all is sold, ", end, " costs least.")
        return either(same, always, sentence(lead, "if all is sold then, ", chain, "."))
