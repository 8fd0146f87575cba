"""What a study is: frozen dataclasses, nothing else.

Each field says what a person types for it: the kind of cell, its unit, its meaning, an example, a default. The
reader, the page that documents the columns and the workbook's labels all come from these definitions.
A field `price_trend` is the column `price trend`. Numbers are held as floats in the unit named here;
`{money}` stands for the study's currency.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from tco.cell import MONTH_LIMIT, cell
from tco.delivery import Linked as Linked
from tco.delivery import Needs as Needs
from tco.delivery import Placed as Placed
from tco.delivery import Pool as Pool
from tco.delivery import Site as Site
from tco.delivery import Stated as Stated
from tco.electricity import Billed as Billed
from tco.electricity import Charge as Charge
from tco.electricity import EfficiencyPoint as EfficiencyPoint
from tco.electricity import Holiday as Holiday
from tco.electricity import HomeUse as HomeUse
from tco.electricity import Log as Log
from tco.electricity import Period as Period
from tco.electricity import ShapePoint as ShapePoint
from tco.electricity import Supplied as Supplied
from tco.gear import Amount as Amount
from tco.gear import Gear as Gear
from tco.ledger import Entry as Entry
from tco.past import Past as Past
from tco.purchase import Purchase as Purchase
from tco.ranges import Range as Range
from tco.settings import Row as Row
from tco.settings import Settings as Settings


@dataclass(frozen=True, kw_only=True)
class Part(Gear):
    """A parts list: one line a kind of part."""

    part: str = cell("name", "what it is", "mini PC, 4 cores")
    node: str = cell("name", "the group of nodes it belongs to, if any", "mini", default="")
    quantity: int = cell(
        "whole",
        "how many in all; 0 lists a price only, for a part that replaces another",
        "4",
        least=0,
        most=1e6,
        live=True,
    )
    price: float = cell(
        "number", "price of one at the start, without shipping", "129 EUR", unit="{money}", least=0.0, live=True
    )
    tax: str = cell(
        "choice",
        "whether the price has the tax in it, or the study's rate is added",
        "included",
        default="included",
        choices=("included", "added"),
    )
    fetches_today: float = cell(
        "number",
        "for gear that is owned already (price 0, bought in month 0): what one would sell for today; its resale goes "
        "on from there, and the setting `owned gear` says whether it counts as a cost of keeping it",
        "40 EUR",
        unit="{money}",
        default=0.0,
        least=0.0,
        live=True,
    )
    shipping: float = cell(
        "number", "shipping of one, tax in it", "6 EUR", unit="{money}", default=0.0, least=0.0, live=True
    )
    bought: int = cell(
        "whole",
        "month in which it is bought and paid; 0 is the start, it draws power from the next month on",
        "0",
        default=0,
        least=0,
        most=MONTH_LIMIT,
        counts="month",
    )
    leaves: int | None = cell(
        "whole",
        "month at whose end it is sold or scrapped; empty: at the end of the horizon",
        "36",
        default=None,
        least=1,
        most=MONTH_LIMIT,
        counts="month",
    )
    age: int = cell("months", "age when bought; new: empty or 0", "4 years", default=0, least=0, most=MONTH_LIMIT)
    idle: float = cell(
        "number",
        "power of one when idle, at the plug if `watts at` does not say otherwise",
        "9 W",
        unit="W",
        default=0.0,
        least=0.0,
        live=True,
    )
    busy: float | None = cell(
        "number",
        "power of one when busy, counted likewise; empty: the same as idle",
        "28 W",
        unit="W",
        default=None,
        least=0.0,
        live=True,
    )
    failures: str = cell(
        "name", "failure curve; empty: its failures are not counted", "hard drive, cautious", default=""
    )
    replaced_by: str = cell(
        "name",
        "part of the same list that takes the place of a failed one; empty: like for like, "
        "bought at the same age as the first",
        "hard drive 8 TB new",
        default="",
    )
    price_trend: float = cell(
        "growth",
        "how the price of such a part changes, a year",
        "-10 %",
        default=0.0,
        least=-0.95,
        most=1.0,
        live=True,
        quoted=True,
    )
    price_path: str = cell(
        "name", "price path that its price follows, instead of a trend", "drives by the year", default=""
    )
    resale: str = cell(
        "name", "resale curve; empty: it is worth nothing when it leaves", "used hard drive", default=""
    )
    selling_cost: float = cell(
        "number",
        "cost of selling one (postage, packing); only where there is a resale curve",
        "7 EUR",
        unit="{money}",
        default=0.0,
        least=0.0,
        live=True,
    )
    disposal: float = cell(
        "number",
        "cost of getting rid of one when it leaves, data wiping included",
        "3 EUR",
        unit="{money}",
        default=0.0,
        least=0.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Node(Linked):
    """nodes.csv: groups of nodes; parts that fail and are powered together."""

    scenario: str = cell("name", "the scenario it belongs to", "minis")
    node: str = cell("name", "the group's name, as parts lists use it", "mini")
    count: int = cell("whole", "how many nodes like this", "4", least=1, most=10000, live=True)
    measured_idle: float | None = cell(
        "number",
        "idle power of one node, measured at the plug with the parts it was bought with; it replaces theirs",
        "11.5 W",
        unit="W",
        default=None,
        least=0.0,
        live=True,
    )
    measured_busy: float | None = cell(
        "number",
        "busy power of one node, measured likewise; empty: the same as idle",
        "31 W",
        unit="W",
        default=None,
        least=0.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Version(Billed):
    """tariffs.csv: one row a version of a tariff, from its date on."""

    tariff: str = cell("name", "the tariff's name", "household day rate")
    start: date = cell("month", "the first month in which the price holds", "2026-01")
    price: float | None = cell(
        "number",
        "price of one more kWh, taxes and all else by the kWh in it: at the start of the study, or in its first "
        "month if later; empty where charges.csv says what the version charges",
        "0.31 EUR/kWh",
        unit="{money}/kWh",
        default=None,
        live=True,
        quoted=True,
    )
    growth: float | None = cell(
        "growth",
        "growth a year while this version holds, counted from its first month, or from the start of the study "
        "where that is later; empty: the study's for the last version, none for the others",
        "2 %",
        default=None,
        least=-0.5,
        most=1.0,
        live=True,
        quoted=True,
    )
    path: str = cell(
        "name", "price path that the price follows, instead of a growth", "official forecast", default=""
    )


@dataclass(frozen=True, kw_only=True)
class Fee(Row):
    """fees.csv: what is paid every month."""

    scenario: str = cell("name", "the scenario that pays it", "rented space")
    fee: str = cell("name", "what for", "storage by the TB")
    amount: float = cell(
        "number", "fixed amount a month", "4 EUR/month", unit="{money}/month", default=0.0, live=True
    )
    amount_per_TB: float = cell(
        "number", "amount per TB held and month", "5.50 EUR/TB/month", unit="{money}/TB/month", default=0.0, live=True
    )
    first: int = cell(
        "whole", "first month in which it is paid", "1", default=1, least=1, most=MONTH_LIMIT, counts="month"
    )
    last: int | None = cell(
        "whole",
        "last month in which it is paid; empty: the end of the horizon",
        "24",
        default=None,
        least=1,
        most=MONTH_LIMIT,
        counts="month",
    )
    growth: float = cell("growth", "growth a year", "3 %", default=0.0, least=-0.95, most=1.0, live=True, quoted=True)
    path: str = cell("name", "price path that the fee follows, instead of a growth", "rents", default="")


@dataclass(frozen=True, kw_only=True)
class OneOff(Row):
    """one_offs.csv: what is paid once; income is negative."""

    scenario: str = cell("name", "the scenario that pays it", "old servers")
    what: str = cell("name", "what for", "a lockable rack with a door")
    month: int = cell(
        "whole", "month at whose end it is paid; 0 is the start", "0", least=0, most=MONTH_LIMIT, counts="month"
    )
    amount: float = cell("number", "the amount; negative: income", "120 EUR", unit="{money}", live=True, quoted=True)


@dataclass(frozen=True, kw_only=True)
class FailurePoint(Row):
    """failures.csv: failure curves; each row holds from its age to the next row's, the last one for ever."""

    curve: str = cell("name", "the curve's name, as parts lists use it", "hard drive, cautious")
    age: int = cell("months", "from this age on", "1 year", least=0, most=MONTH_LIMIT)
    rate: float | None = cell(
        "number",
        "failures per unit and year at that age (what field statistics print as AFR)",
        "1.30 %/year",
        unit="1/year",
        default=None,
        least=0.0,
        most=1000.0,
    )
    chance: float | None = cell(
        "share",
        "or instead: the chance that a unit of that age fails within a month",
        "9 %",
        default=None,
        least=0.0,
        most=1.0,
    )


@dataclass(frozen=True, kw_only=True)
class ResalePoint(Row):
    """resale.csv: resale curves; geometric between rows (a path to 0 is 0 at once), falling on at the last ratio."""

    curve: str = cell("name", "the curve's name, as parts lists use it", "used hard drive")
    base: str = cell(
        "choice",
        "what the share is a share of: what a unit cost new, or what a new one costs when it is sold",
        "own price",
        choices=("own price", "new price then"),
    )
    age: int = cell("months", "age of the unit", "2 years", least=0, most=MONTH_LIMIT)
    share: float = cell(
        "share",
        "what a unit of that age fetches, as a share of the base; a new part's price is the base, a used one's what "
        "its age when bought makes of it",
        "45 %",
        least=0.0,
        most=10.0,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class PathPoint(Row):
    """paths.csv: price paths, year by year, instead of one growth; geometric between years, or in yearly steps."""

    path: str = cell("name", "the path's name, as other tables use it", "official forecast")
    year: int = cell(
        "whole", "year of the study; 1 is the first", "3", least=1, most=MONTH_LIMIT // 12, counts="year"
    )
    index: float = cell(
        "number",
        "the price by the end of that year as a multiple of the price at the start",
        "1.06",
        least=0.01,
        most=100.0,
        live=True,
        quoted=True,
    )


@dataclass(frozen=True, kw_only=True)
class Exchange(Row):
    """exchange.csv: rates for prices quoted in another currency, each with its date."""

    currency: str = cell("currency", "the other currency", "USD")
    rate: float = cell("number", "what one of it costs in the study's currency", "0.92", least=1e-9)
    day: date = cell("date", "the day of the rate", "2026-11-20")


@dataclass(frozen=True, kw_only=True)
class Scenario(Placed, Supplied):
    """scenarios.csv: one way to answer the question a row; the rest from their tables."""

    scenario: str = cell("name", "short name, used in every table and for its sheet", "minis")
    title: str = cell("text", "what it is, in a few words; empty: the name", "four quiet mini PCs", default="")
    baseline: bool = cell("yes", "yes for the one the others are measured against", "yes", default=False)
    parts_list: str = cell("file", "its parts list; empty: no hardware", "minis.csv", default="")
    tariff: str = cell("name", "its tariff; needed where parts draw power", "household day rate", default="")
    busy_share: float = cell(
        "share",
        "share of the time in which it is busy; needed where there is hardware",
        "10 %",
        default=0.0,
        least=0.0,
        most=1.0,
        live=True,
    )
    upkeep: float = cell(
        "number", "hours of your time a month", "1 h/month", unit="h/month", default=0.0, least=0.0, live=True
    )
    parts: tuple[Part, ...] = ()
    nodes: tuple[Node, ...] = ()
    fees: tuple[Fee, ...] = ()
    one_offs: tuple[OneOff, ...] = ()
    pools: tuple[Pool, ...] = ()
    stated: Stated | None = None
    stands: Site | None = None
    purchases: tuple[Purchase, ...] = ()
    past: Past | None = None


@dataclass(frozen=True, kw_only=True)
class Study:
    """A checked study: every name resolves, every number is in its unit.

    tariffs, failures, resale, paths: name -> rows in rising order; only those the study uses. So are
    charges (by tariff, as they stand), hours, shapes, efficiency (by name) and logs (by file).
    folder: where it was read from, for messages. rates: what one of each other currency costs in the study's.
    """

    folder: str
    settings: Settings
    scenarios: tuple[Scenario, ...]
    tariffs: Mapping[str, tuple[Version, ...]]
    failures: Mapping[str, tuple[FailurePoint, ...]]
    resale: Mapping[str, tuple[ResalePoint, ...]]
    paths: Mapping[str, tuple[PathPoint, ...]] = field(default_factory=dict)
    needs: Needs | None = None
    charges: Mapping[str, tuple[Charge, ...]] = field(default_factory=dict)
    hours: Mapping[str, tuple[Period, ...]] = field(default_factory=dict)
    holidays: tuple[Holiday, ...] = ()
    shapes: Mapping[str, tuple[ShapePoint, ...]] = field(default_factory=dict)
    home: tuple[HomeUse, ...] = ()
    efficiency: Mapping[str, tuple[EfficiencyPoint, ...]] = field(default_factory=dict)
    logs: Mapping[str, Log] = field(default_factory=dict)
    ranges: tuple[Range, ...] = ()
    ledger: tuple[Entry, ...] = ()
    rates: Mapping[str, float] = field(default_factory=dict)

    @property
    def sites(self) -> tuple[Site, ...]:
        """The sites at which scenarios stand, each once."""
        return tuple({one.site: one.stands for one in self.scenarios if one.stands is not None}.values())
