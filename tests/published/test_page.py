"""data/outside_checks.md is what the checks give; numbers on it are the same on every machine."""

from __future__ import annotations

from difflib import unified_diff

import pytest

from tests.published.page import COMMAND, PAGE, number, page


def test_the_page_is_what_the_checks_give() -> None:
    wanted = page()
    found = PAGE.read_text(encoding="utf-8") if PAGE.exists() else ""
    lines = list(unified_diff(found.splitlines(), wanted.splitlines(), "the page", "the checks", lineterm="", n=0))
    told = "\n".join(lines[:20])
    assert found == wanted, f"{PAGE.name} is out of date; `{COMMAND}` writes it anew. The first differences:\n{told}"


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (1234.5, 2, "1,234.50"),
        (0.125, 2, "0.13"),
        (0.12499999999999997, 2, "0.13"),
        (-1e-9, 4, "0.0000"),
        (-13.25, 1, "-13.3"),
        (3.0, 0, "3"),
    ],
)
def test_numbers_do_not_hang_on_the_last_bits(value: float, places: int, text: str) -> None:
    assert number(value, places) == text
