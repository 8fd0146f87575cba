"""Results that function documentation prints: by a library of such functions, and by a workbook's own functions.

Where a yearly study can say a call, it stands among the studies as well (returns.py). The others hold the library and
the spreadsheet program, which the tool's own figures are compared with, to somebody else's printed numbers.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial

import numpy_financial as npf
from scipy.optimize import brentq

from tests.published.record import Check, Source, Subject
from tests.published.sources import EXCEL, FORMCALC, IMSL, MATHWORKS, NUMPY_FINANCIAL, OPENFORMULA


@dataclass(frozen=True)
class Call:
    """One documented call: its printed result, worked out by a library, and the formula of a cell that says it."""

    check: Check
    formula: str


def listed(values: tuple[float, ...]) -> str:
    """Numbers as an array in a formula."""
    return "{" + ",".join(f"{value:.17g}" for value in values) + "}"


def worth(
    source: Source, printed: str, rate: float, flows: tuple[float, ...], start: float = 0.0, **about: str
) -> Call:
    """A spreadsheet's NPV: the first flow is a period away. A library's has the first flow now."""
    name = about.get("name", f"NPV({rate:g}; {'; '.join(f'{flow:g}' for flow in flows)})")
    ours = partial(lambda: float(npf.npv(rate, [start, *flows])))
    more, why = (1e-12 * float(printed.replace(",", "")), DOUBLE) if len(printed) > 12 else (0.0, "")
    rest = f"{start:+.17g}" if start else ""
    return Call(Check(name, printed, source, ours, more, why), f"=NPV({rate!r},{listed(flows)}){rest}")


DOUBLE = "double precision"


def inner(source: Source, printed: str, *flows: float, guess: float = 0.05) -> Call:
    """An internal rate of return; the guess is for the spreadsheet."""
    name = f"IRR({'; '.join(f'{flow:g}' for flow in flows)})"
    return Call(Check(name, printed, source, lambda: float(npf.irr(flows))), f"=IRR({listed(flows)},{guess!r})")


def modified(printed: str, finance: float, reinvest: float, *flows: float) -> Call:
    """A modified internal rate of return."""
    name = f"MIRR({'; '.join(f'{flow:g}' for flow in flows)}; {finance:g}; {reinvest:g})"
    check = Check(name, printed, EXCEL, lambda: float(npf.mirr(flows, finance, reinvest)))
    return Call(check, f"=MIRR({listed(flows)},{finance!r},{reinvest!r})")


def annuity(printed: str, source: Source, function: str, *given: float) -> Call:
    """A function of annuities, its arguments in the order of spreadsheets; the library's order is the same."""
    args = "; ".join(f"{value:g}" for value in given)
    cell = f"={function.upper()}({','.join(repr(value) for value in given)})"
    return Call(
        Check(f"{function.upper()}({args})", printed, source, lambda: float(ANNUITIES[function](*given))), cell
    )


ANNUITIES: dict[str, Callable[..., float]] = {
    "pmt": npf.pmt,
    "fv": npf.fv,
    "pv": npf.pv,
    "nper": npf.nper,
    "rate": lambda periods, payment, present: npf.rate(periods, payment, present, 0.0),
    "sln": lambda cost, salvage, life: (cost - salvage) / life,
    "syd": lambda cost, salvage, life, year: (cost - salvage) * (life - year + 1) / (life * (life + 1) / 2),
    "ddb": lambda cost, _salvage, life, year: cost * (1 - 2 / life) ** (year - 1) * 2 / life,  # above salvage here
}


def dated_worth(rate: float, flows: dict[date, float]) -> float:
    """Present value of flows on days, a year of 365 days."""
    start = min(flows)
    return float(sum(flow * (1 + rate) ** (-(day - start).days / 365) for day, flow in flows.items()))


def dated_rate(flows: dict[date, float]) -> float:
    """The rate at which flows on days are worth nothing."""
    return float(brentq(lambda rate: dated_worth(rate, flows), -0.9, 10.0, xtol=1e-14))


def serial(day: date) -> float:
    """A day as spreadsheets number them."""
    return float((day - date(1899, 12, 30)).days)


EXCEL_DAYS = {
    date(2008, 1, 1): -10000.0,
    date(2008, 3, 1): 2750.0,
    date(2008, 10, 30): 4250.0,
    date(2009, 2, 15): 3250.0,
    date(2009, 4, 1): 2750.0,
}
MATHWORKS_DAYS = {
    date(2007, 1, 12): -10000.0,
    date(2008, 2, 14): 2500.0,
    date(2008, 3, 3): 2000.0,
    date(2008, 6, 14): 3000.0,
    date(2008, 12, 1): 4000.0,
}


def dated(
    printed: str, source: Source, days: dict[date, float], rate: float | None = None, more: float = 0.0
) -> Call:
    """A function of flows on days: their worth at a rate, or the rate."""
    columns = f"{listed(tuple(days.values()))},{listed(tuple(serial(day) for day in days))}"
    solver = "their solver's tolerance" if more else ""
    if rate is None:
        check = Check(f"XIRR of {len(days)} flows", printed, source, lambda: dated_rate(days), more, solver)
        return Call(check, f"=XIRR({columns})")
    check = Check(f"XNPV({rate:g}) of {len(days)} flows", printed, source, lambda: dated_worth(rate, days))
    return Call(check, f"=XNPV({rate!r},{columns})")


SIX = (8000.0, 9200.0, 10000.0, 12000.0, 14500.0)
EIGHT = (-70000.0, 12000.0, 15000.0, 18000.0, 21000.0)
MIRR = (-120000.0, 39000.0, 30000.0, 21000.0, 37000.0, 46000.0)

CALLS = (
    worth(EXCEL, "1,188.44", 0.10, (-10000.0, 3000.0, 4200.0, 6800.0)),
    worth(EXCEL, "1,922.06", 0.08, SIX, -40000.0, name="NPV(0.08; 8000; 9200; ...) - 40000"),
    worth(EXCEL, "-3,749.47", 0.08, (*SIX, -9000.0), -40000.0, name="the same with -9000 in year 6"),
    inner(EXCEL, "-2.1 %", *EIGHT),
    inner(EXCEL, "8.7 %", *EIGHT, 26000.0),
    inner(EXCEL, "-44.4 %", *EIGHT[:3], guess=-0.1),
    modified("12.609 %", 0.10, 0.12, *MIRR),
    modified("0.126094", 0.10, 0.12, *MIRR),
    modified("-4.8 %", 0.10, 0.12, *MIRR[:4]),
    modified("13.5 %", 0.10, 0.14, *MIRR),
    dated("2,086.647602", EXCEL, EXCEL_DAYS, 0.09),
    dated("0.373362535", EXCEL, EXCEL_DAYS, more=1.5e-9),
    annuity("-1,037.03", EXCEL, "pmt", 0.08 / 12, 10.0, 10000.0),
    worth(OPENFORMULA, "4.125", 1.0, (4.0, 5.0, 7.0)),
    worth(OPENFORMULA, "256.198347107438", 0.10, (100.0, 200.0)),
    annuity("-112.82541", OPENFORMULA, "pmt", 0.05, 12.0, 1000.0),
    annuity("-119.10795", OPENFORMULA, "pmt", 0.05, 12.0, 1000.0, 100.0),
    annuity("-113.43614", OPENFORMULA, "pmt", 0.05, 12.0, 1000.0, 100.0, 1.0),
    annuity("1824.59", OPENFORMULA, "fv", 0.10, 12.0, -100.0, 100.0),
    annuity("649.51", OPENFORMULA, "pv", 0.10, 12.0, -100.0, 100.0),
    annuity("14.2067", OPENFORMULA, "nper", 0.05, -100.0, 1000.0),
    annuity("9.483283066", OPENFORMULA, "nper", -0.01, -100.0, 1000.0),
    annuity("0.0292285", OPENFORMULA, "rate", 12.0, -100.0, 1000.0),
    annuity("875", OPENFORMULA, "sln", 4000.0, 500.0, 4.0),
    annuity("1050", OPENFORMULA, "syd", 4000.0, 500.0, 4.0, 2.0),
    annuity("1000", OPENFORMULA, "ddb", 4000.0, 500.0, 4.0, 2.0),
    worth(NUMPY_FINANCIAL, "3065.22267", 0.08, (5000.0, 8000.0, 12000.0, 30000.0), -40000.0),
    inner(NUMPY_FINANCIAL, "0.28095", -100.0, 39.0, 59.0, 55.0, 20.0),
    inner(NUMPY_FINANCIAL, "-0.0955", -100.0, 0.0, 0.0, 74.0),
    inner(NUMPY_FINANCIAL, "-0.0833", -100.0, 100.0, 0.0, -7.0),
    inner(NUMPY_FINANCIAL, "0.06206", -100.0, 100.0, 0.0, 7.0),
    inner(NUMPY_FINANCIAL, "0.0886", -5.0, 10.5, 1.0, -8.0, 1.0),
    inner(MATHWORKS, "0.1201", -100000.0, 10000.0, 20000.0, 30000.0, 40000.0, 50000.0),
    inner(MATHWORKS, "11.72 %", -20000.0, 2000.0, 2500.0, 3500.0, -5000.0, 6500.0, 9500.0, 9500.0, 9500.0),
    dated("0.1006", MATHWORKS, MATHWORKS_DAYS),
    inner(IMSL, "0.0720783", -4500.0, -800.0, 800.0, 800.0, 600.0, 600.0, 800.0, 800.0, 700.0, 3000.0),
    worth(FORMCALC, "11529.60863329007", 0.10, (500.0, 1500.0, 4000.0, 10000.0)),
    worth(FORMCALC, "4694.83568075117", 0.065, (5000.0,)),
    worth(FORMCALC, "273.14193838457", 0.0275 / 12, (50.0, 60.0, 40.0, 100.0, 25.0)),
)

FUNCTIONS = Subject(
    "Function documentation",
    "The library that the tool's own present values are compared with, and plain arithmetic where it lacks a "
    "function, give what the documentation of such functions prints; the tests compare a recalculated workbook's own "
    "functions with the same numbers.",
    tuple(call.check for call in CALLS),
)
SUBJECTS = (FUNCTIONS,)
