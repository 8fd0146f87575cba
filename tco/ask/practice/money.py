"""Checks of prices, tariffs and resale."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import NODES, is_drive
from tco.ask.practice.rule import PRACTICE, NotStated, Rule, Told
from tco.ask.practice.words import counted, have, listed, month, number
from tco.model import Ground
from tco.model.calendar import months_between
from tco.model.slot import Slot
from tco.study import Node, Part, Row

ORDER = 80
OLD_TARIFF = 12  # months: common practice, no source
USUAL_NODE = (75.0, 250.0)  # USD, a used or small computer without storage: common practice, no source
NODE_MONEY = "USD"
CAPACITY = NotStated("`capacity` of each drive (parts list), which tells drives from the rest of a node")
RATE = NotStated(f"the rate of {NODE_MONEY} (exchange.csv), in which common prices of nodes are known")
TARIFFS = NotStated("a tariff (tariffs.csv)")
CENT = 0.005  # of the study's money: amounts nearer than this are level


def sells_dear(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Parts that fetch more when they leave than they cost, what took the place of failed ones included."""
    if not any(part.resale for part in ground.scenario.parts):
        yield NotStated("resale curves (`resale` in the parts list)")
    for slot in (one for one in ground.slots if one.shelf is None):
        fetched, paid = fetches(comparison, ground, slot), costs(comparison, ground, slot)
        if slot.part.quantity and fetched > paid + CENT:
            told = f"{number(fetched)} {ground.money}, more than the {number(paid)} {ground.money} that they cost"
            yield f"{slot.part.quantity} × '{slot.part.part}' sell in {month(ground, slot.leaves)} for {told}."


def fetches(comparison: Comparison, ground: Ground, slot: Slot) -> float:
    """What a row of the parts list sells for when it leaves, selling paid."""
    sold = [ground.own("units", f"sold {slot.key} {stay.row}") for stay in slot.stays if stay.part.resale]
    return fsum(float(comparison.of(column)[slot.leaves]) for column in sold)


def costs(comparison: Comparison, ground: Ground, slot: Slot) -> float:
    """What a row costs with tax, without shipping; replacements until it leaves, and what owned gear would fetch."""
    outlay, shipping, bought = (
        float(comparison.of(ground.part(name))[slot.row]) for name in ("outlay", "shipping", "bought")
    )
    level = float(comparison.of(ground.month("other_level"))[int(bought)])
    spent = outlay + slot.part.quantity * (slot.part.fetches_today - shipping * level)
    if not slot.is_replaced:
        return spent
    return spent + float(comparison.of(ground.own("units", f"cost {slot.key}")).sum())


def old_tariffs(comparison: Comparison, _: Ground) -> Iterator[Told]:
    """Tariffs whose version at the start is older than a year."""
    study = comparison.study
    if not study.tariffs:
        yield TARIFFS
    for name, versions in study.tariffs.items():
        holds = max(
            (one.start for one in versions if one.start <= study.settings.start), default=study.settings.start
        )
        age = months_between(holds, study.settings.start)
        if age > OLD_TARIFF:
            told = f"dates from {holds:%Y-%m}, {age} months before"
            yield f"Tariff '{name}': the price that holds at the start ({study.settings.start:%Y-%m}) {told}."


def without_source(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Prices that do not say where they come from: parts, fees, one-offs, the tariff."""
    priced = list(prices(ground))
    without = [name for name, row in priced if not row.source]
    if without:
        yield f"{len(without)} of {counted(len(priced), 'price')} {have(len(without))} no source: {listed(without)}."


def prices(ground: Ground) -> Iterator[tuple[str, Row]]:
    """Each row of a scenario that has a price, by what it is for."""
    scenario = ground.scenario
    yield from ((part.part, part) for part in scenario.parts if part.price)
    yield from ((fee.fee, fee) for fee in scenario.fees if fee.amount or fee.amount_per_TB)
    yield from ((one.what, one) for one in scenario.one_offs if one.amount)
    for version in ground.study.tariffs.get(scenario.tariff, ()):
        if version.price is not None:
            yield f"{version.tariff} from {version.start:%Y-%m}", version
    for charge in ground.study.charges.get(scenario.tariff, ()):
        yield f"{charge.charge} from {charge.start:%Y-%m}", charge


def odd_node_price(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Nodes that cost less or more than used or small computers do."""
    if not ground.scenario.nodes:
        yield NODES
    elif not dollars(ground):
        yield RATE
    elif not any(is_drive(part) for part in ground.scenario.parts):
        yield CAPACITY
    else:
        for node in ground.scenario.nodes:
            price, (least, most) = node_price(comparison, ground, node) / dollars(ground), USUAL_NODE
            if price and not least <= price <= most:
                told = f"costs {number(price)} {NODE_MONEY} without its drives"
                yield f"One '{node.node}' {told}; {least:g} to {most:g} {NODE_MONEY} are usual."


def dollars(ground: Ground) -> float:
    """What one US dollar costs in the study's currency; 0 where it is not stated."""
    return 1.0 if ground.money == NODE_MONEY else ground.study.rates.get(NODE_MONEY, 0.0)


def node_price(comparison: Comparison, ground: Ground, node: Node) -> float:
    """What one node of a group cost when the group was bought, with tax, without drives; 0 for owned gear."""
    with_tax = comparison.of(ground.part("with_tax"))
    own = [(p, row) for row, p in enumerate(ground.scenario.parts) if p.node == node.node and p.quantity]
    first = min((part.bought for part, _ in own), default=0)
    return fsum(float(with_tax[row]) * part.quantity for part, row in own if of_node(part, first)) / node.count


def of_node(part: Part, bought: int) -> bool:
    """Whether a part is of the node itself as it was bought."""
    return part.bought == bought and not is_drive(part)


def no_upkeep(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Hardware that is said to take no time, or time that is worth nothing."""
    settings, hours = ground.study.settings, ground.scenario.upkeep
    paid = comparison.measure(ground, "total_purchase")
    if not hours:
        yield f"Hardware for {number(paid)} {ground.money} takes 0 h of your time a month here."
    elif not settings.hour_value:
        yield f"{number(hours)} h of upkeep a month cost 0 {ground.money}: `hour value` in study.csv is nothing."


RULES = (
    Rule(
        "resale above what was paid",
        "resale of each part when it leaves, and what it cost",
        "Gear loses value. A gain hints at a resale curve whose base or age is wrong, or at a price that is.",
        f"{PRACTICE}: no part of a build earns money by being kept",
        sells_dear,
    ),
    Rule(
        "old tariff",
        "the version of each tariff that holds at the start",
        "Electricity is the largest cost of most builds, and a price of last year may be far from today's.",
        f"{PRACTICE}: a tariff from the last {OLD_TARIFF} months",
        old_tariffs,
        whole=True,
    ),
    Rule(
        "prices without a source",
        "the source of parts, fees, one-offs and tariffs with a price",
        "A price without its origin cannot be checked later, by you or by anyone who reads the comparison.",
        f"{PRACTICE}: write the offer and its date beside each price",
        without_source,
        hardware=False,
    ),
    Rule(
        "unusual price of a node",
        "price of one node without its drives",
        "Far below, something is missing or broken; far above, a used or small computer would do the same for less.",
        f"{PRACTICE}: {USUAL_NODE[0]:g} to {USUAL_NODE[1]:g} {NODE_MONEY} for a used or small one, without drives",
        odd_node_price,
    ),
    Rule(
        "no hours of upkeep",
        "`upkeep` of scenarios with hardware",
        "Updates, failed drives and dust take hours; without them your own hardware looks cheaper than rented space.",
        f"{PRACTICE}: some hours a month for hardware of your own",
        no_upkeep,
    ),
)
