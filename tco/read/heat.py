"""Sites whose waste heat is counted: what it replaces or costs is stated in full, or not at all."""

from __future__ import annotations

from tco.addresses import label
from tco.read.curves import place
from tco.read.problems import Problems
from tco.read.tables import Table
from tco.study import Site

HEATED = {
    "heating": "the months in which the site is heated, such as '10-4'",
    "heat_price": "what a kWh of what heats it costs",
    "heat_efficiency": "the kWh of heat that one of it gives, such as '0.92'",
}


def check_heat(sites: Table[Site], problems: Problems) -> None:
    """Every site, if all columns are known."""
    for site in sites.rows if sites.whole else ():
        _check_heating(site, problems)
        _check_cooling(site, problems)


def _check_heating(site: Site, problems: Problems) -> None:
    """Heat that is used, with all that its worth depends on; nothing of that alone."""
    for name, what in HEATED.items():
        if "heat_used" in site.places and name not in site.places:
            problems.add(place(site, "heat_used"), f"heat used: needs '{label(name)}' beside it, {what}")
        if name in site.places and "heat_used" not in site.places:
            message = (
                f"{label(name)}: has no effect without 'heat used', the share of each kWh that replaces bought heat"
            )
            problems.add(place(site, name), message)


def _check_cooling(site: Site, problems: Problems) -> None:
    """Months and COP of a cooling machine, in months that are not heated."""
    if "cooling" in site.places and "cooling_COP" not in site.places:
        message = "cooling: needs 'cooling COP' beside it, kWh of heat taken out for each kWh drawn, such as '3.2'"
        problems.add(place(site, "cooling"), message)
    if "cooling_COP" in site.places and "cooling" not in site.places:
        message = "cooling COP: has no effect without 'cooling', the months in which the site is cooled"
        problems.add(place(site, "cooling_COP"), message)
    if both := set(site.heating) & set(site.cooling):
        message = f"cooling: month {min(both)} is a heating month as well; heat is of use, or it is taken out"
        problems.add(place(site, "cooling"), message)
