"""What must hold of the inputs in a workbook: what does not follow is as written, the rest as a study may be.

The reader of a study refuses an empty price or a busy power below idle; in a workbook a person can type them, so a
hidden sheet looks for them, and the first that is found is said on the sheets.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from tco.engine import Column
from tco.engine.sheet import constant
from tco.model import Ground
from tco.model.measured import measured_nodes, members
from tco.model.shared import is_new, resale_key
from tco.model.supplies import supply_curve
from tco.study import Node
from tco.write.blocks import Draft

SHARED = "shared"
REFUSED = "tco would refuse this, or count it otherwise."


@dataclass(frozen=True)
class Entry:
    """An input that is not live, or something that must fit: where it stands, and what to say where it does not hold.

    value: the input as written; `wrong`: instead, the condition under which things do not fit.
    """

    group: str
    address: str
    what: str
    value: Any
    told: str
    wrong: str = ""

    def flag(self, row: int) -> str:
        """The formula that is 1 where the entry does not hold; its value as written stands in that row."""
        return f"=IF({self.wrong},1,0)" if self.wrong else f"=IF({self.address}=$B${row},0,1)"


def fits(draft: Draft) -> Iterator[Entry]:
    """What the reader of a study would refuse, and a change in the workbook can bring about."""
    for column in draft.comparison.built.model.columns.values():
        if column.live:
            yield in_range(draft, column)
    yield from fits_of_blocks(draft)
    yield from fits_of_supplies(draft)
    for ground in draft.comparison.built.grounds:
        yield from fits_of(draft, ground)


def fit(group: str, wrong: str, what: str) -> Entry:
    """Something that must fit."""
    return Entry(group, "", f"{what}.", "", REFUSED, wrong)


def in_range(draft: Draft, column: Column) -> Entry:
    """Every cell of a live column holds a number that a study may hold there."""
    last, spec = len(column.table.rows) - 1, column.cell
    span = draft.layout.absolute(column, 0, last)
    tests = [] if spec is None or spec.least is None else [f"MIN({span})<{constant(spec.least)}"]
    tests += [] if spec is None or spec.most is None else [f"MAX({span})>{constant(spec.most)}"]
    tests += [f"SUMPRODUCT(({span}<>INT({span}))*1)>0"] if spec is not None and spec.kind == "whole" else []
    beyond = f"OR({','.join(tests)})" if tests else "0"
    what = (
        f"{column.label} ({column.table.label}) is empty or filled where it was not, no number, or out of its range"
    )
    stated = last + 1 - sum(column.blank)
    return fit(column.table.scenario or SHARED, f"IF(COUNT({span})<>{stated},1,{beyond})", what)


def fits_of_blocks(draft: Draft) -> Iterator[Entry]:
    """The blocks of each charge begin at 0 and rise."""
    model = draft.comparison.built.model
    for table in [table for name, table in model.tables.items() if name.startswith("charges ")]:
        if f"{table.name}.goes_on" not in model.columns:
            continue
        above, goes_on = model[f"{table.name}.above"], model[f"{table.name}.goes_on"].values
        assert goes_on is not None
        tests = []
        for row, flag in enumerate(goes_on):
            cell = draft.layout.absolute(above, row)
            tests.append(f"{cell}<={draft.layout.absolute(above, row - 1)}" if flag else f"{cell}<>0")
        for first in range(0, len(tests), 50):
            wrong = f"OR({','.join(tests[first : first + 50])})"
            yield fit(SHARED, wrong, f"blocks of {table.label.removeprefix('Tariff: ')} do not rise from 0")


def fits_of_supplies(draft: Draft) -> Iterator[Entry]:
    """The load of supplies is one of which their efficiency curve knows."""
    for ground in draft.comparison.built.grounds:
        if not ground.has("supplies", "load_idle"):
            continue
        name = ground.scenario.scenario
        for row, node in enumerate(ground.own("supplies", "key").table.rows):
            curve = ground.study.efficiency[supply_curve(ground.scenario, node)]
            idle, busy = (draft.layout.absolute(ground.own("supplies", f"load_{s}"), row) for s in ("idle", "busy"))
            wrong = f"OR({idle}<{curve[0].load!r},{busy}>{curve[-1].load!r})"
            yield fit(name, wrong, f"the load of the supplies of {node} ({name}) is beyond their efficiency curve")


def fits_of(draft: Draft, ground: Ground) -> Iterator[Entry]:
    """What must fit in one scenario."""
    name, last = ground.scenario.scenario, len(ground.scenario.parts) - 1
    if ground.scenario.parts and not ground.scenario.tariff:
        power = draft.layout.absolute(ground.month("power"), 0, ground.horizon)
        yield fit(name, f"SUM({power})>0", f"power is drawn, but {name} has no tariff")
    if ground.scenario.parts:
        busy, idle = (draft.layout.absolute(ground.part(word), 0, last) for word in ("busy", "idle"))
        yield fit(name, f"SUMPRODUCT(({busy}<{idle})*1)>0", f"a part of {name} draws less when busy than when idle")
    if ground.has("parts", "noise_busy"):
        busy, idle = (draft.layout.absolute(ground.part(f"noise_{word}"), 0, last) for word in ("busy", "idle"))
        yield fit(name, f"SUMPRODUCT(({busy}<{idle})*1)>0", f"a part of {name} is less loud when busy than when idle")
    for part in ground.scenario.parts:
        if part.resale and not is_new(part):
            share, key = draft.comparison.built.model["ages.share"], resale_key(ground.study, part.resale, part.age)
            bought = draft.layout.absolute(share, int(key))
            what = f"by its resale curve {part.part} is worth nothing when bought ({name})"
            yield fit(name, f"{bought}<=0", what)
    for row, part in enumerate(ground.scenario.parts):
        if not part.quantity and (part.pool or part.provides or part.needs):
            what = f"what {part.part} of {name} delivers and takes is left out: its quantity was 0"
            yield fit(name, f"{draft.layout.absolute(ground.part('quantity'), row)}>0", what)
    for row, node in enumerate(ground.scenario.nodes):
        yield from fits_of_node(draft, ground, row, node)
    if ground.scenario.parts:
        yield from fits_of_owned(draft, ground)


def fits_of_owned(draft: Draft, ground: Ground) -> Iterator[Entry]:
    """What is owned already is not bought, and counts only if some was when tco ran."""
    name, last, parts = ground.scenario.scenario, len(ground.scenario.parts) - 1, ground.scenario.parts
    words = ("fetches_today", "price", "bought")
    fetches, price, bought = (draft.layout.absolute(ground.part(word), 0, last) for word in words)
    wrong = f"SUMPRODUCT(({fetches}>0)*(({price}>0)+({bought}>0)))>0"
    yield fit(name, wrong, f"a part of {name} is owned already (fetches today) and bought as well")
    if ground.study.settings.owned_gear == "cost" and not any(part.fetches_today for part in parts):
        yield fit(name, f"MAX({fetches})>0", f"owned gear was added to {name}")
    for row in sorted({slot.replaced_by for slot in ground.slots if slot.part.failures and slot.part.quantity}):
        what = f"{parts[row].part} of {name} has no price, and what fails would be replaced for nothing"
        yield fit(name, f"{draft.layout.absolute(ground.part('price'), row)}=0", what)


def fits_of_node(draft: Draft, ground: Ground, row: int, node: Node) -> Iterator[Entry]:
    """A measured node's parts are shared evenly by its nodes, and it is there or not as it was."""
    name, layout = ground.scenario.scenario, draft.layout
    measured = node in measured_nodes(ground.scenario)
    if node.measured_idle is not None:
        idle, busy = (layout.absolute(ground.own("nodes", word), row) for word in ("measured_idle", "measured_busy"))
        yield fit(name, f"{busy}<{idle}", f"node {node.node} of {name} draws less when busy than when idle")
    count, quantity = layout.absolute(ground.own("nodes", "count"), row), ground.part("quantity")
    first = min((part.bought for part in members(ground.scenario, node.node)), default=ground.horizon)
    there = []
    for number, part in enumerate(ground.scenario.parts):
        if part.node == node.node:
            own = layout.absolute(quantity, number)
            what = f"quantity of {part.part} does not fit its nodes ({name})"
            comes = f"{own}>0" if measured and not part.quantity and part.bought < first else "0"
            odd = "0" if part.quantity % node.count else f"MOD({own},{count})<>0"  # some were exchanged by now
            yield fit(name, f"IF({count}<1,1,OR({comes},{odd}))", what)
            there += [own] if part.quantity and part.bought == first else []
    if there and measured:
        what = f"the parts that the measurement of {node.node} covers are gone ({name})"
        yield fit(name, f"{'+'.join(there)}=0", what)
