"""Checks of drives: what else is on them, their age, their wear, their warranty."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import POOLS, WATTS, can_fail, leaving
from tco.ask.practice.rule import PRACTICE, PUBLISHED, NotStated, Rule, Told
from tco.ask.practice.words import counted, have, listed, month, number, series
from tco.model import Ground
from tco.model.slot import Slot
from tco.model.wear import host_writes, worn_after, written_a_day
from tco.study import FailurePoint, Part

ORDER = 40
WRITTEN = NotStated("`written` of each pool, what clients write to it a day (pools.csv)")
ENDURANCE = NotStated("`endurance` (TBW) of each drive of a pool (parts list); hard drives often have none")
NO_POOL = NotStated(
    "`pool` or `written` of each drive that has an `endurance` (parts list): its writes are not known"
)
WARRANTY = NotStated("`warranty` of each part that draws power or holds data (parts list; 0 years: none)")


def system_on_data(_: Comparison, ground: Ground) -> Iterator[Told]:
    """The operating system on a storage drive."""
    takes = 100 * ground.study.settings.system_takes
    for part in ground.scenario.parts:
        if part.quantity and part.system:
            told = f"{counted(part.quantity, 'drive')} '{part.part}' {'hold' if part.quantity > 1 else 'holds'}"
            yield f"{told} the operating system beside data; {number(takes)} % of the speed is taken off for it."
    if not ground.scenario.pools and not any(part.system for part in ground.scenario.parts):
        yield POOLS


def used_without_curve(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Used gear whose failure curve does not know its age, or that has none."""
    used = [part for part in ground.scenario.parts if part.quantity and part.age]
    without = [part for part in can_fail(ground.scenario) if part.age and not part.failures]
    if without:
        yield f"Used, and without a failure curve, so that no failure is counted: {aged(without)}."
    for name, points in ground.study.failures.items():
        own = [part for part in used if part.failures == name]
        if own and len({(point.rate, point.chance) for point in points}) == 1:
            yield f"The failure curve '{name}' says {rate(points[0])} at every age, also of {aged(own)}."


def aged(parts: Sequence[Part]) -> str:
    """Parts with their ages when bought."""
    return series([f"'{part.part}' ({years(part.age)} old)" for part in parts])


def years(months: int) -> str:
    """An age: `4 years`, `30 months`."""
    return counted(months, "month") if months % 12 else counted(months // 12, "year")


def rate(point: FailurePoint) -> str:
    """What a failure curve says."""
    if point.rate is not None:
        return f"{number(100 * point.rate)} % a year"
    return f"{number(100 * (point.chance or 0.0))} % a month"


def uncounted(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Gear that draws power or holds data and has no failure curve."""
    fails = can_fail(ground.scenario)
    without = [part.part for part in fails if not part.failures and not part.age]
    if not fails:
        yield WATTS
    if without:
        told = f"{len(without)} of {counted(len(fails), 'part')} that can fail {have(len(without))} no failure curve"
        yield f"{told}: {listed(without)}."


def worn(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Drives whose rated writes are reached before they leave."""
    if not ground.scenario.pools:
        yield POOLS
    for pool in ground.scenario.pools:
        drives = [part for part in ground.scenario.parts if part.quantity and part.pool == pool.pool]
        if any(part.endurance is None for part in drives):
            yield ENDURANCE
        if pool.written is None and any(part.written is None for part in drives):
            yield WRITTEN
    for slot in ground.slots:
        if slot.part.endurance is not None and slot.part.quantity and slot.shelf is None:
            yield from worn_out(ground, slot)


def worn_out(ground: Ground, slot: Slot) -> Iterator[Told]:
    """The month in which one of a part reaches its rated writes, if it does while it is there."""
    part = replace(slot.part, life=None)
    a_day = written_a_day(ground.scenario, ground.horizon, part)
    if a_day is None:
        if not part.pool and not part.takes_first:
            yield NO_POOL
        return
    writes = host_writes(ground, part)
    reached = part.bought + int(worn_after(part, part.bought, writes, slot.leaves - part.bought)[0])
    if reached > slot.leaves:
        return
    told = f"'{part.part}' is written {number(a_day[reached])} GB a day: its {number(part.endurance or 0.0)} TB are"
    used = part.age and "written_before" not in part.places
    before = "; what it has written before it was bought comes on top" if used else ""
    yield f"{told} reached in {month(ground, reached)} of {ground.horizon}{before}."


def warranties(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Parts whose warranty ends before they leave."""
    ends: dict[tuple[int, int], list[str]] = {}
    fails = can_fail(ground.scenario)
    if not fails or any(part.warranty is None for part in fails):
        yield WARRANTY
    for part in ground.scenario.parts:
        if part.quantity and part.warranty is not None and part.bought + part.warranty < leaving(ground, part):
            ends.setdefault((part.bought + part.warranty, leaving(ground, part)), []).append(part.part)
    for (end, leaves), names in sorted(ends.items()):
        left = counted(leaves - end, "month")
        yield f"The warranty of {listed(names)} ends with {month(ground, end)}; {left} without follow."


RULES = (
    Rule(
        "system on a storage drive",
        "drives marked `system`",
        "The system writes all day and competes with the data, and one failed drive takes the node down with it.",
        f"{PRACTICE}: a small drive of its own for the system; what the system takes is the study's `system takes`",
        system_on_data,
    ),
    Rule(
        "used gear without a curve of its age",
        "age and failure curve of used parts",
        "Old hard drives fail more often than new ones: in the fleet whose published table comes with the tool, "
        "twice as often from five years on. A flat curve makes a bargain look better than it is.",
        f"{PRACTICE}: used gear gets a curve that rises with age; that fleet's source is in the reference curves",
        used_without_curve,
    ),
    Rule(
        "failures not counted",
        "failure curves of new parts that draw power or hold data",
        "What has no failure curve never fails here, so its replacement costs nothing and its build looks cheaper.",
        f"{PRACTICE}: a cautious guess is nearer than none",
        uncounted,
    ),
    Rule(
        "endurance reached within the horizon",
        "rated writes of drives and what is written to each a day",
        "A drive past its rated writes may lose data when it lies without power. It is replaced then, which costs "
        "what a new one does; wear is no warranty claim.",
        f"{PUBLISHED}: JEDEC JESD218 (second-hand): the rating counts what the host writes, so nothing is multiplied "
        "by write amplification; that writes follow the share of data is arithmetic",
        worn,
    ),
    Rule(
        "warranty ending within the horizon",
        "warranty of parts from the month they are bought",
        "Until then a failure costs a claim, from then on a new part at that month's price.",
        f"{PRACTICE}: compare the horizon with the warranty before buying",
        warranties,
    ),
)
