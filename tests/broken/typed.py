"""What a person may type after the tool's name, sound and odd, by a seed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

COUNTS = ["1", "2", "5", "0", "-1", "-99", "x", "1.5", "1e3", "", "99999999999999999999", "５"]
MONTHS = ["2027-03", "2028-01", "2026-11", "2099-12", "2028-13", "0000-00", "2028", "March", "", "2027-01-15"]
DAYS = ["2026-11-20", "2027-03-01", "2028-06-30", "2099-01-01", "1066-10-14", "2026-02-30", "today", "", "46357"]
AMOUNTS = [
    "5 EUR", "400 EUR", "0 EUR", "-5 EUR", "1e14 EUR", "1e999 EUR", "5", "5 USD", "5 JPY",
    "5 kg", "nan", "inf", "", "x", "1,234 EUR",
    "0.36 EUR/kWh", "-0.36 EUR/kWh", "36 ct/kWh", "5 EUR/TB/month", "0 EUR/TB/month", "5 EUR/kWh nominal", "=1+1",
]  # fmt: skip
INPUTS = [
    "discount", "years", "electricity price", "failure rate", "resale", "hour value", "horizon",
    "price of mini PC", "busy of mini PC",
    "price of household from 2026-01", "need: usable", "copies of main", "tax", "electricity growth",
    "", "weather", "=1+1", "家",
    "price of", "of", "count of mini", "data held", "share of fair at 36 months",
]  # fmt: skip
VALUES = [
    "0 %",
    "50 %",
    "150 %",
    "1 EUR",
    "500 EUR",
    "-1 EUR",
    "3 %",
    "-3 %",
    "1 year",
    "4 years",
    "60 months",
    "1e9 %",
    "",
    "x",
    "nan",
]
SCENARIOS = [
    "minis",
    "servers",
    "rented",
    "boxes",
    "three boxes",
    "two towers",
    "MINIS",
    "nobody",
    "",
    "=1+1",
    "a b",
    "家",
]
SHARES = ["20 %", "0 %", "100 %", "-20 %", "99.9 %", "1000 %", "20", "0.2", "x", "", "1e-9 %"]
SPANS = ["1..3", "2..2", "3..1", "0..2", "1..60", "1..999", "x..y", "..", "2", "1...3", ""]
GOALS = ["room", "cost", "missed needs", "speed", "noise", "watts", "power", "nothing", "", "lcc"]
LINES = ["lcc", "electricity", "purchase", "total", "nothing", "", "LCC", "equivalent_month", "fees", "resale"]
OPTIONS: Mapping[str, Mapping[str, Sequence[Sequence[str]]]] = {  # command -> option -> words behind it
    "compare": {"--against": [SCENARIOS], "--html": [], "--replace": []},
    "check": {},
    "explain": {},
    "simulate": {"--draws": [["100", "200", "150", *COUNTS]], "--seed": [COUNTS]},
    "vary": {"--by": [SHARES], "--grid": [INPUTS], "--steps": [COUNTS], "--years": [SPANS]},
    "breakeven": {
        "--input": [INPUTS], "--between": [SCENARIOS, SCENARIOS], "--low": [VALUES], "--high": [VALUES],
        "--scenario": [SCENARIOS],
    },
    "reprice": {"--price": [AMOUNTS], "--from": [MONTHS], "--name": [["household", "by blocks",
    "nobody", ""]], "--tariff": [["tariffs.csv", "no.csv", ""]]},
    "spend": {"--scenario": [SCENARIOS], "--for": [GOALS], "--budget": [AMOUNTS]},
    "grow": {"--scenario": [SCENARIOS], "--ahead": [COUNTS], "--rent": [AMOUNTS]},
    "track": {"--until": [MONTHS], "--today": [DAYS]},
    "new": {
        "--region": [["Germany", "none", "Narnia", ""]], "--currency": [["EUR", "USD", "eur",
        "XXX", ""]], "--price": [AMOUNTS],
        "--rate": [COUNTS], "--drive-price": [AMOUNTS], "--room": [["12 TB", "0.5 TB", "500 TB",
        "1e9 TB", "-1 TB", "12", "x", ""]],
        "--today": [DAYS],
        "--build": [["minis", "boards", "servers", "rented", "castles", ""]],
    },
    "columns": {},
}  # fmt: skip
SUITED: Mapping[str, Sequence[str]] = {  # command -> studies that have what it asks for
    "track": ("kept", "small study", "stored"), "grow": ("growing", "small study", "stored"),
    "spend": ("small study", "stored", "kept", "growing"),
    "reprice": ("small study", "stored", "kept", "growing"), "vary": ("small study", "small",
    "kept"), "breakeven": ("small study", "small", "kept"),
}  # fmt: skip
ALWAYS: Mapping[str, Sequence[str]] = {
    "simulate": ("--draws", "100"),
    "reprice": ("--price", "0.4 EUR/kWh", "--from", "2028-01"),
    "new": ("--no-questions",),
}


def pick(values: Sequence[str], luck: Random) -> str:
    """One of some words; four times in five one of the first three, which are sound."""
    return luck.choice(values[:3] if luck.random() < 0.8 else values)


def typed(command: str, study: Path, names: Sequence[str], luck: Random) -> list[str]:
    """All that follows the tool's name; names: the scenarios of the study."""
    words = [command, *({"new": [str(study / "new")], "columns": []}.get(command, [str(study)]))]
    if command == "explain":
        words += [
            pick([*names[:3], *SCENARIOS], luck),
            pick(LINES, luck),
            *luck.choice([(), (), ("1",), ("0",), (luck.choice(["-1", "99", "x"]),)]),
        ]
    known = OPTIONS[command]
    chosen = luck.sample(sorted(known), min(len(known), luck.choice([0, 0, 1, 1, 2, 3])))
    words += () if set(chosen) & set(ALWAYS.get(command, ())) else ALWAYS.get(command, ())
    for option in chosen:
        words += [
            option,
            *(pick([*names[:3], *values] if values is SCENARIOS else values, luck) for values in known[option]),
        ]
    words += (
        ("--format", pick(["json", "csv", "text", "xml"], luck))
        if luck.random() < 0.5
        else luck.choice([(), ("--quiet",), ("--verbose",)])
    )
    return words
