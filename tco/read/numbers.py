"""Numbers as people and spreadsheet programs write them; what can be read two ways is refused, not guessed.

The decimal sign is a point or a comma. `1,234` and `1.234` are one and a bit, or one thousand two hundred: with three
digits behind a single sign both readings stand, unless the digits before it rule one out (`0,310`, `1234.567`), or
the largest that a column may hold.
The other numbers of the same file decide then, if they all speak for one sign; otherwise the cell is refused.
Thousands may stand apart by a space, a narrow space, an apostrophe or the sign that is not the decimal one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from tco.read.grid import Stored
from tco.read.problems import Refused, shown

LARGEST = 1e15  # no price, power or capacity of a home is larger; keeps sums finite
SPACES = " \u00a0\u2009\u202f"
GROUPS = [f"[{SPACES}]", "['’]"]
NUMBER = re.compile(
    rf"(?P<sign>[+\-−]?)(?P<body>[0-9.,](?:[0-9.,'’{SPACES}]*[0-9.,'’])?)(?P<exponent>[eE][+\-−]?[0-9]{{1,3}})?"
    rf"(?P<unit>.*)",
    re.DOTALL,
)


class NotNumber(Refused):
    """A text that does not begin with a number."""


def _form(decimal: str, groups: Iterable[str]) -> re.Pattern[str]:
    """Numbers with this decimal sign, in thousands only by one of these group signs."""
    grouped = "|".join(
        rf"[1-9][0-9]{{0,2}}(?P<g{i}>{group})[0-9]{{3}}(?:(?P=g{i})[0-9]{{3}})*" for i, group in enumerate(groups)
    )
    whole = rf"[0-9]+|{grouped}" if grouped else "[0-9]+"
    return re.compile(rf"(?P<whole>{whole})?(?:\{decimal}(?P<part>[0-9]+))?")


FORMS = {".": _form(".", [*GROUPS, ","]), ",": _form(",", [*GROUPS, r"\."])}
# Nobody writes thousands and an exponent at once: 1.234e3 has a decimal point.
EXPONENT_FORMS = {".": _form(".", []), ",": _form(",", [])}


def split(text: str) -> tuple[str, str, str]:
    """(number with its sign, exponent, unit) of `18 TB`; raises NotNumber."""
    found = NUMBER.fullmatch(text.strip())
    if not found:
        raise NotNumber(f"{shown(text)} is not a number")
    exponent = (found["exponent"] or "").replace("−", "-")
    return found["sign"].replace("−", "-") + found["body"], exponent, found["unit"].strip()


@lru_cache(maxsize=4096)
def readings(body: str, exponent: str) -> dict[str, float]:
    """Decimal sign -> the value a number has if that is its decimal sign; empty where it is none."""
    sign, digits = (body[0], body[1:]) if body[0] in "+-" else ("", body)
    found = {}
    for decimal, form in (EXPONENT_FORMS if exponent else FORMS).items():
        fits = form.fullmatch(digits)
        if fits and digits:
            whole = re.sub("[^0-9]", "", fits["whole"] or "0")
            found[decimal] = float(f"{sign}{whole}.{fits['part'] or '0'}{exponent}")
    return found


def decimal_sign(texts: Iterable[str]) -> str:
    """The decimal sign that all numbers of a file agree on; empty where none tells or they differ.

    Numbers that a workbook stores as such say nothing about how its texts are written.
    """
    signs = set()
    for text in texts:
        found = NUMBER.fullmatch(text.strip())
        if not found or isinstance(text, Stored) or not set(found["body"]) & set(".,"):
            continue
        possible = readings(found["body"], found["exponent"] or "")
        signs |= set(possible) if len(possible) == 1 else set()
    return signs.pop() if len(signs) == 1 else ""


def number(text: str, sign: str, most: float = LARGEST) -> tuple[float, str]:
    """The value and the unit of `0,31 EUR/kWh`, `sign` being the file's decimal sign if known; raises Refused.

    most: of two readings, where nothing else decides, one that is larger is ruled out.
    """
    body, exponent, unit = split(text)
    possible = readings(body, exponent)
    if not possible:
        raise NotNumber(f"{shown(text)} is not a number")
    small = {} if sign else {decimal: value for decimal, value in possible.items() if abs(value) <= most}
    value = _choose(body, small or possible, "." if isinstance(text, Stored) else sign)
    if not abs(value) <= LARGEST:
        raise Refused(f"{shown(text)} is larger than any figure of a home (1e15)")
    return value + 0.0, unit  # + 0.0: there is no minus nought


def _choose(body: str, possible: dict[str, float], sign: str) -> float:
    """The one value of a number; raises Refused where two are possible and the file does not decide."""
    values = set(possible.values())
    if len(values) == 1:
        return values.pop()
    if sign:
        return possible[sign]
    small, large = sorted(values, key=abs)
    raise Refused(
        f"{shown(body)} could be {small:.12g} or {large:.12g}: "
        f"write '{large:.12g}' without thousands sign, or '{body}0' with one more digit"
    )
