"""The units the tool knows: pint with our own small unit file (units.txt), never its default registry.

The default registry takes `1 TB + 1` and reads `Tb` as terabarn; ours knows bytes and each currency as dimensions.
"""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint

# ISO 4217 codes of currencies in daily use, from memory.
CURRENCIES = tuple(
    """AED ARS AUD BAM BDT BGN BHD BRL BYN CAD CHF CLP CNY COP CRC CZK DKK DOP DZD EGP EUR GBP GEL GTQ HKD HUF IDR
    ILS INR IRR ISK JOD JPY KES KRW KWD KZT LBP LKR MAD MDL MKD MXN MYR NGN NOK NZD OMR PEN PHP PKR PLN PYG QAR RON
    RSD SAR SEK SGD THB TND TRY TWD TZS UAH UGX USD UYU UZS VND XOF ZAR""".split()
)

# Those whose amounts are whole in daily use: no minor unit, or none that is still in use; ISO 4217, from memory.
WHOLE = frozenset("CLP COP HUF IDR IRR ISK JPY KRW LBP PYG RSD TZS UGX UZS VND XOF".split())


@cache
def registry() -> pint.UnitRegistry[Any]:
    """Our unit registry, built once (a few milliseconds; importing pint is the larger part)."""
    import pint

    own: pint.UnitRegistry[Any] = pint.UnitRegistry(None, cache_folder=None)
    lines = files("tco").joinpath("units.txt").read_text(encoding="utf-8").splitlines()
    money = [f"{code} = [money_{code.lower()}]" for code in CURRENCIES]
    own.load_definitions([*lines, *money])
    return own


# Names joined by * or /, each with a small power at most: nothing else ever reaches pint's expression parser.
# Names are short as well: pint takes a minute over one of 100,000 letters.
NAME = r"[A-Za-z_]{1,24}(\^-?[1-9])?"
GRAMMAR = re.compile(rf"{NAME}([*/]{NAME}){{0,7}}|1(/{NAME}){{0,7}}")


@cache
def unit(text: str) -> pint.Unit:
    """The unit a text names: `EUR/kWh`, `Gbit/s`, `%/year`; empty or `1` is a plain number.

    Raises ValueError that says which part is unknown.
    """
    import pint

    plain = text.strip().replace("%", "percent").replace("dB(A)", "dBA").replace("·", "*").replace(" ", "")
    if plain in ("", "1"):
        return registry().Unit("")
    if not GRAMMAR.fullmatch(plain) or re.search(r"\w%|%\w|\w\s+\w", text):
        raise ValueError(f"'{text.strip()[:60]}' is no unit")
    try:
        found = registry().Unit(plain.replace("^", "**"))
    except pint.UndefinedUnitError as error:
        names = error.unit_names
        raise ValueError(f"unit '{names if isinstance(names, str) else ', '.join(names)}' is unknown") from None
    except ValueError:  # a name that pint takes for a number: nan
        raise ValueError(f"unit '{text.strip()}' is unknown") from None
    check_prefixes(plain)
    return found


def check_prefixes(plain: str) -> None:
    """Raises ValueError for a prefix that nobody means: thousandths of a byte, a watt-hour or a euro (`mB` is a slip
    for `MB`, `mEUR` some people's million), powers of two of anything but data.
    """
    for name in re.findall("[A-Za-z_]+", plain):
        for prefix, base, _ in registry().parse_unit_name(name):
            kinds = set(registry().Unit(base).dimensionality)
            is_data, is_energy = "[data]" in kinds, kinds >= {"[power]", "[time]"}
            is_odd = is_data or is_energy or any(kind.startswith("[money_") for kind in kinds)
            if (prefix == "milli" and is_odd) or (prefix.endswith("bi") and not is_data):
                raise ValueError(f"unit '{name}' is unknown")


@cache
def factor(found: pint.Unit, wanted: pint.Unit) -> float:
    """What turns a number in `found` into `wanted`: 1.0 from kW*h to kWh, 0.001 from W*h.

    Compare units this way, never with `==`: pint says kW*h and kWh differ. Raises pint.DimensionalityError.
    """
    return float(registry().Quantity(1.0, found).m_as(wanted))


def same_kind(one: pint.Unit, other: pint.Unit) -> bool:
    """Whether the two measure the same kind of thing, whatever the scale."""
    return bool(one.dimensionality == other.dimensionality)


@cache
def written(one: pint.Unit) -> str:
    """A unit as a person writes it: `EUR/kWh`, `W`, `h/month`; empty for a plain number."""
    return f"{one:~C}".replace("percent", "%").replace("pct", "%").replace("**", "^").replace("dBA", "dB(A)")
