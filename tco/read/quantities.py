"""A number with a unit -> a float in the unit of its column, currencies converted at the study's own rates."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache
from math import isfinite
from typing import TYPE_CHECKING

from tco import units
from tco.read.numbers import LARGEST
from tco.read.problems import Refused, shown

if TYPE_CHECKING:
    import pint

KINDS = {
    "[power]": "power",
    "[time]": "clock time",
    "[data]": "data",
    "[calendar]": "calendar time",
    "[potential]": "voltage",
    "[sound_level]": "sound level",
    "[mass]": "mass",
    "[length]": "length",
    "[apparent_power]": "apparent power",
}
OTHER_NAMES = {
    "€": "EUR", "$": "USD", "£": "GBP", "euro": "EUR", "euros": "EUR", "dollar": "USD", "dollars": "USD",
    "hr": "h", "hrs": "h", "mo": "month", "mth": "month", "y": "year", "yr": "year", "yrs": "year", "a": "year",
    "m²": "metre", "sec": "s", "secs": "s", "gbe": "Gbit/s",
}  # fmt: skip
DECIBEL = re.compile(r"db *\(?a?\)?", re.IGNORECASE)
BEL = re.compile(r"(?:b|bels?) *(?:\(a\))?", re.IGNORECASE)
CENTS, WEEKS = "; write 31 cents as 0.31 of the currency", "; write 1 week as '7 d'"
IN_WORDS = {"cent": CENTS, "cents": CENTS, "ct": CENTS, "week": WEEKS, "weeks": WEEKS}
COMMON = """W kW MW watt Wh kWh MWh B kB MB GB TB PB KiB MiB GiB TiB PiB bit kbit Mbit Gbit Tbit s min h d day hour
    month months year years % V A VA dB(A) kg m percent""".split()


@dataclass(frozen=True)
class Money:
    """The study's currency and its rates: code -> what one of that costs in the study's currency.

    code: empty where study.csv names no valid one; amounts are then not judged, the cause being told already.
    whole: whether exchange.csv could be read, so that a rate it lacks is truly missing.
    """

    code: str = ""
    rates: Mapping[str, float] = field(default_factory=dict)
    whole: bool = True

    def unit(self, text: str) -> str:
        """A definition's unit with the study's currency in the place of `{money}`."""
        return text.replace("{money}", self.code)

    def example(self, text: str, unit: str) -> str:
        """A definition's example in the study's currency."""
        return text.replace("EUR", self.code) if self.code and "{money}" in unit else text


def known_unit(text: str, wanted: str = "") -> pint.Unit:
    """The unit a text names; raises Refused with the nearest known one, or with what is wanted."""
    try:
        return units.unit(text)
    except (ValueError, ArithmeticError):
        unlike = f"; what belongs here is {shown(spelled(wanted))} or the like" if wanted else KNOWN
        raise Refused(f"unit {shown(text)} is unknown{_meant(text, wanted) or unlike}") from None


def spelled(unit: str) -> str:
    """A unit of a definition as people write it."""
    return "%/year" if unit == "1/year" else unit.replace("dBA", "dB(A)")


def _meant(text: str, wanted: str) -> str:
    """What was probably meant by an unknown unit, as the end of a message; empty where nothing is near."""
    if DECIBEL.fullmatch(text):
        return "; did you mean 'dB(A)'?"
    if _is_known(plain := text.replace(" per ", "/")):
        return f"; did you mean {shown(plain)}?"
    for word in re.findall(r"[^\W\d_]+|[€$£%]", text[:60]):
        if word.casefold() in IN_WORDS:
            return IN_WORDS[word.casefold()]
        if found := re.fullmatch(r"([kKMGTP]i?)(?:b|([bB])([pP][sS]))", word):
            return _bytes_or_bits(text, word, found)
        if not _is_known(word):
            close = OTHER_NAMES.get(word.casefold()) or _close(re.sub("[bB]ytes?$", "B", word), wanted)
            return f"; did you mean {shown(text.replace(word, close, 1))}?" if close else ""
    return ""


def _bytes_or_bits(text: str, word: str, found: re.Match[str]) -> str:
    """`Mb` may be meant as bytes or as bits; `Mbps` are bits, `MBps` bytes."""
    prefix, letter, end = found[1], found[2], found[3]
    rate = "/s" if end else ""
    byte, bit = (shown(text.replace(word, f"{prefix}{unit}{rate}", 1)) for unit in ("B", "bit"))
    if end == "ps":
        return f"; did you mean {byte if letter == 'B' else bit}?"
    return f"; did you mean {byte} (bytes) or {bit} (bits)?"


def unit_meant(word: str) -> str:
    """As `_meant`, of a word that may be no unit at all: only where it differs from one in its case, or `b` for B."""
    same = {name.casefold(): name for name in COMMON if len(name) > 1 or name == "W"}.get(word.casefold(), "")
    if re.fullmatch(r"[kKMGTP]i?b(ps)?|[kKMGTP]i?Bps", word):
        return _meant(word, "")
    return f"; did you mean {shown(same)}?" if same and same != word else ""


KNOWN = "; known are such as 'EUR', 'EUR/kWh', 'W', 'TB', 'Gbit/s', 'years', '%'"


def _is_known(word: str) -> bool:
    try:
        units.unit(word)
    except (ValueError, ArithmeticError):
        return False
    return True


def _close(word: str, wanted: str) -> str:
    """The known unit closest to a word: any that differs in its case only, else one that may stand in `wanted`."""
    names = {name.casefold(): name for name in (*units.CURRENCIES, *reversed(COMMON))}
    if word.casefold() in names:
        return names[word.casefold()]
    kinds = set(units.unit(wanted).dimensionality)
    fitting = [name for name, unit in names.items() if not wanted or set(units.unit(unit).dimensionality) <= kinds]
    close = get_close_matches(word.casefold(), fitting, n=1, cutoff=0.6)
    return names[close[0]] if close else ""


def kind(unit: pint.Unit) -> str:
    """The kind of thing a unit measures, in plain words: `money per energy`."""
    powers = {name: round(float(str(power))) for name, power in unit.dimensionality.items()}
    above = [_word(name, power) for name, power in sorted(powers.items()) if power > 0]
    below = [_word(name, -power) for name, power in sorted(powers.items()) if power < 0]
    text = " per ".join([" times ".join(above) or "a number", *below])
    text = text.replace("power times clock time", "energy").replace("per power per clock time", "per energy")
    text = text.replace("power per voltage", "current")
    return "a plain number" if text == "a number" else text


def _word(dimension: str, power: int) -> str:
    word = "money" if dimension.startswith("[money_") else KINDS.get(dimension, dimension.strip("[]"))
    return word if power == 1 else f"{word}^{power}"


@lru_cache(maxsize=4096)
def conversion(found: str, wanted: str) -> tuple[float, str]:
    """(factor from one unit to the other, foreign currency that remains to be exchanged or empty).

    Raises Refused for an unknown unit or another kind of thing.
    """
    if wanted == "dBA" and BEL.fullmatch(found):
        raise Refused(f"{shown(found)}: if these are bels, write ten times as many decibels: '42 dB(A)' for 4.2 bels")
    one, other = known_unit(found, wanted), known_unit(wanted)
    foreign = _money(one)
    if foreign and _money(other) and foreign != _money(other):
        rest = one * units.unit(_money(other)) / units.unit(foreign)
        if units.same_kind(rest, other):
            return _factor(rest, other, found), foreign
    if not units.same_kind(one, other):
        message = f"{shown(found)} is {kind(one)}; wanted is {kind(other)}, in {shown(spelled(wanted))} or the like"
        raise Refused(message + _of_months(one, other))
    return _factor(one, other, found), ""


def _of_months(one: pint.Unit, other: pint.Unit) -> str:
    """The end of a message where months or years stand and hours or days belong."""
    if "[calendar]" not in one.dimensionality or "[time]" not in other.dimensionality:
        return ""
    return "; months differ in length: write it in days, 'd'"


def _factor(one: pint.Unit, other: pint.Unit, text: str) -> float:
    try:
        found = units.factor(one, other)
    except ArithmeticError:
        found = 0.0
    if not (isfinite(found) and found > 0):
        raise Refused(f"unit {shown(text)} is out of all proportion")
    return found


def _money(unit: pint.Unit) -> str:
    """The currency in a unit; empty where there is none, or several."""
    codes = [name[7:-1].upper() for name in unit.dimensionality if name.startswith("[money_")]
    return codes[0] if len(codes) == 1 else ""


def factor(found: str, wanted: str, money: Money) -> float:
    """What turns a number in `found` into the column's unit, exchange included; raises Refused."""
    scale, foreign = conversion(found, money.unit(wanted))
    if not foreign:
        return scale
    if foreign not in money.rates:
        if not money.whole:
            return float("nan")  # the rate's own row is reported already
        raise Refused(
            f"{shown(found)}: there is no rate for {foreign}; add one to exchange.csv, or write {money.code}"
        )
    return scale * money.rates[foreign]


def convert(value: float, found: str, wanted: str, money: Money) -> float:
    """A number in the column's unit; raises Refused where it becomes absurdly large."""
    scale = factor(found, wanted, money)
    # 57 / 100 is 0.57, while 57 * 0.01 is 0.5700000000000001.
    parts = round(1 / scale) if 0 < scale < 1 else 0
    result = value / parts if parts and abs(parts * scale - 1) < 1e-12 else value * scale
    if abs(result) > LARGEST:
        raise Refused(f"{value:g} {found} is larger than any figure of a home")
    return result
