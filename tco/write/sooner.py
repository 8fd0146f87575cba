"""Who costs least if all is sold sooner: cells right of the summary's page, by period, and the words they come to."""

from __future__ import annotations

from tco.ask.compare import cents
from tco.write.board import Board
from tco.write.live import Live, either, row_of, sentence, text
from tco.write.page import Page

FAR = 1e300  # more than anything costs: never the least
LEVEL = " (level with another)"


class Sooner:
    """By period one column: each counted scenario's cost if sold then, who costs least, and the words so far."""

    def __init__(self, board: Board, left: int) -> None:
        self.board, self.left = board, left
        self.periods = board.grounds[0].own("holding", "lcc").table.rows
        self.costs = [self.costs_after(place) for place in range(len(self.periods))]
        self.best = [self.who(place) for place in range(len(self.periods))]
        self.chain: list[Live] = []
        for place in range(len(self.periods)):
            self.chain.append(self.so_far(place))

    def below(self, place: int, row: int) -> str:
        """A cell of a period's column, so many rows below the last scenario's."""
        return self.board.at(self.left + place, len(self.board.grounds) + row)

    def costs_after(self, place: int) -> list[Live]:
        """Each scenario's life-cycle cost to the cent if sold after a period; far too much if it is not counted."""
        board, found = self.board, []
        for number, ground in enumerate(board.grounds):
            column, counted = ground.own("holding", "lcc"), board.helpers(number)["counted"]
            cost = float(board.draft.comparison.of(column)[place])
            cell = board.draft.layout.absolute(column, place)
            formula = f"IF({board.cell('counted', number)}=1,ROUND({cell},2),1E+300)"
            found.append(Live(formula, cents(cost) if counted.value else FAR))
        return found

    def who(self, place: int) -> Live:
        """Who costs least if all is sold after a period; of several level ones the first, and that it is so."""
        span, values = self.board.down(self.left + place), [one.value for one in self.costs[place]]
        least = Live(f"MIN({span})", min(values))
        several = Live(f"COUNTIF({span},{least.formula})>1", values.count(least.value) > 1)
        return sentence(self.board.name(row_of(values, span, least)), either(several, LEVEL, ""))

    def so_far(self, place: int) -> Live:
        """Who costs least, up to a period: `from 1 year on a costs least, from 2 years on b`, cell by cell."""
        own = Live(self.below(place, 0), self.best[place].value)
        if not place:
            return sentence(f"from {self.periods[0]} on ", own, " costs least")
        before = Live(self.below(place - 1, 0), self.best[place - 1].value)
        told = Live(self.below(place - 1, 1), self.chain[place - 1].value)
        same = Live(f"{own.formula}={before.formula}", own.value == before.value)
        return sentence(told, either(same, "", sentence(f", from {self.periods[place]} on ", own)))

    def write(self, page: Page) -> None:
        """The cells."""
        look = page.formats.get("number")
        for place, period in enumerate(self.periods):
            page.text(self.board.first - 2, self.left + place, f"sold after {period}", page.formats.get("head"))
            for row, live in enumerate([*self.costs[place], self.best[place], self.chain[place]]):
                page.formula(self.board.first + row, self.left + place, f"={live.formula}", live.value, look)

    def told(self) -> Live:
        """The sentence."""
        last = len(self.periods) - 1
        if not last:
            return text("")
        end = Live(self.below(last, 0), self.best[last].value)
        chain, first = (Live(self.below(n, 1), self.chain[n].value) for n in (last, 0))
        same = Live(f"{chain.formula}={first.formula}", chain.value == first.value)
        lead = sentence(f"Time, year by year up to {self.periods[last]}", self.board.among(), ": ")
        always = sentence(lead, "whenever all is sold, ", end, " costs least.")
        return either(same, always, sentence(lead, "if all is sold then, ", chain, "."))
