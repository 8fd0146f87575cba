"""Every outside check, by subject. The studies behind them: written.py; what a check is: record.py."""

from __future__ import annotations

from tests.published import (
    bills,
    budgets,
    capacity,
    discounting,
    failing,
    fleets,
    functions,
    group_replacement,
    level_amounts,
    life_cycle_costs,
    paybacks,
    returns,
    sound_and_circuits,
    spares,
    warranties,
    wear,
)
from tests.published.record import Check

SUBJECTS = (
    *life_cycle_costs.SUBJECTS,
    *discounting.SUBJECTS,
    *level_amounts.SUBJECTS,
    *returns.SUBJECTS,
    *paybacks.SUBJECTS,
    *budgets.SUBJECTS,
    *group_replacement.SUBJECTS,
    *failing.SUBJECTS,
    *fleets.SUBJECTS,
    *warranties.SUBJECTS,
    *spares.SUBJECTS,
    *wear.SUBJECTS,
    *capacity.SUBJECTS,
    *sound_and_circuits.SUBJECTS,
    *bills.SUBJECTS,
    *functions.SUBJECTS,
)
CHECKS: dict[str, Check] = {
    f"{subject.title}: {number} {check.name}": check
    for subject in SUBJECTS
    for number, check in enumerate(subject.checks, start=1)
}
