"""At which price of electricity another scenario costs least: cells right of the summary's page, and the sentence.

All amounts of a tariff scale a scenario's bills alike, so two life-cycle costs L with the present values E of what is
billed are level at the factor 1 - (L1 - L2) / (E1 - E2). Of the factors at which others draw level with the first,
the nearest above 1 and the nearest below it count.
"""

from __future__ import annotations

from tco.model.measure import LEVEL
from tco.write.board import Board
from tco.write.live import Live, either, fixed, picked, sentence
from tco.write.page import Page

HEADS = ("level with the first at", "dearer than that", "cheaper than that")
NOTHING = "Electricity costs nothing here, so no multiple of its price changes who costs least."
PAID_FOR = "Electricity: its price is below nothing here; tco breakeven says where scenarios change places."


class Priced:
    """A row a scenario: the factor on the price of electricity at which it is level with the first one, and how."""

    def __init__(self, board: Board, left: int) -> None:
        self.board, self.left = board, left
        self.first = board.place_of(Live("1", 1))
        self.rows = [self.row(number) for number in range(len(board.grounds))]

    def span(self, column: int) -> str:
        """A column of all scenarios."""
        return self.board.down(self.left + column)

    def row(self, number: int) -> tuple[Live, Live, Live]:
        """The factor, once more where the scenario costs less above it, or below it; empty where there is none."""
        board = self.board
        billed, cost = (board.figure(key, self.first) for key in ("electricity worth", "lcc"))
        own, lcc = board.helpers(number)["electricity worth"].value, board.measure(number, "lcc").value
        apart, counted = billed.value - own, board.helpers(number)["counted"].value
        at: float | str = 1.0 - (cost.value - lcc) / apart if counted and abs(apart) >= LEVEL else ""
        cells = [board.cell(key, number) for key in ("counted", "electricity worth", "lcc")]
        less = f"({billed.formula}-{cells[1]})"
        factor = f'IF({cells[0]}=0,"",IF(ABS{less}<{LEVEL},"",1-({cost.formula}-{cells[2]})/{less}))'
        mine = board.at(self.left, number)
        above = f'IF(ISNUMBER({mine}),IF({less}>0,{mine},""),"")'
        below = f'IF(ISNUMBER({mine}),IF({less}<0,IF({mine}>=0,{mine},""),""),"")'
        is_below = at != "" and apart < 0 and float(at) >= 0
        return (
            Live(factor, at),
            Live(above, at if at != "" and apart > 0 else ""),
            Live(below, at if is_below else ""),
        )

    def write(self, page: Page) -> None:
        """The cells."""
        for column, head in enumerate(HEADS):
            page.text(self.board.first - 2, self.left + column, head, page.formats.get("head"))
            for number, lives in enumerate(self.rows):
                live = lives[column]
                page.formula(self.board.first + number, self.left + column, f"={live.formula}", live.value,
                             page.formats.get("number"))  # fmt: skip

    def told(self) -> Live:
        """The sentence."""
        board, money = self.board, self.board.draft.money
        worth, values = board.span("electricity worth"), board.values("electricity worth")
        up, down = self.turn(1, "MIN"), self.turn(2, "MAX")
        (rises, dearer), (falls, cheaper) = up, down
        above = sentence("from ", fixed(dearer, 2), " times its price", self.kwh(dearer, money), " on ",
                         self.who(1, dearer), " costs least")  # fmt: skip
        below = sentence("below ", fixed(cheaper, 2), " times its price", self.kwh(cheaper, money), " ",
                         self.who(2, cheaper), " costs least")  # fmt: skip
        both = either(falls, sentence(above, "; ", below), above)
        some = either(rises, both, either(falls, below, "no price of it, from nothing up, changes who costs least"))
        told = sentence("Electricity", board.among(), ": ", some, ".")
        free = Live(f"MAX({worth})<{LEVEL}", max(values) < LEVEL)
        paid = Live(f"MIN({worth})<-{LEVEL}", min(values) < -LEVEL)
        return either(paid, PAID_FOR, either(free, NOTHING, told))

    def turn(self, column: int, nearest: str) -> tuple[Live, Live]:
        """Whether some scenario draws level on a side, and the nearest factor at which one does."""
        found = [float(lives[column].value) for lives in self.rows if lives[column].value != ""]
        value = (min(found) if nearest == "MIN" else max(found)) if found else 0.0
        return Live(f"COUNT({self.span(column)})>0", bool(found)), Live(f"{nearest}({self.span(column)})", value)

    def who(self, column: int, factor: Live) -> Live:
        """The scenario that is level with the first at a factor."""
        values = [lives[column].value for lives in self.rows]
        place = values.index(factor.value) + 1 if factor.value in values else 1
        return picked(
            self.board.values("scenario"), self.board.span("scenario"),
            Live(f"MATCH({factor.formula},{self.span(column)},0)", place),
        )  # fmt: skip

    def kwh(self, factor: Live, money: str) -> Live:
        """What a kWh would cost then, in brackets: of the first scenario, or the dearest of the others."""
        board = self.board
        own, most = board.figure("kWh price", self.first), max(board.values("kWh price"))
        price = Live(f"IF({own.formula}>0,{own.formula},MAX({board.span('kWh price')}))", own.value or most)
        then = Live(f"{factor.formula}*{price.formula}", factor.value * price.value)
        some = Live(f"{price.formula}>0", price.value > 0)
        return either(some, sentence(" (", fixed(then, 3), f" {money} for a kWh, on average)"), "")
