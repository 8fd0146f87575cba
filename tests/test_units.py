"""Units: what is known, what never mixes, and texts that are no unit at all."""

import itertools
import time

import pint
import pytest

from tco import units
from tco.units import factor, same_kind, unit, written

USUAL = """1 % s min h day month year B kB MB GB TB PB KiB MiB GiB TiB bit Mbit/s Gbit/s W kW Wh kWh MWh V A VA
    dB(A) kg EUR USD EUR/kWh EUR/TB EUR/month %/year 1/year 1/month h/month W/TB kWh/year EUR/TB/month GB/s""".split()


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("TB", "GB", 1000.0),
        ("TiB", "B", 1024.0**4),
        ("TiB", "TB", 1.099511627776),
        ("GiB", "MiB", 1024.0),
        ("B", "bit", 8.0),
        ("Gbit/s", "MB/s", 125.0),
        ("W*h", "kWh", 0.001),
        ("kW*h", "kWh", 1.0),
        ("year", "month", 12.0),
        ("day", "h", 24.0),
        ("%/year", "1/year", 0.01),
        ("V*A", "W", 1.0),
        ("EUR/kWh", "EUR/Wh", 0.001),
    ],
)
def test_factor(one, other, expected):
    assert factor(unit(one), unit(other)) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("EUR", "USD"),
        ("EUR", "1"),
        ("TB", "1"),  # not so in pint's default registry: a byte is a number there
        ("bit", "1"),
        ("month", "h"),
        ("year", "day"),
        ("W", "Wh"),
        ("W", "V"),
        ("EUR/kWh", "EUR/kW"),
        ("GB", "GB/s"),
        ("dB(A)", "1"),
    ],
)
def test_kinds_that_never_mix(one, other):
    assert not same_kind(unit(one), unit(other))
    with pytest.raises(pint.DimensionalityError):
        factor(unit(one), unit(other))


def test_no_two_currencies_mix():
    for one, other in itertools.pairwise(units.CURRENCIES):
        assert not same_kind(unit(one), unit(other))


@pytest.mark.parametrize(
    "text", ["Tb", "Gb", "tb", "gb", "KB", "TIB", "Tib", "kwh", "KWh", "w", "Eur", "€", "euro", "Ws"]
)
def test_a_wrong_spelling_is_unknown(text):
    with pytest.raises(ValueError, match=r"is unknown|is no unit"):
        unit(text)


@pytest.mark.parametrize("text", ["mB", "mbit", "mB/s", "W/mB", "mEUR", "milliEUR/kWh", "MiEUR", "KiW", "mWh"])
def test_a_prefix_that_nobody_means_is_unknown(text):
    with pytest.raises(ValueError, match=r"is unknown$"):
        unit(text)


@pytest.mark.parametrize(("text", "plain", "expected"), [
    ("kEUR", "EUR", 1000.0), ("MEUR", "EUR", 1e6), ("mW", "W", 1e-3), ("mm", "m", 1e-3), ("Kibit/s", "bit/s", 1024.0),
])  # fmt: skip
def test_a_prefix_that_somebody_may_mean(text, plain, expected):
    assert factor(unit(text), unit(plain)) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize("text", ["TB", "TiB"])
def test_bits_are_spelled_out(text):
    assert factor(unit(text.replace("B", "bit")), unit(text)) == 0.125


def test_the_message_names_the_unknown_part():
    with pytest.raises(ValueError, match=r"^unit 'parsec' is unknown$"):
        unit("EUR/parsec")


HOSTILE = {
    "long name": "a" * 100_000,
    "longest name allowed": "a" * 24,
    "long product": "h*" * 100_000 + "h",
    "many slashes": "/" * 100_000,
    "tower of powers": "9**9**9**9",
    "power of powers": "h^9^9",
    "large power": "h^99999999",
    "power with **": "h**9",
    "zero power": "h^0",
    "brackets": "(" * 50_000 + ")" * 50_000,
    "code": "__import__('os').system('true')",
    "attribute": "h.__class__",
    "underscores": "__class__",
    "keyword": "lambda",
    "number": "5",
    "number and unit": "5 kWh",
    "nan": "nan",
    "inf": "inf",
    "infinity": "1/infinity",
    "name of a plain number in pint": "radian",
    "constant": "pi",
    "prefix alone": "k",
    "offset unit": "degC",
    "half": "EUR/",
    "two units": "EUR kWh",
    "not ASCII": "κWh",
    "digit of another script": "h^٢",
    "zero byte": "h\0",
    "braces": "{0}",
    "format": "%s",
    "part of a thousand": "k%",
    "formula": "=1+1",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_texts_are_refused_at_once_and_in_short(text):
    units.registry()
    start = time.perf_counter()
    with pytest.raises(ValueError, match=r"is unknown$|is no unit$") as caught:
        unit(text)
    assert time.perf_counter() - start < 0.2
    assert len(str(caught.value)) < 100


@pytest.mark.parametrize("text", ["", " ", "1", "\t"])
def test_nothing_is_a_plain_number(text):
    assert unit(text).dimensionless
    assert written(unit(text)) == ""


@pytest.mark.parametrize("text", ["kWh / month", " kWh/month ", "kWh·month^-1"])
def test_the_same_unit_in_other_words(text):
    assert unit(text) == unit("kWh/month")


def test_what_is_written_reads_back_as_the_same_unit():
    for one, other in itertools.product(USUAL, repeat=2):
        for found in (unit(one), unit(one) * unit(other), unit(one) / unit(other)):
            assert factor(unit(written(found)), found) == pytest.approx(1.0, rel=1e-14), written(found)


def test_a_written_unit_looks_as_a_person_writes_it():
    written_as = {"%/year": "%/year", "EUR/kWh": "EUR/kWh", "h^2": "h^2", "1/month": "1/month", "watt": "W"}
    assert {text: written(unit(text)) for text in written_as} == written_as


def test_apparent_power_is_not_power() -> None:
    """A UPS is rated in VA; taken for watts it would be billed as if it drew its rating."""
    assert not units.same_kind(units.unit("VA"), units.unit("W"))
