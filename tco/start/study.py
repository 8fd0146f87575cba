"""The files of a new study: the starting study's tables, for other answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from math import ceil

from tco.read import load
from tco.read.averages import starting_tariff
from tco.read.inputs import Extra
from tco.start import texts
from tco.start.answers import Answers
from tco.start.money import restated
from tco.start.notes import NOTES, notes
from tco.start.size import Size, sized
from tco.start.texts import Row, Texts
from tco.study import Scenario, Study

OLD = "old servers"  # the baseline where they are compared
BY_POWER = ("electricity price", "electricity growth", "failure rate", "resale")  # nothing without hardware
HOUSEHOLD = "household"
ANSWERED, TAKEN = "as answered when this study was made", "taken when this study was made, as nothing was answered"
FOLLOWS = "follows from when and for which place this study was made"
MAINS = ("voltage", "breaker", "plug", "rule", "others continuous", "others short")
SETTINGS = {"currency": "currency", "data held": "room"}  # setting -> the answer that it is


@dataclass(frozen=True)
class Plan:
    """What a new study is made from. builds: the scenarios compared, as the starting study has them."""

    answers: Answers
    study: Study
    builds: tuple[Scenario, ...]
    sizes: Mapping[str, Size]
    held: float

    @property
    def names(self) -> tuple[str, ...]:
        return self.answers.builds

    @property
    def has_hardware(self) -> bool:
        return bool(self.sizes)

    @property
    def tariff(self) -> Row:
        """The one row of tariffs.csv."""
        if self.answers.official:
            return starting_tariff(self.answers.region, self.answers.start)[0]
        note = "the price of one more kWh, taxes in it"
        text = {"tariff": HOUSEHOLD, "price": self.answers.price, "source": ANSWERED, "note": note}
        return {"start": f"{self.answers.start:%Y-%m}", **text}

    @property
    def place(self) -> Row:
        """Time zone and mains."""
        return texts.place(filter(None, (self.answers.region, self.answers.currency)))


def started(answers: Answers, extra: Extra) -> dict[str, str]:
    """Every file of a new study, by name; extra: as for `tco.read.load`."""
    plan = planned(answers, extra)
    tables = {name: table_of(name, plan) for name in texts.template() if is_wanted(name, plan)}
    pages = {NOTES: notes(answers, tables, extra)}
    return {**{name: table.csv for name, table in tables.items()}, **pages}


def planned(answers: Answers, extra: Extra) -> Plan:
    """What the answers come to."""
    study = load(texts.folder(), extra)
    by_name = {one.scenario: one for one in study.scenarios}
    chosen = tuple(by_name[name] for name in answers.builds)
    settings = study.settings
    held = answers.room * (1 + settings.data_growth) ** (settings.horizon / 12)
    sizes = {one.scenario: sized(one, held) for one in chosen if one.parts}
    return Plan(answers, study, chosen, sizes, held)


def is_wanted(name: str, plan: Plan) -> bool:
    """Whether a table is in the new study: all are but parts lists of builds that are not."""
    lists = {one.parts_list for one in plan.study.scenarios if one.parts_list}
    return name not in lists or name in {one.parts_list for one in plan.builds}


def table_of(name: str, plan: Plan) -> Texts:
    """One table of the new study."""
    found = texts.template()[name]
    if "scenario" in map(texts.plain, found.header):
        found = found.where(lambda row: row["scenario"] in ("", *plan.names))
    change = partial(parts, name=name) if is_list(name, plan) else CHANGES.get(name)
    found = change(found, plan) if change else found
    return found if name in PRICED else restated(found, plan.answers.currency, plan.answers.drive)


def is_list(name: str, plan: Plan) -> bool:
    """Whether a table is a parts list."""
    return any(one.parts_list == name for one in plan.builds)


def settings(table: Texts, plan: Plan) -> Texts:
    """study.csv: the settings that were asked for, or follow from where and when."""
    room = f"{plan.answers.room:g} TB"
    values = {
        "currency": plan.answers.currency,
        "start": f"{plan.answers.start:%Y-%m}",
        "time zone": plan.place["time zone"],
        "data held": room,
    }

    def change(row: Row) -> Row:
        name = row["setting"]
        return {**row, "source": setting_source(row, plan), "value": values.get(name, row["value"])}

    return table.each(change)


def setting_source(row: Row, plan: Plan) -> str:
    """Where a setting comes from."""
    if row["setting"] in SETTINGS:
        return ANSWERED if SETTINGS[row["setting"]] in plan.answers.given else TAKEN
    return FOLLOWS if row["setting"] in ("start", "time zone") else row["source"]


def scenarios(table: Texts, plan: Plan) -> Texts:
    """scenarios.csv: in the order asked for, with the baseline and the tariff."""
    by_name = {row["scenario"]: row for row in table.rows}
    base = OLD if OLD in plan.names else plan.names[0]

    def change(name: str) -> Row:
        row = by_name[name]
        tariff = plan.tariff["tariff"] if row["tariff"] else ""
        return {**row, "baseline": "yes" if name == base else "", "tariff": tariff}

    return Texts(table.header, tuple(change(name) for name in plan.names))


def nodes(table: Texts, plan: Plan) -> Texts:
    """nodes.csv: as many as the room takes."""
    return table.each(lambda row: {**row, "count": str(plan.sizes[row["scenario"]].nodes)})


def parts(table: Texts, plan: Plan, name: str) -> Texts:
    """A parts list: as many of each as the room takes; sizes that are not taken are left out."""
    scenario = next(one.scenario for one in plan.builds if one.parts_list == name)
    many = plan.sizes[scenario].quantities
    used = {row["replaced by"] for row in table.rows if many.get(row["part"])}
    kept = table.where(lambda row: bool(many.get(row["part"])) or row["part"] in used)
    return kept.each(lambda row: {**row, "quantity": str(many.get(row["part"], 0))})


def purchases(table: Texts, plan: Plan) -> Texts:
    """purchases.csv: one more node, as the nodes of the new study are."""
    by_name = {one.scenario: one for one in plan.builds}

    def change(row: Row) -> Row:
        own, size = by_name[row["scenario"]], plan.sizes[row["scenario"]]
        listed = {part.part: part for part in own.parts}
        part = listed[row["part"]]
        taken = next(one for one in own.parts if one.pool and size.quantities.get(one.part)) if part.pool else part
        each = size.quantities[taken.part] // size.nodes if part.node else 1
        return {**row, "part": taken.part, "quantity": str(each)}

    return table.each(change)


def tariffs(table: Texts, plan: Plan) -> Texts:
    """tariffs.csv: the average price, or the price given."""
    empty = dict.fromkeys(map(texts.plain, table.header), "")
    return Texts(table.header, ({**empty, **plan.tariff},))


def exchange(table: Texts, plan: Plan) -> Texts:
    """exchange.csv: the rate given, where the average is in other money."""
    if not plan.answers.foreign:
        return table
    row = {"currency": plan.answers.foreign, "rate": plan.answers.rate, "day": f"{plan.answers.today}"}
    return Texts(table.header, ({**row, "source": ANSWERED, "note": ""},))


def sites(table: Texts, plan: Plan) -> Texts:
    """sites.csv: the sites in use, with the mains of the place."""
    mains = {name: plan.place[name] for name in MAINS}
    used = {one.site for one in plan.builds}
    return table.where(lambda row: row["site"] in used).each(lambda row: {**row, **mains})


def stated(table: Texts, plan: Plan) -> Texts:
    """stated.csv: a contract that is large enough."""
    return table.each(lambda row: {**row, "usable": str(ceil(plan.held))})


def curves(table: Texts, plan: Plan) -> Texts:
    """failures.csv and resale.csv: the curves that are in use."""
    all_parts = [part for one in plan.builds for part in one.parts]
    used = {name for part in all_parts for name in (part.failures, part.resale)}
    return table.where(lambda row: row["curve"] in used)


def ranges(table: Texts, plan: Plan) -> Texts:
    """ranges.csv: what there is to vary."""
    return table.where(lambda row: plan.has_hardware or row["input"] not in BY_POWER)


Change = Callable[[Texts, Plan], Texts]
CHANGES: Mapping[str, Change] = {
    "study.csv": settings,
    "scenarios.csv": scenarios,
    "nodes.csv": nodes,
    "purchases.csv": purchases,
    "tariffs.csv": tariffs,
    "exchange.csv": exchange,
    "sites.csv": sites,
    "stated.csv": stated,
    "failures.csv": curves,
    "resale.csv": curves,
    "ranges.csv": ranges,
}
PRICED = ("tariffs.csv", "exchange.csv")  # what is in them is no invented money
