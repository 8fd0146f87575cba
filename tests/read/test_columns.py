"""The page of columns follows the definitions."""

from __future__ import annotations

from tco.cell import Cell
from tco.model import line_inputs
from tco.places import data_folder
from tco.read.columns import page
from tco.study import Part


def test_the_page_in_the_data_folder_is_up_to_date() -> None:
    written = (data_folder() / "columns.md").read_text(encoding="utf-8")
    assert written.split("\n") == page(line_inputs()).split("\n"), "run: python -m tco.read.columns"


def test_columns_of_cost_lines_are_on_the_page() -> None:
    extra = {Part: {"weight": Cell("number", "weight of one", "2 kg", unit="kg", default=0.0, least=0.0)}}
    assert "| weight | weight of one | a number in kg, 0 or more | 0 | `2 kg` |" in page(extra)


def test_where_nominal_or_real_may_follow_is_on_the_page() -> None:
    index = "the price by the end of that year as a multiple of the price at the start"
    assert (
        f"| index | {index} | a number, 0.01 to 100; `nominal` or `real` may follow | an error | `1.06` |" in page()
    )
    assert "| data growth | growth of the data, compound, a year | growth a year, -99 % to 1000 % |" in page()


def test_what_has_no_default_says_so() -> None:
    assert (
        "| horizon | how long it is kept | a span of time, 1 month to 600 months | an error | `5 years` |" in page()
    )
