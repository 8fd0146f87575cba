"""Levels that add up, what a circuit may carry, and heat, as texts on acoustics and codes print them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from typing import Any

import tco
from tests.published.record import Check, Source, Subject
from tests.published.written import compared, table


@dataclass(frozen=True)
class Thing:
    """Equal things of a parts list. idle, busy: W; quiet, loud: dB(A) when idle and busy, as a cell holds them.

    level: what the levels are, `power`, or `pressure` at a distance of so many m.
    """

    quiet: float | None = None
    loud: float | None = None
    level: str = "pressure"
    distance: float = 1.0
    quantity: int = 1
    idle: float = 1.0
    busy: float = 0.0
    node: str = ""
    bought: int = 0
    leaves: int | None = None

    def row(self, name: str) -> str:
        """Its line in the parts list."""
        at = self.distance if self.quiet is not None and self.level == "pressure" else None
        cells = (
            *(name, self.node, self.quantity, self.bought, "" if self.leaves is None else self.leaves),
            *(said(self.idle, "W"), said(max(self.idle, self.busy), "W")),
            *(said(self.quiet, "dB(A)"), said(self.loud, "dB(A)")),
            *("" if self.quiet is None else self.level, said(at, "m")),
        )
        return ",".join(map(str, cells))


@dataclass(frozen=True)
class Place:
    """A row of sites.csv: m, dB(A), V, A."""

    bed: float | None = 1.0
    wall: float | None = None
    standing: str = ""
    voltage: float | None = None
    breaker: float | None = None
    plug: float | None = None
    rule: str = "rating"
    continuous: float | None = None
    short: float | None = None
    circuits: int = 1

    def row(self) -> str:
        """Its line in the table."""
        cells = (
            *("here", said(self.bed, "m"), said(self.wall, "dB(A)"), self.standing, said(self.voltage, "V")),
            *(said(self.breaker, "A"), said(self.plug, "A"), self.rule if self.breaker else ""),
            *(said(self.continuous, "A"), said(self.short, "A"), self.circuits),
        )
        return ",".join(map(str, cells))


def said(value: float | None, unit: str) -> str:
    """A number as a cell holds it; empty where it is not stated."""
    return "" if value is None else f"{value:.12f} {unit}"


@dataclass(frozen=True)
class Build:
    """One scenario. nodes: group -> its nodes, and what one draws when idle and busy, in W, where it was measured."""

    things: tuple[Thing, ...]
    place: Place | None = Place()
    power_factor: float | None = None
    nodes: tuple[tuple[str, int, float | None, float | None], ...] = ()
    busy_share: float = 1.0
    months: int = 1


PARTS = "part,node,quantity,bought,leaves,idle,busy,noise idle,noise busy,noise as,noise distance,price"
SITES = "site,bed distance,wall,standing,voltage,breaker,plug,rule,others continuous,others short,circuits"
SETTINGS = ("question,Which?", "currency,EUR", "start,2027-01", "time zone,UTC", "discount,0")


def tables(build: Build) -> dict[str, str]:
    """A build as the tables of a study; without things it pays a fee of nothing."""
    factor = "" if build.power_factor is None else build.power_factor
    about = ("box.csv" if build.things else "", "grid", f"{100 * build.busy_share:.12f} %", factor)
    rows = ",".join(map(str, ("it", *about, "here" if build.place else "")))
    found = {
        "study": table("setting,value", [*SETTINGS, f"horizon,{build.months} months"]),
        "scenarios": table("scenario,parts list,tariff,busy share,power factor,site", [rows]),
        "tariffs": table("tariff,start,price", ["grid,2027-01,0.30 EUR/kWh"]),
    }
    if build.things:
        found["box"] = table(PARTS, [f"{one.row(f'thing {n}')},1 EUR" for n, one in enumerate(build.things)])
    else:
        found["fees"] = table("scenario,fee,amount [EUR/month]", ["it,rent,1"])
    if build.place:
        found["sites"] = table(SITES, [build.place.row()])
    if build.nodes:
        rows_of = [f"it,{n},{count},{said(idle, 'W')},{said(busy, 'W')}" for n, count, idle, busy in build.nodes]
        found["nodes"] = table("scenario,node,count,measured idle,measured busy", rows_of)
    return found


@cache
def measures(build: Build) -> dict[str, float | str]:
    """Measure -> value or words, by the public path."""
    frame = tco.measures(compared(tables(build)))
    return dict(zip(frame.measure, frame.value, strict=True))


def amount(build: Build, measure: str) -> float:
    """A measure that is a number."""
    value = measures(build)[measure]
    assert not isinstance(value, str), f"{measure} is {value!r}"
    return float(value)


def heard(*levels: float, quantity: int = 1) -> float:
    """What some things of given levels, each so often, make together where the levels were measured."""
    return amount(Build(tuple(Thing(level, quantity=quantity) for level in levels)), "noise_idle")


LEVELS = Source(
    "acoustics texts",
    "printed examples, the table of differences and that of n equal sources, of texts on adding sound levels",
    "seen",
    "each example was read, and recomputed; which page printed which was not kept",
)
EQUAL = {2: "3", 3: "4.8", 4: "6", 5: "7", 10: "10", 15: "11.8", 20: "13"}
DIFFERENCES = ("3.0", "2.5", "2.1", "1.8", "1.5", "1.2", "1.0", "0.8", "0.6", "0.5", "0.4")
PAIRS = (
    (62, 73, "73.3"),
    (80, 85, "86.2"),
    (80, 80, "83"),
    (65, 65, "68"),
    (90, 96, "97"),
    (75, 80, "81.2"),
)

SOUND = Subject(
    "Sound levels",
    "Levels of sources that do not keep in step add up as power does: parts lists with levels measured 1 m away, and "
    "a bed 1 m away.",
    (
        *(
            Check(f"{one} and {other} dB together", text, LEVELS, partial(heard, float(one), float(other)))
            for one, other, text in PAIRS
        ),
        *(
            Check(f"{apart} dB apart: more than the louder one (dB)", text, LEVELS, lambda apart=apart: (  # type: ignore[misc]
                heard(60.0, 60.0 - apart) - 60.0
            ))
            for apart, text in enumerate(DIFFERENCES)
        ),
        *(
            Check(f"{count} equal sources: more than one (dB)", text, LEVELS, lambda count=count: (  # type: ignore[misc]
                heard(60.0, quantity=count) - 60.0
            ))
            for count, text in EQUAL.items()
        ),
    ),
)  # fmt: skip

NEC = Source(
    "NEC 210.20(A)",
    "NFPA 70, National Electrical Code, 210.20(A): the rating shall not be less than the noncontinuous load plus 125 "
    "percent of the continuous load",
    "computed",
    "the rule was read in a maker's guide; amperes = rating / 1.25",
)
IEC = Source(
    "IEC 60364-4-43",
    "IEC 60364-4-43:2008, 433.1: design current at most the rating of the protective device",
    "computed",
    "the clause was read in part; watts = rating x voltage",
)
NIST_811 = Source(
    "NIST SP 811",
    "NIST Special Publication 811, Guide for the Use of the SI, Appendix B: Btu (International Table)",
    "seen",
    "in an extract",
)
BTU = Source("Btu", "1 Btu (International Table) = 1055.05585262 J", "computed", "3,600 s / 1055.05585262")
AMERICAN = "continuous 125 %"


def carried(what: str, place: Place, load: str = "circuit_load") -> Callable[[], float]:
    """How much of a measure uses a rating up, from a build that uses a part of it."""
    some = Build((Thing(idle=500.0),), place, power_factor=1.0)
    return lambda: amount(some, what) / amount(some, load)


def allowed(printed: str, source: Source, what: str, **about: Any) -> Check:
    """The amperes or watts that a breaker, or a plug, may carry day and night."""
    unit, load = {"amperes": "A", "power_busy": "W"}[what], "plug_load" if "plug" in about else "circuit_load"
    rating = next(about[word] for word in ("plug", "breaker") if word in about)
    name = f"{load.split('_')[0].replace('circuit', 'breaker')} of {rating:g} A at {about['voltage']:g} V ({unit})"
    return Check(name, printed, source, carried(what, Place(**about), load))


def heat(watts: float) -> float:
    """BTU/h of so many W."""
    return amount(Build((Thing(idle=watts),)), "heat")


CIRCUITS = Subject(
    "Circuits and heat",
    "What may be drawn day and night by each rule: the amperes or watts of a build over its load of the circuit. A "
    "power as heat in BTU/h.",
    (
        allowed("12", NEC, "amperes", voltage=120.0, breaker=15.0, rule=AMERICAN),
        allowed("1,440", NEC, "power_busy", voltage=120.0, breaker=15.0, rule=AMERICAN),
        allowed("16", NEC, "amperes", voltage=120.0, breaker=20.0, rule=AMERICAN),
        allowed("1,920", NEC, "power_busy", voltage=120.0, breaker=20.0, rule=AMERICAN),
        allowed("3,680", IEC, "power_busy", voltage=230.0, breaker=16.0),
        allowed("2,990", IEC, "power_busy", voltage=230.0, plug=13.0),
        Check("1 Btu/h in W", "0.2930711", NIST_811, lambda: 1.0 / heat(1.0)),
        Check("1 Btu in J", "1,055.056", NIST_811, lambda: 3600.0 / heat(1.0)),
        Check("1 W in Btu/h", "3.412142", BTU, partial(heat, 1.0)),
    ),
)
SUBJECTS = (SOUND, CIRCUITS)
