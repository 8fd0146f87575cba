"""ranges.csv: how far inputs may lie from what the study says."""

from __future__ import annotations

from dataclasses import dataclass

from tco.cell import cell
from tco.settings import Row

ELECTRICITY = "electricity price"  # a factor on all amounts of all tariffs
FAILURES = "failure rate"  # a factor on all failure curves; `failure rate of CURVE` on one
RESALE = "resale"  # a factor on what all sales fetch
YEARS = "years"  # how long it is kept; it may be varied, but is no chance
FACTORS = (ELECTRICITY, FAILURES, RESALE)


@dataclass(frozen=True, kw_only=True)
class Range(Row):
    """ranges.csv: how far inputs may lie from what the study says; that is the likeliest, low and high the ends.

    input: once read, as the study spells it. least, greatest: low and high as numbers, in the input's unit, or as a
    factor on what the study says. is_factor: whether they are factors; always for FACTORS, never for shares.
    """

    input: str = cell(
        "text",
        "what may vary: `electricity price`, `failure rate`, `failure rate of` a curve or `resale` as a whole, or "
        "one input by its column and row, as `tco vary` lists them; counts and months are choices, not chances",
        "price of hard drive 8 TB, new",
    )
    scenario: str = cell(
        "name",
        "the scenario in which it may; empty: all that have it, alike; what all scenarios share takes none",
        "minis",
        default="",
    )
    low: str = cell(
        "text",
        "the lowest it may be, as in its column (in the kind of money in which the study says it), or in % of what "
        "the study says; shares and growths only as themselves, electricity price, failure rates and resale as a "
        "whole only in %; at most what the study says",
        "80 %",
    )
    high: str = cell("text", "the highest it may be, likewise; at least what the study says", "150 %")
    least: float = 1.0
    greatest: float = 1.0
    is_factor: bool = False


def failure_rate_of(curve: str) -> str:
    """How the factor on one failure curve is called."""
    return f"{FAILURES} of {curve}"
