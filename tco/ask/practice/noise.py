"""Checks of noise, at the bed and beside the gear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum, log10

from tco.ask.compare import Comparison
from tco.ask.practice.cluster import WATTS, by_phase, measured, powered
from tco.ask.practice.rule import PRACTICE, PUBLISHED, NotStated, Rule, Told
from tco.ask.practice.words import counted, have, listed
from tco.model import Ground
from tco.study import Part, Site

ORDER = 70
BEDROOM = 30.0  # dB(A) LAeq over 8 h: WHO, Guidelines for Community Noise, 1999
HEARING = 85.0  # dB(A) over 8 h a day: NIOSH recommended exposure limit
HALVES = 3.0  # dB more that halve the time: NIOSH
FLOOR, FREE = 8.0, 11.0  # dB that a sound power loses to 1 m over a floor, or in all directions
LEVELS = NotStated("`noise idle` or `noise busy` of parts that draw power (parts list)")


def loud_at_bed(comparison: Comparison, ground: Ground) -> Iterator[Told]:
    """Above the guideline for bedrooms when busy."""
    level = measured(comparison, ground, "noise_busy")
    if isinstance(level, NotStated):
        yield level
    elif level is not None and level > BEDROOM:
        told = f"Busy, it is {level:.1f} dB(A) at the bed, {level - BEDROOM:.1f} dB above {BEDROOM:g} dB(A)"
        yield f"{told}, if sound spreads as in the open."


def harms_hearing(_: Comparison, ground: Ground) -> Iterator[Told]:
    """At or above the limit for hearing, 1 m from the gear."""
    if all(part.noise_idle is None for part in ground.scenario.parts if part.quantity):
        yield LEVELS
        return
    yield from by_phase(ground, lambda parts: beside(ground.scenario.stands, parts))


def beside(site: Site | None, parts: Sequence[Part]) -> Iterator[Told]:
    """The same among the parts that are there; those without a level are left out."""
    power = fsum(part.quantity * 10 ** (at_one_metre(part, site) / 10) for part in parts if stated(part))
    level = 10 * log10(power) if power > 0 else 0.0
    if level >= HEARING:
        hours = 8 / 2 ** ((level - HEARING) / HALVES)
        yield f"Busy, the gear is {level:.1f} dB(A) at 1 m: more than {hours:.1f} h a day there may harm hearing."


def stated(part: Part) -> bool:
    """Whether a part makes noise of a known level; 0 dB(A) is silence."""
    return bool(part.noise_as) and max(part.noise_idle or 0.0, part.noise_busy or 0.0) > 0


def at_one_metre(part: Part, site: Site | None) -> float:
    """The level of one part 1 m from it when busy, dB(A)."""
    level = part.noise_busy if part.noise_busy is not None else part.noise_idle or 0.0
    if part.noise_as == "pressure":
        return level + 20 * log10(part.noise_distance or 1.0)
    return level - (FREE if site is not None and site.standing == "free" else FLOOR)


def no_level(_: Comparison, ground: Ground) -> Iterator[Told]:
    """Parts that draw power and have no noise level."""
    drawing = powered(ground.scenario)
    if not drawing:
        yield WATTS
    heard = {part.node for part in ground.scenario.parts if part.quantity and part.noise_idle is not None} - {""}
    without = [part.part for part in drawing if part.noise_idle is None and part.node not in heard]
    if without:
        draw = "draws" if len(drawing) == 1 else "draw"
        drawn = f"{counted(len(drawing), 'part')} that {draw} power"
        told = f"{len(without)} of {drawn} {have(len(without))} no noise level"
        yield f"{told}, nor has another part of the same node (0 dB(A) if silent): {listed(without)}."


RULES = (
    Rule(
        "noise at the bed",
        "sound level at the bed when busy",
        "Noise that nobody minds by day keeps people awake; a low hum disturbs below the guideline.",
        f"{PUBLISHED}: WHO, Guidelines for Community Noise, 1999: {BEDROOM:g} dB LAeq over 8 h inside bedrooms",
        loud_at_bed,
    ),
    Rule(
        "noise that harms hearing",
        "sound level 1 m from the gear when busy",
        "Old rack servers can be this loud when they start or are busy; this is about hearing, not about sleep.",
        f"{PUBLISHED}: NIOSH recommended exposure limit, {HEARING:g} dB(A) over 8 h, half the time for each "
        f"{HALVES:g} dB more; that sound spreads as in the open is a simplification",
        harms_hearing,
    ),
    Rule(
        "noise not stated",
        "noise levels of parts that draw power",
        "The loudest part decides, and one whose level is missing is not heard here.",
        f"{PRACTICE}: a level for each part that has a fan or moving parts",
        no_level,
    ),
)
