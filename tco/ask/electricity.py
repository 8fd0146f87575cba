"""What the figures of electricity rest on beyond the inputs as typed: logs, holidays listed, prices below nothing."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import fmean

from tco.electricity import counting
from tco.model.calendar import month_after, versions_of
from tco.model.tariff import Tariff, billed
from tco.study import Study


def electricity_remarks(study: Study) -> Iterator[str]:
    """Each in a sentence, for people."""
    for log in study.logs.values():
        yield from (told if told.startswith(log.file) else f"{log.file}: {told}" for told in log.told)
        yield f"{log.file}: {fmean(log.week):.4g} W is used, every hour of the week counting alike"
    yield from below_nothing(study)
    yield from holidays_end(study)
    yield from without_home(study)
    yield from one_price(study)


def below_nothing(study: Study) -> Iterator[str]:
    """Prices of a kWh that are negative: legal, and worth a look."""
    for name, versions in study.tariffs.items():
        for version in versions:
            if version.price is not None and version.price < 0:
                yield f"Tariff '{name}' from {version.start:%Y-%m}: its price is below nothing."
    for name in study.charges:
        for row in Tariff(study, name).rows:
            if row.price is not None and row.price < 0:
                yield f"Tariff '{name}' from {row.start:%Y-%m}: the price of '{row.charge}' is below nothing."


def holidays_end(study: Study) -> Iterator[str]:
    """Dated holidays that stop before the horizon does."""
    last = month_after(study.settings.start, study.settings.horizon - 1).year
    for hours in study.hours:
        dated = [one.day for one in counting(study.holidays, hours) if len(one.day) > len("12-25")]
        years = [int(day[:4]) for day in dated]
        if years and max(years) < last:
            told = f"Holidays of '{hours}' are listed to {max(years)}"
            yield f"{told}; those that change their date count as ordinary days from then to {last}."


def without_home(study: Study) -> Iterator[str]:
    """Charges without a home: its bill is that of no kWh."""
    if not study.home and (names := [f"'{name}'" for name in study.charges]):
        told = "the build's cost does not depend on it, the average price of the bill does"
        yield f"What the home uses is not stated (home.csv), for {', '.join(names)}: {told}."


def one_price(study: Study) -> Iterator[str]:
    """Tariffs that change between charges and one price: the home's fixed charges come or go with it."""
    for name, versions in study.tariffs.items():
        held = {versions[number - 1].start for number in versions_of(study.settings, versions)}
        flat = [version for version in versions if version.price is not None and version.start in held]
        if billed(study, name) and study.charges.get(name) and flat:
            months = ", ".join(f"{version.start:%Y-%m}" for version in flat)
            told = "its fixed charges are not on the home's bill then, and the average price leaves them out"
            yield f"Tariff '{name}' is one price from {months}: {told}."
