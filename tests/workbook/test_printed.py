"""Every sheet on paper: one page for the summary, none empty, nothing cut or in error, heads over all months."""

from __future__ import annotations

import re
import shutil
from itertools import pairwise
from pathlib import Path

import pytest

import tco
from tco.ask.compare import Comparison
from tco.ask.reprice import repriced
from tco.ask.simulate import simulate
from tco.model import LINES, line_inputs
from tco.read.revise import NewPrice, revise
from tco.write import chance, charts, reprice, vary
from tco.write.formats import INK
from tco.write.layout import layout
from tco.write.workbook import write_workbook
from tests.printing import pages_of, print_all
from tests.recalculate import needs_libreoffice
from tests.studies import write_study

STUDIES = ["demo", "small", "hours", "large"]
A_SCENARIO, SHARED = 13, 20  # pages of a scenario's sheet with its bills, of the sheets that all share: at most
FOOTER = re.compile(r"page \d+ of \d+")


@pytest.fixture(scope="module", params=STUDIES)
def printed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Comparison, list[str]]:
    """A study's comparison, and the text of each page as it is printed."""
    if not shutil.which("pdftotext"):
        pytest.skip("pdfinfo and pdftotext are not installed")
    work = tmp_path_factory.mktemp("printed")
    folder = large(work / "study") if request.param == "large" else tco.demo().parent / request.param
    comparison = tco.compare(tco.load(folder))
    write_workbook(comparison, work / "book.xlsx")
    print_all([work / "book.xlsx"], work)
    return comparison, pages_of(work / "book.pdf")


def large(folder: Path) -> Path:
    """A study in a money of large amounts: thousands of millions."""
    lists = {
        name: f"part,quantity,price,idle,failures,resale\nbox,{count},{price} VND,40 W,drives,fair\n"
        for name, count, price in (("minis", 4, 41234567.89), ("servers", 400, 9876543.21))
    }
    study = ("currency,EUR,,", "currency,VND,,\ninflation,3 %,,")
    tariffs = "tariff,start,price\nhousehold,2026-01,2906 VND/kWh\n"
    fees = "scenario,fee,amount,amount per TB\nrented,storage,250000 VND/month,125000 VND/TB/month\n"
    once = "scenario,what,month,amount\nservers,a cellar,0,2345678901 VND\n"
    write_study(folder, **lists, study=study, tariffs=tariffs, fees=fees, one_offs=once, exchange=None, nodes=None)
    path = folder / "study.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("15 EUR/h", "150000 VND/h"), encoding="utf-8")
    return folder


@needs_libreoffice
def test_the_summary_is_the_first_page_and_only_that(printed: tuple[Comparison, list[str]]) -> None:
    comparison, pages = printed
    assert comparison.study.settings.question in pages[0]
    for heading in ("What would change the answer", "What was assumed", "Before you decide", "in this workbook."):
        assert heading in pages[0]
    assert [number for number, page in enumerate(pages) if re.search(r"^ *Summary ", page, re.MULTILINE)] == [0]


@needs_libreoffice
def test_no_page_is_empty(printed: tuple[Comparison, list[str]]) -> None:
    _, pages = printed
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page
        assert len(FOOTER.sub("", page).split()) > 12, f"page {number} has hardly a word"


@needs_libreoffice
def test_nothing_is_cut_or_in_error(printed: tuple[Comparison, list[str]]) -> None:
    _, pages = printed
    text = "\n".join(pages)
    assert not re.search(r"###|#(REF|NAME|DIV/0|VALUE|NUM|N/A)|\bErr:\d", text)
    assert not re.search(r"\b(nan|inf|None|Traceback)\b", text)


@needs_libreoffice
def test_there_is_a_sensible_number_of_pages(printed: tuple[Comparison, list[str]]) -> None:
    comparison, pages = printed
    assert len(pages) <= SHARED + A_SCENARIO * len(comparison.built.grounds)


@needs_libreoffice
def test_months_have_their_heads_on_every_page(printed: tuple[Comparison, list[str]]) -> None:
    """A page with rows of months says over them what the columns are."""
    _, pages = printed
    rows = re.compile(r"^ *\d{4}-\d\d · month \d+", re.MULTILINE)
    found = [page for page in pages if rows.search(page)]
    assert found
    for page in found:
        above = page[: rows.search(page).start()]  # type: ignore[union-attr]
        assert re.search(r"kWh|VND|EUR|USD|AUD|VND|hours|energy|factor", above), page[:600]


@needs_libreoffice
def test_each_scenario_has_its_pages(printed: tuple[Comparison, list[str]]) -> None:
    comparison, pages = printed
    feet = [page.strip().splitlines()[-1].split("  ")[0] for page in pages]
    for sheet in layout(comparison.built).sheets.values():
        assert feet.count(sheet) >= 3


def lightness(colour: str) -> float:
    """How light a colour is, 0 to 100 (CIE 1976 L*, from sRGB by IEC 61966-2-1; from memory)."""
    parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return 116 * y ** (1 / 3) - 16 if y > 0.008856 else 903.3 * y


USUAL = ("purchase", "one_off", "electricity", "replacement", "fees", "upkeep", "disposal")  # resale lies left of 0


@pytest.mark.parametrize("left_out", ["", *USUAL])
def test_neighbours_in_a_stack_differ_in_grey(left_out: str) -> None:
    """Each line of costs has a colour of its own, clearly lighter or darker than the ones beside it."""
    assert len(set(charts.FILLS)) == len(charts.FILLS) >= len(LINES)
    fills = {line.name: charts.FILLS[number] for number, line in enumerate(LINES)}
    stack = [fills[name] for name in fills if name in USUAL and name != left_out]
    for one, other in pairwise(stack):
        assert abs(lightness(one) - lightness(other)) > 11, (one, other)


def test_lines_are_dark_enough_and_differ_in_dashes() -> None:
    for colour in (INK, *charts.LINES):
        assert lightness(colour) < 62
    assert len(set(charts.DASHES)) == len(charts.DASHES)


@needs_libreoffice
def test_the_other_workbooks_cut_no_large_sum(tmp_path: Path) -> None:
    """What simulate, vary and reprice write, in the money of large amounts."""
    folder = large(tmp_path / "study")
    comparison = tco.compare(tco.load(folder))
    offered = revise(folder, [NewPrice("3200 VND/kWh", "2028-01", "")], line_inputs())
    books = {
        "simulate": lambda path: chance.write_workbook(simulate(comparison, 500), path),
        "vary": lambda path: vary.write_workbook(tco.vary(comparison, grid=("electricity price", "years")), path),
        "reprice": lambda path: reprice.write_workbook(
            repriced(tco.compare(offered.before), tco.compare(offered.after), offered.added), path, ""
        ),
    }
    for name, write in books.items():
        write(tmp_path / f"{name}.xlsx")
    print_all([tmp_path / f"{name}.xlsx" for name in books], tmp_path)
    for name in books:
        text = "\n".join(pages_of(tmp_path / f"{name}.pdf"))
        assert "VND" in text
        assert "###" not in text
