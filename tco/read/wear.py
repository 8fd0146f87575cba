"""What makes parts be replaced beside failing: warranty, endurance, calendar life; spares on the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from math import isnan

from tco.addresses import label
from tco.read.curves import place
from tco.read.found import Found, of
from tco.read.problems import Problems, shown, suggestion
from tco.read.tables import Table
from tco.study import Part, Pool, Scenario, Settings

CONFIDENCE, LEAD_TIME = "spares_confidence", "spares_lead_time"  # settings that the cost line of spares declares


def check_wear(table: Table[Part], problems: Problems) -> None:
    """One parts list, whichever scenarios use it."""
    by_name = {part.part: part for part in table.rows}
    for part in table.rows:
        _check_life(part, problems)
        _check_claim(part, problems, whole=table.whole)
        _check_before(part, problems, whole=table.whole)
        _check_written(part, by_name, problems, whole=table.whole)
        if part.takes_first and "pool" in part.places:
            where = place(part, "pool")
            message = f"takes first: 'pool' stands in {where} already; what takes writes first holds none of the data"
            problems.add(place(part, "takes_first"), message)


def _check_life(part: Part, problems: Problems) -> None:
    """A part is not worn when it comes."""
    if part.life is not None and part.life <= part.age:
        message = f"life: {part.life} months are over at its age when bought, {part.age} months"
        problems.add(place(part, "life"), message)


def _check_claim(part: Part, problems: Problems, *, whole: bool) -> None:
    """Claims cost something only where there is a warranty."""
    if (part.claim or 0.0) > 0 and whole and not part.warranty:
        message = "claim: needs 'warranty' beside it, such as '3 years', or leave it empty"
        problems.add(place(part, "claim"), message)


def _check_before(part: Part, problems: Problems, *, whole: bool) -> None:
    """What was written before is below what may be written at all."""
    if part.endurance is None:
        if part.written_before > 0 and whole:
            message = "written before: needs 'endurance' beside it, such as '600 TB', or leave it empty"
            problems.add(place(part, "written_before"), message)
    elif part.written_before >= part.endurance:
        message = (
            f"written before: {part.written_before:g} TB; its endurance of {part.endurance:g} TB "
            f"({place(part, 'endurance')}) is reached by then"
        )
        problems.add(place(part, "written_before"), message)


def _check_written(part: Part, by_name: Mapping[str, Part], problems: Problems, *, whole: bool) -> None:
    """What is written to a part is said once, and wears it or what takes its place."""
    if part.written is None:
        return
    new = by_name.get(part.replaced_by, part)
    if part.takes_first:
        where = place(part, "takes_first")
        message = f"written: {where} says that it takes a pool's writes first, which is how much; keep one of them"
        problems.add(place(part, "written"), message)
    elif part.endurance is None and new.endurance is None and whole:
        message = "written: changes nothing without 'endurance'; state that, such as '600 TB', or leave it empty"
        problems.add(place(part, "written"), message)


def check_first(found: Found, scenario: Scenario, strays: set[str], problems: Problems) -> None:
    """What takes writes first does so for a pool of the scenario. strays: pools of scenarios that do not exist."""
    names = {pool.pool for pool in of(found.pools, scenario)}
    for part in found.parts_of(scenario).rows:
        if part.takes_first and part.takes_first not in names | strays and found.pools.whole:
            what = f"{shown(scenario.scenario)} has no pool {shown(part.takes_first)} in {found.pools.file}"
            problems.add(place(part, "takes_first"), f"takes first: {what}{suggestion(part.takes_first, names)}")


def is_worn(found: Found, table: Table[Part], part: Part) -> bool:
    """Whether one of a part may be worn: by its calendar life, or by what is written to it in some scenario."""
    if part.life is not None:
        return True
    if part.endurance is None or part.written is not None:
        return part.endurance is not None and (part.written or 0.0) > 0
    return any(
        (pool.written or 0.0) > 0
        for scenario in found.scenarios.rows
        if found.parts_of(scenario) is table
        for pool in _pools(found, scenario, part)
    )


def _pools(found: Found, scenario: Scenario, part: Part) -> list[Pool]:
    """The pool whose writes reach a part."""
    return [pool for pool in of(found.pools, scenario) if pool.pool in {part.pool, part.takes_first} - {""}]


def check_spares(settings: Settings, problems: Problems) -> None:
    """How sure and for how long: both or neither; no number of spares is certain to be enough."""
    confidence, lead_time = (settings.extra.get(name) for name in (CONFIDENCE, LEAD_TIME))
    for name, other in ((CONFIDENCE, LEAD_TIME), (LEAD_TIME, CONFIDENCE)):
        if settings.extra.get(name) is not None and settings.extra.get(other) is None:
            example = {LEAD_TIME: "10 d", CONFIDENCE: "95 %"}[other]
            message = f"{label(name)}: needs '{label(other)}' as well, such as '{example}'"
            problems.add(place(settings, name), message)
    if confidence is not None and not isnan(confidence) and not 0.0 < confidence < 1.0:
        why = "no number of spares is certain to be enough" if confidence >= 1.0 else "that needs no spares"
        message = f"{label(CONFIDENCE)}: {100 * confidence:g} %: {why}; write such as '95 %'"
        problems.add(place(settings, CONFIDENCE), message)
    if lead_time is not None and lead_time <= 0:
        message = f"{label(LEAD_TIME)}: {lead_time:g} h; write how long a new one takes to come, such as '10 d'"
        problems.add(place(settings, LEAD_TIME), message)
