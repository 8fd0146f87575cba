"""A folder or workbook -> a checked Study, or every problem in all of its tables at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from tco.errors import Place
from tco.places import data_folder
from tco.read import settings as setting_rows
from tco.read.charges import electricity
from tco.read.checks import check
from tco.read.column import Column
from tco.read.curves import by_name, check_failures, check_resale, place
from tco.read.found import Curves, Found, of
from tco.read.inputs import Extra as Extra
from tco.read.paths import used_paths
from tco.read.power import check_efficiency
from tco.read.problems import SIMILAR_LIMIT, Problems, Refused, nearest, shown
from tco.read.quantities import Money
from tco.read.ranges import read_ranges
from tco.read.shelf import Folder, Shelf, find
from tco.read.tables import Table, cells, read
from tco.read.values import check_range
from tco.study import (
    Charge,
    EfficiencyPoint,
    Entry,
    Exchange,
    FailurePoint,
    Fee,
    Holiday,
    HomeUse,
    Log,
    Needs,
    Node,
    OneOff,
    Part,
    PathPoint,
    Period,
    Pool,
    Purchase,
    Range,
    ResalePoint,
    Row,
    Scenario,
    Settings,
    ShapePoint,
    Site,
    Stated,
    Study,
    Version,
)

R = TypeVar("R", bound=Row)
Failures = Mapping[str, tuple[FailurePoint, ...]]
Resale = Mapping[str, tuple[ResalePoint, ...]]
Efficiency = Mapping[str, tuple[EfficiencyPoint, ...]]
RESULTS = (  # what the commands write
    "lines.csv", "measures.csv", "bills.csv", "checks.csv", "reprice.csv", "replacements.csv", "simulate.csv",
    "simulate_years.csv", "simulate_inputs.csv", "vary.csv", "vary_grid.csv", "breakeven.csv",
    "spend.csv", "grow.csv", "track.csv",
)  # fmt: skip
TABLES: Mapping[str, type[Row]] = {
    "study.csv": Settings,
    "scenarios.csv": Scenario,
    "nodes.csv": Node,
    "tariffs.csv": Version,
    "charges.csv": Charge,
    "hours.csv": Period,
    "holidays.csv": Holiday,
    "home.csv": HomeUse,
    "shapes.csv": ShapePoint,
    "efficiency.csv": EfficiencyPoint,
    "fees.csv": Fee,
    "one_offs.csv": OneOff,
    "failures.csv": FailurePoint,
    "resale.csv": ResalePoint,
    "paths.csv": PathPoint,
    "pools.csv": Pool,
    "sites.csv": Site,
    "stated.csv": Stated,
    "needs.csv": Needs,
    "ranges.csv": Range,
    "purchases.csv": Purchase,
    "ledger.csv": Entry,
    "exchange.csv": Exchange,
}


def load(
    folder: str | Path, extra: Extra | None = None, *, reference: Path | None = None, horizon: int | None = None
) -> Study:
    """The study in a folder of CSV files, or in one .xlsx file.

    extra: columns that cost lines add, by row class and field; their values stand in `Row.extra`.
    reference: folder of the reference curves; the package's own if left out.
    horizon: months for which it is kept, in the place of what study.csv says; all else is checked against it.
    Raises StudyError with every problem, in order of file, line and column.
    """
    problems = Problems()
    shelf = find(Path(folder), problems)
    return from_shelf(shelf, str(folder), extra, problems, reference=reference, horizon=horizon)


def from_shelf(
    shelf: Shelf,
    folder: str,
    extra: Extra | None,
    problems: Problems,
    *,
    reference: Path | None = None,
    horizon: int | None = None,
) -> Study:
    """The study whose tables stand on a shelf; see load."""
    desk = _Desk(shelf, extra or {}, problems, horizon)
    found = desk.everything(reference or data_folder() / "reference")
    check(found, problems)
    ranges = read_ranges(found, desk.extra, desk.money, problems)
    problems.settle()
    return replace(_study(folder, found), ranges=ranges)


class _Desk:
    """Reads the tables one after the other; each needs the study's currency and its rates first."""

    def __init__(self, shelf: Shelf, extra: Extra, problems: Problems, horizon: int | None = None) -> None:
        self.shelf, self.extra, self.problems, self.horizon = shelf, extra, problems, horizon
        self.money = Money()

    def table(self, file: str, row_type: type[R], needed: bool = False) -> Table[R]:
        """The rows of a table; none where it is absent, which is told if it is needed."""
        shown_as = self.shelf.shown(file)
        if not self.shelf.has(file):
            if needed:
                self.problems.add(Place(shown_as), "this table is missing")
            return Table(shown_as, whole=not needed)
        grid = self.shelf.grid(file, self.problems)
        if grid is None:
            return Table(shown_as, whole=False)
        return read(grid, row_type, self.extra.get(row_type, {}), self.money, self.problems)

    def everything(self, reference: Path) -> Found:
        """All tables of the study, and the reference curves it leans on."""
        settings = self._settings()
        scenarios = self.table("scenarios.csv", Scenario, needed=True)
        parts = self._parts_lists(scenarios)
        nodes = self.table("nodes.csv", Node)
        self._tell_strangers(scenarios, nodes)
        return Found(
            settings=settings,
            scenarios=scenarios,
            nodes=nodes,
            tariffs=self.table("tariffs.csv", Version),
            charges=self.table("charges.csv", Charge),
            hours=self.table("hours.csv", Period),
            holidays=self.table("holidays.csv", Holiday),
            home=self.table("home.csv", HomeUse),
            shapes=self.table("shapes.csv", ShapePoint),
            fees=self.table("fees.csv", Fee),
            one_offs=self.table("one_offs.csv", OneOff),
            paths=self.table("paths.csv", PathPoint),
            pools=self.table("pools.csv", Pool),
            sites=self.table("sites.csv", Site),
            stated=self.table("stated.csv", Stated),
            needs=self._needs(),
            ranges=self.table("ranges.csv", Range),
            purchases=self.table("purchases.csv", Purchase),
            ledger=self.table("ledger.csv", Entry),
            rates=self.money.rates,
            parts=parts,
            curves=self._curves(parts.values(), reference),
            logs=self._logs(nodes, parts, settings.time_zone),
        )

    def _settings(self) -> Settings:
        """study.csv, after the currency in it and the rates of exchange.csv are known."""
        extra = self.extra.get(Settings, {})
        table = self.table("study.csv", setting_rows.SettingRow, needed=True)
        rows = setting_rows.match(table, Settings, extra, self.problems)
        code = setting_rows.currency(rows)
        self.money = self._money(code)
        return self._kept(setting_rows.build(Settings, table, rows, extra, self.money, self.problems))

    def _kept(self, settings: Settings) -> Settings:
        """The settings with the horizon asked for in the place of their own, if one is."""
        if self.horizon is None:
            return settings
        try:
            check_range(self.horizon, Column("horizon", cells(Settings)["horizon"]), self.money)
        except Refused as refused:
            self.problems.add(Place("horizon"), str(refused))
        return replace(settings, horizon=self.horizon)

    def _needs(self) -> Needs | None:
        """needs.csv; None where there is none."""
        if not self.shelf.has("needs.csv"):
            return None
        table = self.table("needs.csv", setting_rows.NeedRow)
        rows = setting_rows.match(table, Needs, {}, self.problems)
        return setting_rows.build(Needs, table, rows, {}, self.money, self.problems)

    def _money(self, code: str) -> Money:
        """The currency and the rates, each currency once."""
        table = self.table("exchange.csv", Exchange)
        rates: dict[str, float] = {}
        for row in table.rows:
            if row.currency == code and code:
                self.problems.add(place(row, "currency"), f"currency: {code} is the study's own; it needs no rate")
            elif row.currency in rates:
                message = f"currency: {row.currency} has a rate already; keep the one to use"
                self.problems.add(place(row, "currency"), message)
            else:
                rates[row.currency] = row.rate
        return Money(code, rates, table.whole and all(row.currency for row in table.rows))

    def _parts_lists(self, scenarios: Table[Scenario]) -> dict[str, Table[Part]]:
        """Each parts list that scenarios name, read once."""
        found: dict[str, Table[Part]] = {}
        for row in scenarios.rows:
            file = row.parts_list
            if not file or file in found:
                continue
            if file in TABLES:
                message = f"parts list: {file} is another table of the study; give the parts list its own name"
                self.problems.add(place(row, "parts_list"), message)
            elif self.shelf.has(file):
                found[file] = self.table(file, Part)
            else:
                self._tell_no_list(row)
        return found

    def _tell_no_list(self, row: Scenario) -> None:
        others = [name for name in self.shelf.names() if name not in TABLES]
        close = nearest(row.parts_list, others)
        hint = f"; did you mean {shown(close)}?" if close else ""
        message = f"parts list: there is no table {shown(row.parts_list)}{hint}"
        self.problems.add(place(row, "parts_list"), message)

    def _logs(self, nodes: Table[Node], lists: Iterable[str], zone: str) -> Mapping[str, Log]:
        """The metered logs that nodes name, by file."""
        named = [row for row in nodes.rows if row.log]
        if not named:
            return {}
        from tco.read.log import read_logs  # it takes numpy, which most studies need later or never

        others = {*TABLES, *lists}
        for row in named:
            if row.log in others:
                message = f"log: {row.log} is another table of the study; give the log its own name"
                self.problems.add(place(row, "log"), message)
        logs = [row for row in named if row.log not in others]
        return read_logs(self.shelf, Table(nodes.file, logs, nodes.whole), zone, self.problems)

    def _tell_strangers(self, scenarios: Table[Scenario], nodes: Table[Node]) -> None:
        """Report tables nobody asked for: a misspelt tables.csv must not be passed over in silence."""
        lists = {row.parts_list for row in scenarios.rows} | {row.log for row in nodes.rows}
        # A name that was refused may be that of any table.
        refused = any("parts_list" in row.places and not row.parts_list for row in scenarios.rows)
        refused = refused or any("log" in row.places and not row.log for row in nodes.rows)
        if refused or not scenarios.whole or not nodes.whole:
            return
        for name in self.shelf.names()[:SIMILAR_LIMIT]:
            if name in TABLES or name in lists:
                continue
            close = self._meant(name, lists)
            hint = f"; did you mean {close}?" if close else "."
            what = "no table of a study, nor any scenario's parts list, nor a node's log"
            message = f"{name} is {what}{hint} {self.shelf.elsewhere}"
            if name in RESULTS:
                message = f"{name} is a result of an earlier comparison; results need a folder of their own"
            self.problems.add(Place(self.shelf.shown(name)), message)

    def _meant(self, name: str, lists: set[str]) -> str:
        """The table that a stranger was meant to be: one that differs in case only, else the one most like it."""
        tables = [table for table in (*TABLES, *sorted(lists)) if table]
        same = [table for table in tables if table.casefold() == name.casefold()]
        return same[0] if same else nearest(name, tables)

    def _curves(self, parts: Iterable[Table[Part]], reference: Path) -> Curves:
        """The study's curves, and reference curves for the names it uses and does not define."""
        failures = self.table("failures.csv", FailurePoint)
        resale = self.table("resale.csv", ResalePoint)
        efficiency = self.table("efficiency.csv", EfficiencyPoint)
        points = by_name(failures.rows), by_name(resale.rows), by_name(efficiency.rows)
        own = Curves(*points, failures.whole, resale.whole, efficiency.whole)
        check_failures(own.failures, self.problems, whole=failures.whole)
        check_resale(own.resale, self.problems, whole=resale.whole)
        check_efficiency(own.efficiency, self.problems)
        rows = [part for table in parts for part in table.rows]
        lent = _Desk(Folder(reference, "reference/"), {}, self.problems)
        return replace(
            own,
            failures=lent.failures({part.failures for part in rows} - {""}, own.failures),
            resale=lent.resale({part.resale for part in rows} - {""}, own.resale),
            efficiency=lent.efficiency({part.efficiency for part in rows} - {""}, own.efficiency),
        )

    def failures(self, used: set[str], own: Failures) -> Failures:
        """A study's own failure curves, with this folder's where it uses other names."""
        if used <= set(own):
            return own
        more = by_name(self.table("failures.csv", FailurePoint).rows)
        check_failures(more, self.problems)
        return {**more, **own}

    def resale(self, used: set[str], own: Resale) -> Resale:
        """A study's own resale curves, likewise."""
        if used <= set(own):
            return own
        more = by_name(self.table("resale.csv", ResalePoint).rows)
        check_resale(more, self.problems)
        return {**more, **own}

    def efficiency(self, used: set[str], own: Efficiency) -> Efficiency:
        """A study's own efficiency curves, likewise."""
        if used <= set(own):
            return own
        more = by_name(self.table("efficiency.csv", EfficiencyPoint).rows)
        check_efficiency(more, self.problems)
        return {**more, **own}


def _study(folder: str, found: Found) -> Study:
    """The study of tables that fit together; of tariffs and curves only what it uses."""
    single = len(found.scenarios.rows) == 1
    scenarios = tuple(
        replace(
            row,
            baseline=row.baseline or single,
            parts=tuple(found.parts_of(row).rows),
            nodes=of(found.nodes, row),
            fees=of(found.fees, row),
            one_offs=of(found.one_offs, row),
            pools=of(found.pools, row),
            stated=next(iter(of(found.stated, row)), None),
            stands=next((site for site in found.sites.rows if row.site and site.site == row.site), None),
            purchases=of(found.purchases, row),
        )
        for row in found.scenarios.rows
    )
    parts = [part for scenario in scenarios for part in scenario.parts]
    tariffs = sorted({scenario.tariff for scenario in scenarios} - {""})
    return Study(
        folder=folder,
        settings=found.settings,
        scenarios=scenarios,
        tariffs={name: tuple(found.versions(name)) for name in tariffs},
        failures={name: found.curves.failures[name] for name in sorted({p.failures for p in parts} - {""})},
        resale={name: found.curves.resale[name] for name in sorted({p.resale for p in parts} - {""})},
        paths=used_paths(found),
        needs=found.needs,
        ledger=tuple(found.ledger.rows),
        rates=found.rates,
        **electricity(found, tariffs),
    )
