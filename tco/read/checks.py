"""Whether the tables of a study fit together: every name resolves, every month lies within the horizon."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan

from tco.errors import Place
from tco.read.charges import check_charges
from tco.read.coverage import check_hours
from tco.read.curves import by_name, place
from tco.read.delivery import check_delivery, check_gear, check_needs, check_sites
from tco.read.found import Found, of, tell_absent
from tco.read.heat import check_heat
from tco.read.home import check_home
from tco.read.inflation import check_kinds
from tco.read.ledger import check_ledger
from tco.read.months import check_month
from tco.read.nodes import check_nodes
from tco.read.parts import check_parts
from tco.read.paths import check_paths
from tco.read.power import check_supplies, check_supply_parts
from tco.read.problems import Problems, shown
from tco.read.purchases import check_purchases
from tco.read.tables import Table
from tco.read.tariffs import check_billing, check_tariff, check_versions
from tco.read.wear import check_spares, check_wear
from tco.study import Node, Part, Row, Scenario

FEE_LIMIT = 100  # of one scenario; each is a column of its sheet
SCENARIO_LIMIT = 50  # more than anybody compares; each is a sheet of the workbook


def check(found: Found, problems: Problems) -> None:
    """Tell everything that does not fit."""
    _check_names(found.scenarios, problems)
    _check_baseline(found.scenarios, problems)
    _check_members(found, problems)
    _check_months(found, problems)
    check_versions(found.tariffs, problems)
    check_billing(found, problems)
    check_charges(found, problems)
    check_hours(found, problems)
    check_home(found, problems)
    check_paths(found, problems)
    check_kinds(found, problems)
    check_sites(found, problems)
    check_heat(found.sites, problems)
    check_needs(found, problems)
    check_spares(found.settings, problems)
    check_ledger(found, problems)
    for table in found.parts.values():
        check_parts(found, table, problems)
        check_gear(table, problems)
        check_wear(table, problems)
        check_supply_parts(found, table, problems)
    for scenario in found.scenarios.rows[:SCENARIO_LIMIT]:
        check_tariff(found, scenario, problems)
        check_nodes(found, scenario, problems)
        check_delivery(found, scenario, problems)
        check_supplies(found, scenario, problems)
        check_purchases(found, scenario, problems)
        _check_busy_share(found, scenario, problems)
        _check_content(found, scenario, problems)
        if len(fees := of(found.fees, scenario)) > FEE_LIMIT and scenario.scenario:
            message = f"fee: {len(fees)} fees of {shown(scenario.scenario)}; the most is {FEE_LIMIT}"
            problems.add(place(fees[FEE_LIMIT], "fee"), message)


def _check_names(table: Table[Scenario], problems: Problems) -> None:
    """Scenarios: some, not too many, each name once whatever its case."""
    if not table.rows and table.whole:
        problems.add(Place(table.file), "there is no scenario; write one a row")
    if len(table.rows) > SCENARIO_LIMIT:
        message = f"{len(table.rows)} scenarios; the most is {SCENARIO_LIMIT}"
        problems.add(table.rows[SCENARIO_LIMIT].places[""], message)
    seen: dict[str, Scenario] = {}
    for row in table.rows:
        first = seen.setdefault(row.scenario.casefold(), row)
        if row.scenario and first is not row:
            case = "" if first.scenario == row.scenario else " (upper and lower case tell no two apart)"
            message = f"scenario {shown(row.scenario)} stands in line {first.places[''].line} already{case}"
            problems.add(place(row, "scenario"), message)


def _check_baseline(table: Table[Scenario], problems: Problems) -> None:
    """Exactly one baseline; a single scenario is its own."""
    baselines = [row for row in table.rows if row.baseline]
    for row in baselines[1:]:
        message = f"baseline: {shown(baselines[0].scenario)} is the baseline already; only one can be"
        problems.add(place(row, "baseline"), message)
    # A refused cell may have been meant as the missing yes; one that says no was not.
    refused = {where for where, _ in problems.found}
    told = any(row.places.get("baseline") in refused for row in table.rows)
    if not baselines and len(table.rows) > 1 and table.whole and not told:
        message = "no scenario is the baseline; write 'yes' under 'baseline' for the one to measure against"
        problems.add(Place(table.file), message)


def _check_members(found: Found, problems: Problems) -> None:
    """Rows of other tables belong to scenarios that exist."""
    if not found.scenarios.whole:
        return
    names = {row.scenario for row in found.scenarios.rows}
    rows: list[Row] = [*found.nodes.rows, *found.fees.rows, *found.one_offs.rows]
    rows += [*found.pools.rows, *found.stated.rows, *found.ranges.rows, *found.purchases.rows, *found.ledger.rows]
    for row in rows:
        if getattr(row, "scenario", "") not in names | {""}:
            tell_absent(row, "scenario", "scenario", found.scenarios.file, names, problems)


def _check_months(found: Found, problems: Problems) -> None:
    """Fees and one-offs fall into the horizon, and a fee's last month is not before its first."""
    for row in found.one_offs.rows:
        check_month(found, row, "month", problems)
    for fee in found.fees.rows:
        check_month(found, fee, "first", problems)
        check_month(found, fee, "last", problems)
        if fee.last is not None and fee.first > fee.last:
            message = f"last: month {fee.last} comes before the first month, {fee.first}"
            problems.add(place(fee, "last"), message)
        _check_data(found, fee.amount_per_TB, fee, problems)


def _check_data(found: Found, amount: float, row: Row, problems: Problems) -> None:
    """A fee by the TB needs to know how many: data left out of study.csv are not nought."""
    if isnan(found.settings.data_held):  # study.csv could not be read
        return
    if amount and not {"data_held", "data_added"} & set(found.settings.places):
        where = found.settings.places[""].file
        message = f"amount per TB: {where} does not say 'data held'; add it (0 TB if there are none)"
        problems.add(place(row, "amount_per_TB"), message)


def _check_busy_share(found: Found, scenario: Scenario, problems: Problems) -> None:
    """A busy power needs to know how long it lasts: a share left out is not zero. A load shape says it as well."""
    nodes = of(found.nodes, scenario)
    busy: list[Row] = [row for row in _counted(found, scenario, nodes) if row.busy is not None]
    measured = [row for row in nodes if row.measured_busy is not None]
    if "busy_shape" in scenario.places:
        _check_busy_shape(found, scenario, problems)
    elif (busy or measured) and "busy_share" not in scenario.places:
        where = place((busy or measured)[0], "busy" if busy else "measured_busy")
        message = f"busy share: empty, but {where} has a busy power; write for example '10 %', or '0 %'"
        problems.add(scenario.places[""], message)


def _counted(found: Found, scenario: Scenario, nodes: Sequence[Node]) -> list[Part]:
    """The parts of a scenario, without those whose power a metered log says."""
    parts = [part for part in found.parts_of(scenario).rows if part.quantity > 0]
    groups, logged = by_name(parts, "node"), {node.node for node in nodes if "log" in node.places}
    covered = {name: min(part.bought for part in groups[name]) for name in logged & set(groups)}
    return [part for part in parts if covered.get(part.node) != part.bought]


def _check_busy_shape(found: Found, scenario: Scenario, problems: Problems) -> None:
    """The load shape that says when a scenario is busy exists, and stands alone."""
    shapes = {row.shape for row in found.shapes.rows}
    if scenario.busy_shape and scenario.busy_shape not in shapes and found.shapes.whole:
        tell_absent(scenario, "busy_shape", "shape", found.shapes.file, shapes, problems)
    if "busy_share" in scenario.places:
        where = place(scenario, "busy_shape")
        problems.add(place(scenario, "busy_share"), f"busy share: 'busy shape' stands in {where} already; keep one")


def _check_content(found: Found, scenario: Scenario, problems: Problems) -> None:
    """A scenario without hardware, fees and one-offs has nothing to compare."""
    parts = found.parts_of(scenario)
    tables = (parts, found.fees, found.one_offs)
    if not all(table.whole for table in tables) or not scenario.scenario:
        return
    if not parts.rows and not of(found.fees, scenario) and not of(found.one_offs, scenario):
        message = (
            f"scenario {shown(scenario.scenario)} has neither hardware nor fees nor one-offs: nothing to compare"
        )
        problems.add(scenario.places[""], message)
