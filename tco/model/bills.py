"""The home's electricity bill without and with a build, month by month, under a tariff of several charges.

A build costs what it adds: bill(home + build) - bill(home). All amounts of a version grow with its price level;
thresholds and percentages do not. Blocks: sum over blocks of (price - price of the block before) x what the month's
kWh are above the block's start. Suppliers' rounding is not modelled. The same formulas make every bill (`bill`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from tco import units
from tco.engine import Column, Constant, Model, Node, Table, added, call
from tco.engine.nodes import as_node
from tco.model import calendar
from tco.model.calendar import MONTHS
from tco.model.ground import given_columns
from tco.model.periods import Times, versions_by_month
from tco.study import Charge, Row, Study, Version
from tco.units import unit

Energy = Callable[[str], Column]  # a period (empty: all hours) -> kWh of each month in it
NONE_DRAWN = "none: no kWh"
APART = 1000.0  # keys of charges: version x this + number
BLOCKS = "which rows of charges.csv belong together"
HOURS = "hours of each period (start, horizon, time zone, hours, holidays)"
HOME = "how the home's use is spread over months and periods (start, horizon, time zone, shapes)"
HELD = "which tariff version holds in a month"


@dataclass(frozen=True)
class Tariff:
    """A tariff that is billed by charges, or beside a home whose use is known."""

    study: Study
    name: str

    @property
    def versions(self) -> tuple[Version, ...]:
        return self.study.tariffs[self.name]

    @property
    def home(self) -> str:
        """The name of the table that has the home's bill under it."""
        return f"home on {self.name}"

    @cached_property
    def rows(self) -> tuple[Charge, ...]:
        """Its charges by version, then in their order, blocks rising."""
        rows = self.study.charges.get(self.name, ())
        names = list(dict.fromkeys(row.charge for row in rows))
        return tuple(sorted(rows, key=lambda row: (row.start, names.index(row.charge), row.period, row.above)))

    @cached_property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """Charge and period, each pair once; what the keys count."""
        return tuple(dict.fromkeys((row.charge, row.period) for row in self.rows))

    def names(self, *, percent: bool) -> list[str]:
        """Its charges that are percentages, or that are not, in order."""
        found = {row.charge: None for row in self.rows if (row.percent is not None) == percent}
        return list(found)

    @property
    def periods(self) -> list[str]:
        """The periods that are charged apart."""
        return list(dict.fromkeys(row.period for row in self.rows if row.period))

    @property
    def is_flat(self) -> bool:
        """Whether a version says one price."""
        return any(version.price is not None for version in self.versions)

    def number(self, charge: str) -> str:
        """The number by which columns name a charge."""
        return str(list(dict.fromkeys(row.charge for row in self.rows)).index(charge) + 1)

    def key(self, row: Charge) -> float:
        """The key of a row of its charges."""
        starts = [version.start for version in self.versions]
        return APART * (starts.index(row.start) + 1) + self.pairs.index((row.charge, row.period))


def billed(study: Study, name: str) -> bool:
    """Whether a tariff's bills are worked out: one flat price without a home needs none."""
    return bool(name) and bool(study.charges.get(name) or study.home)


def bill_tables(model: Model, study: Study) -> None:
    """The charges of each tariff, and the home's own bill under it."""
    tariffs = [Tariff(study, name) for name in study.tariffs if billed(study, name)]
    if not tariffs:
        return
    times = Times(study)
    settings, table = study.settings, model.tables["calendar"]
    days = calendar.days_of(settings.start, settings.horizon)
    model.given(table, "days", "days of the month", "d", days, computed="days of each month (start, horizon)")
    month = [min(1.0, day) for day in days]
    model.given(table, "billed", "months billed", "month", month, computed="which months are billed (horizon)")
    if study.home:
        home_use(model, study)
    timed_tables(model, study)
    for tariff in tariffs:
        charge_table(model, tariff)
        home_bill(model, tariff, times)


def timed_tables(model: Model, study: Study) -> None:
    """Hours, holidays and load shapes as given: no formula uses them, but a change of them is seen."""
    named: dict[str, tuple[str, Sequence[Row]]] = {}
    named |= {f"hours {name}": (f"Hours: {name}", rows) for name, rows in study.hours.items()}
    named |= {f"shape {name}": (f"Load shape: {name}", rows) for name, rows in study.shapes.items()}
    named |= {"holidays": ("Holidays", study.holidays)} if study.holidays else {}
    for name, (label, rows) in named.items():
        table = model.table(name, label, [row_name(row, number) for number, row in enumerate(rows, start=1)])
        given_columns(model, table, rows, study.settings)


def row_name(row: Row, number: int) -> str:
    """What names a row of hours, shapes or holidays."""
    return str(getattr(row, "period", "") or getattr(row, "day", "") or f"row {number}")


def charge_table(model: Model, tariff: Tariff) -> None:
    """A tariff's charges as given, and the rise of price at the start of each block."""
    if not (rows := tariff.rows):
        return
    labels = [f"{row.start:%Y-%m} {row.charge}" + (f" above {row.above:g} kWh" if row.above else "") for row in rows]
    table = model.table(f"charges {tariff.name}", f"Tariff: {tariff.name}, its charges", labels)
    given_columns(model, table, rows, tariff.study.settings, empty={"kWh_share": 1.0})
    keys = [tariff.key(row) for row in rows]
    model.given(table, "key", "key", "", keys, computed=BLOCKS)
    if any(row.price is not None for row in rows):
        goes_on = [0.0, *(float(one == other) for one, other in pairwise(keys))]
        flag = model.given(table, "goes_on", "goes on from the block before (1)", "", goes_on, computed=BLOCKS)
        price = model[f"charges {tariff.name}.price"]
        rise = price - call("where", flag, call("previous", price, price), price - price)
        share = model.columns.get(f"charges {tariff.name}.kWh_share")
        money = tariff.study.settings.currency
        model.column(table, "rise", "rise of price", f"{money}/kWh", rise if share is None else share * rise)


def home_use(model: Model, study: Study) -> None:
    """What the home draws without the build, as given."""
    rows = study.home
    names = ["a year" if row.month is None else f"month {row.month}" for row in rows]
    table = model.table("home", "The home's own use, without the build", names)
    given_columns(model, table, rows, study.settings)
    model.given(table, "key", "key", "", [float(row.month or 0) for row in rows], computed=HOME)
    start, horizon = study.settings.start, study.settings.horizon
    yearly = any(row.month is None for row in rows)
    key = [0.0 if yearly else float(calendar.month_after(start, max(0, t - 1)).month) for t in range(horizon + 1)]
    calendar_table = model.tables["calendar"]
    model.given(calendar_table, "home_key", "row of the home's use", "", key, computed=HOME)
    shares = calendar.shares_of_year(study.settings) if yearly else [min(1.0, t) for t in range(horizon + 1)]
    model.given(calendar_table, "home_share", "share of the home's use", "", shares, computed=HOME)


def home_bill(model: Model, tariff: Tariff, times: Times) -> None:
    """What the home draws and pays without the build, by month."""
    study = tariff.study
    rows = calendar.month_names(study.settings.start, study.settings.horizon)
    table = model.table(tariff.home, f"The home without the build, on {tariff.name}", rows, axis=MONTHS)
    key_columns(model, tariff, table)
    period_columns(model, tariff, table, times)
    nothing: Node = Constant(0.0, unit("kWh"))
    used = of_home(model, "use") * model["calendar.home_share"] if study.home else nothing
    model.column(table, "energy", "kWh, home", "kWh", used)
    for number, period in enumerate(tariff.periods, start=1):
        used = model[f"{tariff.home}.energy"] * model[f"{tariff.home}.part {number}"]
        model.column(table, f"energy {number}", f"kWh, home, {period}", "kWh", used)
    peak = of_home(model, "peak") if "home.peak" in model.columns else None
    if peak is not None:
        peak = as_node(model.column(table, "peak", "highest power, home", "kW", peak))
    whole = bill(Payer(model, tariff, table, energy_of(model, tariff, table), peak))
    unit_price(model, table, "average_price", "average price per kWh, home", whole, model[f"{tariff.home}.energy"])


def unit_price(model: Model, table: Table, name: str, label: str, amount: Column, energy: Node | Column) -> None:
    """Money over kWh, and words where there are none."""
    none = call("where", call("more_than", energy, Constant(0.0, unit("kWh"))), 0.0, 1.0)
    state = model.column(table, f"{name}_state", f"{label}: why there is none (0: there is)", "", none)
    safe = energy + Constant(1.0, unit("kWh")) * state
    assert amount.unit is not None
    money = f"{units.written(amount.unit)}/kWh"
    model.column(table, name, label, money, amount / safe, state=state, words=(NONE_DRAWN,))


def of_home(model: Model, name: str) -> Node:
    """What home.csv says of each month."""
    return call("look_up", model["calendar.home_key"], model["home.key"], model[f"home.{name}"])


def energy_of(model: Model, tariff: Tariff, table: Table, prefix: str = "") -> Energy:
    """The columns of a table that say what is drawn, by period."""

    def of(period: str) -> Column:
        tail = f" {tariff.periods.index(period) + 1}" if period else ""
        return model[f"{table.name}.{prefix}energy{tail}"]

    return of


def key_columns(model: Model, tariff: Tariff, table: Table) -> None:
    """By which keys a month's charges are found, whether it has a minimum, and what its blocks count by."""
    held = versions_by_month(tariff.study, tariff.versions)
    for number, (charge, period) in enumerate(tariff.pairs):
        label = f"key of {charge}" + (f", {period}" if period else "")
        model.given(table, f"key {number}", label, "", APART * (held + 1) + number, computed=HELD)
    if any(version.minimum is not None for version in tariff.versions):
        flags = [float(tariff.versions[version].minimum is not None) for version in held]
        model.given(table, "has_minimum", "has a minimum (1)", "", flags, computed=HELD)
    if any(version.blocks == "day" for version in tariff.versions):
        days = calendar.days_of(tariff.study.settings.start, tariff.study.settings.horizon)
        by_day = [tariff.versions[version].blocks == "day" for version in held]
        counts = [max(1.0, day) if flag else 1.0 for day, flag in zip(days, by_day, strict=True)]
        model.given(table, "block_count", "days or month that blocks count by", "", counts, computed=HELD)
    options = {row.charge: None for row in tariff.rows if len(bases(tariff, row.charge)) > 1}
    for charge in options:
        choice = [float(base_number(tariff, charge, int(version))) for version in held]
        name = f"base {tariff.number(charge)}"
        model.given(table, name, f"what {charge} is of (number)", "", choice, computed=HELD)


def period_columns(model: Model, tariff: Tariff, table: Table, times: Times) -> None:
    """Hours of each month in each period that is charged apart, and the part of the home's use that falls into it."""
    if not tariff.periods:
        return
    hours = times.by_period(tariff.name)
    home = times.by_period(tariff.name, times.home()) if tariff.study.home else hours
    whole = home.sum(axis=1)
    for number, period in enumerate(tariff.periods, start=1):
        place = times.periods(tariff.name).index(period)
        model.given(table, f"hours {number}", f"hours, {period}", "h", hours[:, place], computed=HOURS)
        part = [one / all_of_it if all_of_it else 0.0 for one, all_of_it in zip(home[:, place], whole, strict=True)]
        model.given(table, f"part {number}", f"part of the home's use, {period}", "", part, computed=HOME)


@dataclass(frozen=True)
class Payer:
    """Whose bill it is: the table its columns go to, what is drawn by period, the highest power (None: not stated).

    prefix, said: before the names and after the labels of its columns, where a table has several bills.
    """

    model: Model
    tariff: Tariff
    table: Table
    energy: Energy
    peak: Node | None
    prefix: str = ""
    said: str = ""

    def put(self, name: str, label: str, formula: Node) -> Column:
        """One column of the bill, in money."""
        return self.model.column(self.table, self.prefix + name, label + self.said, self.money, formula)

    @property
    def money(self) -> str:
        return self.tariff.study.settings.currency

    def home(self, name: str) -> Column:
        """A column of the table with the home's bill, where keys and hours stand."""
        return self.model[f"{self.tariff.home}.{name}"]

    @property
    def level(self) -> Column:
        return self.model[f"calendar.level {self.tariff.name}"]


def bill(payer: Payer) -> Column:
    """A bill's charges, each a column, and what they come to."""
    tariff, costs = payer.tariff, dict[str, Column]()
    if tariff.is_flat:
        price = of_version(payer, "price") * payer.energy("")
        costs[""] = payer.put("charge price", "price", payer.level * price)
    for charge in tariff.names(percent=False):
        costs[charge] = payer.put(f"charge {tariff.number(charge)}", charge, payer.level * cost(payer, charge))
    subtotal: Node = added(list(costs.values()))
    if any(version.minimum is not None for version in tariff.versions):
        least = payer.level * of_version(payer, "minimum") * payer.model["calendar.billed"]
        missing = call(
            "where", payer.home("has_minimum"), call("larger", least - subtotal, money(payer)), money(payer)
        )
        subtotal = subtotal + payer.put("minimum", "up to the minimum", missing)
    if percents := tariff.names(percent=True):
        whole = payer.put("subtotal", "charges before percentages", subtotal)
        for charge in percents:
            share = sum_of_kind(payer, charge, "percent") * base(payer, charge, whole, costs)
            costs[charge] = payer.put(f"charge {tariff.number(charge)}", charge, share)
        subtotal = added([whole, *(costs[charge] for charge in percents)])
    return payer.put("bill", "bill", subtotal)


def money(payer: Payer) -> Node:
    """No money."""
    return Constant(0.0, unit(payer.money))


def of_version(payer: Payer, name: str) -> Node:
    """What the version that holds in a month says; 0 where it says nothing."""
    tariff = f"tariff {payer.tariff.name}"
    held = payer.model[f"calendar.version {payer.tariff.name}"]
    return call("look_up", held, payer.model[f"{tariff}.version"], payer.model[f"{tariff}.{name}"])


def pairs_of(tariff: Tariff, charge: str) -> list[tuple[int, str]]:
    """The keys of a charge, as numbers, with their periods."""
    return [(number, period) for number, (name, period) in enumerate(tariff.pairs) if name == charge]


def cost(payer: Payer, charge: str) -> Node:
    """What a charge that is no percentage comes to in a month, before its version's price level."""
    rows, model = [row for row in payer.tariff.rows if row.charge == charge], payer.model
    terms: list[Node] = []
    for kind, times in (("fixed", "billed"), ("fixed_day", "days")):
        if any(getattr(row, kind) is not None for row in rows):
            terms.append(sum_of_kind(payer, charge, kind) * model[f"calendar.{times}"])
    if any(row.capacity is not None for row in rows) and payer.peak is not None:
        terms.append(sum_of_kind(payer, charge, "capacity") * payer.peak * model["calendar.billed"])
    if any(row.price is not None for row in rows):
        terms += [by_blocks(payer, number, payer.energy(period)) for number, period in pairs_of(payer.tariff, charge)]
    return added(terms) if terms else money(payer)


def sum_of_kind(payer: Payer, charge: str, kind: str) -> Node:
    """What a charge says in one column, by the version that holds."""
    table = f"charges {payer.tariff.name}"
    amounts, keys = payer.model[f"{table}.{kind}"], payer.model[f"{table}.key"]
    found = [call("sum_where", amounts, keys, payer.home(f"key {n}")) for n, _ in pairs_of(payer.tariff, charge)]
    return added(found)


def by_blocks(payer: Payer, number: int, energy: Column) -> Node:
    """The kWh of a month by its blocks; blocks by the day hold for each of its days."""
    table, model = f"charges {payer.tariff.name}", payer.model
    steps = (payer.home(f"key {number}"), *(model[f"{table}.{name}"] for name in ("key", "above", "rise")))
    if f"{payer.tariff.home}.block_count" not in model.columns:
        return call("steps_above", energy, *steps)
    count = payer.home("block_count")
    return count * call("steps_above", energy / count, *steps)


def bases(tariff: Tariff, charge: str) -> list[tuple[str, ...]]:
    """What a percentage is of, each way that its versions have."""
    return list(dict.fromkeys(row.of for row in tariff.rows if row.charge == charge and row.percent is not None))


def base_number(tariff: Tariff, charge: str, version: int) -> int:
    """Which of the ways a version has."""
    start = tariff.versions[version].start
    own = [row.of for row in tariff.rows if row.charge == charge and row.start == start]
    return bases(tariff, charge).index(own[0]) if own else 0


def base(payer: Payer, charge: str, whole: Column, costs: dict[str, Column]) -> Node:
    """What a percentage is of: named charges, or all."""
    ways = [sum_named(names, whole, costs) for names in bases(payer.tariff, charge)]
    found = ways[0]
    for number, way in enumerate(ways[1:], start=1):
        choice = payer.home(f"base {payer.tariff.number(charge)}")
        found = call("where", call("at_least", choice, float(number)), way, found)
    return found


def sum_named(names: Sequence[str], whole: Column, costs: dict[str, Column]) -> Node:
    """The named charges added up; the whole without names."""
    return added([costs[name] for name in names] if names else [whole])
