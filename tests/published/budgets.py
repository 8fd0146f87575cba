"""Choosing among projects: present values side by side, and the best set under a budget."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

from tests.published.factors import by_factors, uniform
from tests.published.record import Check, Subject
from tests.published.returns import BREALEY_A, BREALEY_B, FOUR
from tests.published.sources import BREALEY, OPENSTAX_16_5, PRATT
from tests.published.written import Example, cash, figure, of, returns

PROJECTS = {
    "A": (60, 150, "1.40"),
    "B": (25, 100, "1.25"),
    "C": (10, 70, "1.14"),
    "D": (15, 50, "1.30"),
    "E": (11, 30, "1.37"),
    "F": (7, 20, "1.35"),
    "G": (2, 10, "1.20"),
}  # net present value, investment, index; in millions
BUDGET = 200
OFFERED = Example(
    1,
    0.0,
    (
        ("nothing", ()),
        *((name, returns((-float(cost), float(net + cost)))) for name, (net, cost, _) in PROJECTS.items()),
    ),
)  # what comes back is given in present value, so it is discounted at 0


def best_set() -> tuple[str, ...]:
    """Of all sets that the budget can pay, the one with the highest net savings."""
    sets = [names for count in range(len(PROJECTS) + 1) for names in combinations(PROJECTS, count)]
    paid = [names for names in sets if sum(figure(OFFERED, "paid_at_start", name) for name in names) <= BUDGET + 1e-6]
    return max(paid, key=net_of)


def net_of(names: tuple[str, ...]) -> float:
    """What some projects save together."""
    return sum(figure(OFFERED, "net_savings", name) for name in names)


def indices() -> list[Check]:
    """Profitability indices: the savings-to-investment ratio."""
    return [
        Check(f"project {name}: index", text, OPENSTAX_16_5, of(OFFERED, "savings_to_investment_ratio", name))
        for name, (_, _, text) in PROJECTS.items()
    ]


A, C, D = (-1000.0, 600.0), (-400.0, 120.0), (-500.0, 290.0)
PAIRS: dict[str, tuple[str, tuple[tuple[float, float], ...]]] = {
    "A": ("822.38", (A,)),
    "C": ("-35.52", (C,)),
    "D": ("380.83", (D,)),
    "A and C": ("786.86", (A, C)),
    "A and D": ("1,203.21", (A, D)),
    "C and D": ("345.31", (C, D)),
}


def pairs() -> list[Check]:
    """Projects of four years and their combinations, at 12 %."""
    return [
        Check(
            f"{name}: present worth",
            printed,
            PRATT,
            present_worth(flows),
            by_factors((sum(a_year for _, a_year in flows), uniform(0.12, 4), 4)),
            FOUR,
        )
        for name, (printed, flows) in PAIRS.items()
    ]


def present_worth(flows: tuple[tuple[float, float], ...]) -> Callable[[], float]:
    """The net savings of some projects together."""
    items = tuple(item for first, a_year in flows for item in returns((first, *[a_year] * 4)))
    return of(Example(4, 0.12, (("nothing", ()), ("it", items))), "net_savings")


def by_rate() -> list[Check]:
    """Two projects whose order turns with the rate."""
    printed = {(0.11, "A"): "48.20", (0.11, "B"): "44.37", (0.16, "A"): "23.85", (0.16, "B"): "24.59"}
    flows = {"A": BREALEY_A, "B": BREALEY_B}
    return [
        Check(f"{name} at {100 * rate:.0f} %", text, BREALEY, of(cash(rate, *flows[name]), "net_savings"))
        for (rate, name), text in printed.items()
    ]


CHOOSING = Subject(
    "Choosing among projects",
    "Projects side by side, each against doing nothing; of all sets that a budget of 200 can pay, found by trying "
    "them all on the tool's own net savings and outlays, the best is the printed one: A, E and F.",
    (
        *indices(),
        Check("best set under 200: net present value", "78", OPENSTAX_16_5, lambda: net_of(best_set())),
        *pairs(),
        *by_rate(),
    ),
)
SUBJECTS = (CHOOSING,)
