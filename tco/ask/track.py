"""Plan against actuals: a ledger takes the place of the plan for its months, the rest is forecast from what is there.

Two scenarios of one study are held against each other: as planned, and as it went.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from tco.ask.compare import Comparison, compare
from tco.ask.stock import BY_LEDGER, Stock, stock_of
from tco.ask.went import as_it_went, load_of, past_of, readings
from tco.errors import AskedError, Place, StudyError
from tco.model import LINES, Ground
from tco.model.calendar import month_names, months_between
from tco.study import Entry, Part, Past, Scenario, Study

PLANNED, WENT = "as planned", "as it went"


@dataclass(frozen=True)
class Tracked:
    """A study's scenario as planned and as it went.

    source: the study with its ledger. comparison: of the two. months: how many are known. stock: what is there.
    """

    source: Study
    comparison: Comparison
    months: int
    stock: Stock

    @property
    def name(self) -> str:
        """The scenario that was built."""
        return self.source.ledger[0].scenario

    @property
    def plan(self) -> Ground:
        return self.comparison.built.grounds[0]

    @property
    def went(self) -> Ground:
        return self.comparison.built.grounds[1]

    @property
    def horizon(self) -> int:
        return self.plan.horizon

    @property
    def past(self) -> Past:
        """What is known."""
        past = self.went.scenario.past
        assert past is not None
        return past

    @property
    def month_names(self) -> list[str]:
        return month_names(self.source.settings.start, self.horizon)

    @property
    def today(self) -> str:
        """The last month that is known: `2026-09`, `the start`."""
        return self.month_names[self.months] if self.months else "the start"

    @property
    def is_over(self) -> bool:
        """Whether the whole study is known."""
        return self.months == self.horizon

    @property
    def is_metered(self) -> bool:
        """Whether the ledger has a reading."""
        return any(entry.what == "metered" for entry in self.source.ledger)

    @property
    def months_read(self) -> int:
        """Over how many months a meter was read, of the last twelve at most; 0 without."""
        read = [entry for entry in self.source.ledger if entry.what == "metered"]
        return min(12, max(1, read[-1].month(self.source.settings.start))) if read else 0

    def planned_by_now(self, part: Part) -> int:
        """How many of a row of the plan's parts list were to be there by now; what is left at the end is sold."""
        leaves = self.horizon if part.leaves is None else part.leaves
        return part.quantity if part.bought <= self.months < leaves else 0


@dataclass(frozen=True)
class Apart:
    """A figure as planned and as it went, up to now, from now on, and in all."""

    name: str
    label: str
    planned: tuple[float, float]
    went: tuple[float, float]

    @property
    def whole(self) -> tuple[float, float]:
        """In all, as planned and as it went."""
        return fsum(self.planned), fsum(self.went)

    @property
    def differences(self) -> tuple[float, float, float]:
        """What went less what was planned: up to now, from now on, in all."""
        now, later = (went - planned for planned, went in zip(self.planned, self.went, strict=True))
        return now, later, now + later


def track(study: Study, *, until: date | None = None, today: date | None = None) -> Tracked:
    """Hold a study's ledger against its plan; see tco.api.track. Raises StudyError, AskedError."""
    entries = study.ledger
    if not entries:
        raise AskedError(
            "ledger.csv", "the study has no ledger, or an empty one; write down what happened, a row each"
        )
    refuse_future(entries, today or date.today())
    months = months_known(study, until, today or date.today())
    own = next(one for one in study.scenarios if one.scenario == entries[0].scenario)
    plan = named(own, PLANNED, baseline=True)
    alone = replace(study, scenarios=(plan,), ranges=())
    first = compare(alone)
    stock = stock_of(entries, plan.parts, study.settings)
    built = as_it_went(first, first.built.grounds[0], stock, months)
    went = named(replace(built, scenario=own.scenario, title=own.title), WENT)
    if read := readings(study):
        listed = compare(replace(alone, scenarios=(replace(went, baseline=True),)))
        load = load_of(read, listed.of(listed.built.grounds[0].month("energy")))
        went = replace(went, past=replace(past_of(stock, months), load=load))
    return Tracked(study, compare(replace(alone, scenarios=(plan, went))), months, stock)


def named(scenario: Scenario, how: str, *, baseline: bool = False) -> Scenario:
    """A scenario under a name that says how."""
    title = scenario.title or scenario.scenario
    return replace(
        scenario, scenario=f"{scenario.scenario}, {how}", title=f"{title}, {how}", baseline=baseline, purchases=()
    )


def refuse_future(entries: Sequence[Entry], today: date) -> None:
    """Raises StudyError with every row whose day has not come yet."""
    late = [entry for entry in entries if entry.day > today]
    if late:
        raise StudyError([(place(entry), f"day: {entry.day} is in the future; today is {today}") for entry in late])


def place(entry: Entry) -> Place:
    """Where the day of a row stands."""
    return entry.places.get("day") or entry.places.get("") or Place("ledger.csv")


def months_known(study: Study, until: date | None, today: date) -> int:
    """How many months the ledger tells: up to its last row, or to a later month that is asked for."""
    settings = study.settings
    last = max(entry.month(settings.start) for entry in study.ledger)
    if until is None:
        return last
    months = months_between(settings.start, until) + 1
    asked = f"until {until:%Y-%m}"
    if months < last:
        raise AskedError(
            asked, f"the ledger goes on to {month_names(settings.start, last)[last]}; name that or a later one"
        )
    if (until.year, until.month) > (today.year, today.month):
        raise AskedError(asked, f"is in the future; today is {today}")
    if months > settings.horizon:
        raise AskedError(asked, f"is after the study's last month, its month {settings.horizon}")
    return months


def by_line(found: Tracked) -> list[Apart]:
    """Each cost line that is not nothing everywhere, then all of them together."""
    lines = [(line.name, line.label) for line in LINES]
    every = [apart(found, name, label) for name, label in lines]
    some = [one for one in every if any((*one.planned, *one.went))]
    return [*some, apart(found, "total", "All together")]


def apart(found: Tracked, name: str, label: str) -> Apart:
    """A monthly figure added up to now and from now on."""
    sides = (found.comparison.of(ground.month(name)) for ground in (found.plan, found.went))
    planned, went = ((float(one[: found.months + 1].sum()), float(one[found.months + 1 :].sum())) for one in sides)
    return Apart(name, label, planned, went)


def energy(found: Tracked) -> Apart:
    """The energy that it takes."""
    return apart(found, "energy", "Energy")


def by_model(found: Tracked) -> list[tuple[str, int]]:
    """Lines that are not booked for all known months, with the last one that is (-1: none)."""
    lines = {one.name for one in by_line(found)} - {"total"}
    ends = {line.name: len(found.past.lines.get(line.name, ())) - 1 for line in LINES if line.name in lines}
    return [(name, end) for name, end in ends.items() if name not in BY_LEDGER and end < found.months]
