"""ranges.csv: which input each row means, and its ends as numbers around what the study says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from tco.addresses import folded
from tco.cell import NUMBERS
from tco.ranges import ELECTRICITY, FACTORS, FAILURES, RESALE, YEARS, failure_rate_of
from tco.read.curves import place
from tco.read.ends import End, Style, Target, around, check_ends, check_one, read_end
from tco.read.found import Found
from tco.read.inputs import Extra, Names, Spot, follows
from tco.read.numbers import decimal_sign
from tco.read.problems import Problems, Refused, shown
from tco.read.quantities import Money
from tco.read.tables import Table
from tco.study import Range, Row

RANGE_LIMIT = 200  # rows: each is a number of its own in every draw
SUGGESTIONS = 20  # misspelt inputs for which a near one is looked for
HOW_LONG = (YEARS, "year", "horizon")
UNSURE = "?"  # in the place of a reason: something elsewhere could not be read, and may be why


def read_ranges(found: Found, extra: Extra, money: Money, problems: Problems) -> tuple[Range, ...]:
    """The ranges with their ends as numbers; whatever is wrong with them is told."""
    rows = found.ranges.rows
    if not rows:
        return ()
    for row in rows[RANGE_LIMIT : RANGE_LIMIT + 1]:
        problems.add(place(row, "input"), f"input: more than {RANGE_LIMIT} ranges, the most")
    reader = RangeReader(found, extra, money, problems)
    return tuple(reader.row(row) for row in rows[:RANGE_LIMIT])


class RangeReader:
    """Reads one row after the other; each input may stand once."""

    def __init__(self, found: Found, extra: Extra, money: Money, problems: Problems) -> None:
        self.found, self.problems = found, problems
        self.names = Names(found, extra)
        sign = decimal_sign(text for row in found.ranges.rows for text in (row.low, row.high))
        self.style = Style(sign, money, found.settings.money)
        self.scenarios = {row.scenario for row in found.scenarios.rows} - {""}
        self.whole = is_whole(found)
        self.sound = self.whole and not problems.found
        self.targets: list[Target] = []
        self.misspelt = 0

    def row(self, row: Range) -> Range:
        """A row with the input as the study spells it and its ends as numbers."""
        try:
            target = self.target(row) if row.input else None
            if target is None:
                return row
            self.check_once(target)
        except Refused as refused:
            self.problems.add(place(row, "input"), f"input: {refused}")
            return row
        low, high = (self.end(target, name) for name in ("low", "high"))
        return self.filled(target, low, high) if low and high else row

    def end(self, target: Target, name: str) -> End | None:
        """One end; None where it is refused, which is told."""
        text = str(getattr(target.row, name))
        try:
            return read_end(getattr(target.row, name), target, self.style) if text else None
        except Refused as refused:
            self.problems.add(place(target.row, name), f"{name}: {refused}")
            return None

    def filled(self, target: Target, low: End, high: End) -> Range:
        """A row with its ends, checked."""
        wrong, message = check_ends(target, low, high, self.style.money)
        if wrong:
            self.problems.add(place(target.row, wrong), f"{wrong}: {message}")
        least, greatest = around(target, low, high)
        return replace(target.row, input=target.name, least=least, greatest=greatest, is_factor=low.is_factor)

    def target(self, row: Range) -> Target | None:
        """What a row is about; None where it cannot be known, or is told already. Raises Refused."""
        name = folded(row.input)
        if name in HOW_LONG:
            raise Refused("how long it is kept is a choice, not a chance; use tco vary")
        if name in FACTORS or name.startswith(f"{FAILURES} of "):
            return self.factor(row, name)
        spots = self.of_scenario(row, self.names.spots(row.input))
        if not spots:
            return None
        if len(names := sorted({spot.name for spot in spots})) > 1:
            raise Refused(f"{shown(row.input)} could be {' or '.join(map(shown, names))}; write it so")
        reasons = [self.why_not(spot) for spot in spots]
        fine = tuple(spot for spot, reason in zip(spots, reasons, strict=True) if not reason)
        if not fine and reasons[0] != UNSURE:
            raise Refused(reasons[0])
        found = Target(row, names[0], fine)
        if fine:
            check_one(found)
        return found if fine else None

    def factor(self, row: Range, name: str) -> Target | None:
        """A factor on all prices of electricity, failure rates, or shares of resale curves. Raises Refused."""
        why_not = _without_effect(self.found).get(name, "")
        wanted = name.removeprefix(f"{FAILURES} of ")
        curve = self.names.curves.get(wanted, "")
        if name not in FACTORS and not curve:
            near = "" if wanted in map(folded, self.found.curves.failures) else self.meant(row.input)
            known = ", ".join(sorted(self.names.curves.values())[:6])
            why_not = f"no part follows the failure curve {shown(wanted)}{near or (known and f'; known: {known}')}"
        if why_not and self.sound:
            raise Refused(why_not)
        if why_not:
            return None
        if row.scenario:
            self.tell_shared(row, name)
        return Target(row, name if name in FACTORS else failure_rate_of(curve))

    def of_scenario(self, row: Range, spots: Sequence[Spot]) -> list[Spot]:
        """The cells meant, of the scenario that a row names if it does; none where that is told. Raises Refused."""
        if not spots and self.whole:
            hint = self.meant(row.input) or "; `tco vary` lists those of a study"
            raise Refused(f"there is no input {shown(row.input)}{hint}")
        if row.scenario not in self.scenarios:  # it names none, or one that does not exist, which is told
            return list(spots)
        mine = [spot for spot in spots if row.scenario in spot.owner.scenarios]
        owners = sorted({name for spot in spots for name in spot.owner.scenarios})
        if spots and not owners:
            self.tell_shared(row, spots[0].name)
        elif not mine and self.whole:
            listed = " and ".join(map(shown, owners[:6]))
            message = f"scenario: {shown(row.scenario)} has no {shown(spots[0].name)}; it is an input of {listed}"
            self.problems.add(place(row, "scenario"), message)
        return mine

    def tell_shared(self, row: Range, name: str) -> None:
        """Report a scenario beside what is the same in all of them."""
        message = f"scenario: {shown(name)} is the same in all scenarios; leave this empty"
        self.problems.add(place(row, "scenario"), message)

    def meant(self, text: str) -> str:
        """The end of a message: which input was probably meant."""
        self.misspelt += 1
        near = self.names.meant(text) if self.misspelt <= SUGGESTIONS else ""
        return f"; did you mean {shown(near)}?" if near else ""

    def why_not(self, spot: Spot) -> str:
        """Why a cell can have no range; empty where it can."""
        if spot.cell.kind not in NUMBERS:
            return f"{shown(spot.name)} is no number, and only numbers have a range; compare scenarios"
        if spot.cell.kind == "whole" and spot.cell.live:
            return f"{shown(spot.name)} is a count: a choice, not a chance; compare scenarios, or use tco vary"
        if not spot.cell.live:
            return f"{shown(spot.name)} is worked in once and for all, not draw by draw; compare scenarios"
        if not spot.owner.is_used:
            return f"no scenario uses {self.told(spot)}, so it changes nothing" if self.sound else UNSURE
        if spot.path:
            return f"{shown(spot.name)} changes nothing: path {shown(spot.path)} holds instead; its years are inputs"
        if other := follows(spot, self.found):
            return f"{self.told(spot)} is left out and follows {shown(other)}; name that one"
        if spot.value is None:
            return f"the study does not say {self.told(spot)}; state it there first" if self.whole else UNSURE
        return ""

    @staticmethod
    def told(spot: Spot) -> str:
        """A cell as messages name it."""
        return f"{shown(spot.name)} ({spot.place})"

    def check_once(self, target: Target) -> None:
        """Refuse an input that has a range already; a factor on a whole kind comes on top of that of one of it."""
        for other in self.targets:
            if other.name == target.name and _overlap(other.row, target.row):
                line = other.row.places[""].line
                raise Refused(f"{shown(target.name)} has a range in line {line} already; keep one")
        self.targets.append(target)


def _overlap(one: Range, other: Range) -> bool:
    """Whether two rows may speak of the same scenario; a scenario that was refused is not known."""
    if any("scenario" in row.places and not row.scenario for row in (one, other)):
        return False
    return one.scenario == other.scenario or "" in (one.scenario, other.scenario)


def _without_effect(found: Found) -> dict[str, str]:
    """The factors of which the study has nothing to vary, and why."""
    parts = [part for table in found.parts.values() for part in table.rows]
    reasons = {}
    if not any(row.tariff for row in found.scenarios.rows):
        reasons[ELECTRICITY] = f"no scenario has a tariff, so {shown(ELECTRICITY)} changes nothing"
    if not any(part.failures for part in parts):
        reasons[FAILURES] = f"no part has a failure curve, so {shown(FAILURES)} changes nothing"
    if not any(part.resale for part in parts):
        reasons[RESALE] = f"no part has a resale curve, so {shown(RESALE)} changes nothing"
    return reasons


def is_whole(found: Found) -> bool:
    """Whether all names of inputs are known."""
    return all(_wholes(found))


def _wholes(found: Found) -> Iterator[bool]:
    tables: tuple[Table[Row], ...] = (
        found.scenarios, found.nodes, found.tariffs, found.charges, found.home, found.fees, found.one_offs,
        found.paths, found.pools, found.sites, found.stated,
    )  # type: ignore[assignment]  # fmt: skip
    yield from (table.whole for table in tables)
    yield from (found.parts_of(row).whole for row in found.scenarios.rows)
    yield from (found.curves.failures_whole, found.curves.resale_whole, found.curves.efficiency_whole)
