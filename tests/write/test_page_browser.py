"""The page in headless Chromium, on a phone, a desk and paper: nothing is cut, nothing is too small."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

import tco
from tco.write.page_to_send.page import page
from tests.browser import DESK, PHONE, SHEETS, Browser, browser, needs_chromium
from tests.hostile import study

pytestmark = needs_chromium
CASES = ["demo", "small", "hostile", "twenty", "huge", "fifty"]
SIZES = {"phone": PHONE, "desk": DESK}
PAGES = {"demo": 3, "small": 3, "hostile": 4, "twenty": 5, "huge": 3, "fifty": 3}  # of paper, at most
SMALLEST = 12  # CSS pixels of letters on a screen

# Elements of which some is hidden: beyond their own box where they cut it, or beyond the window outside a region.
CUT = """
const found = [];
for (const one of document.querySelectorAll("h1, h2, h3, p, li, figcaption, summary, th, td, caption")) {
  if (!one.offsetParent) continue;
  const box = one.getBoundingClientRect();
  if (one.scrollWidth > one.clientWidth + 1 && one.clientWidth) found.push("wide " + one.textContent.slice(0, 40));
  const out = box.right > innerWidth + 1 || box.left < -1;
  if (!one.closest(".region") && out) found.push("out " + one.textContent.slice(0, 40));
}
return found;
"""
SMALL = """
const sizes = [];
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walker.nextNode()) {
  const one = walker.currentNode.parentElement;
  if (!walker.currentNode.textContent.trim() || !one.getClientRects().length || one.closest("title, desc")) continue;
  const svg = one.closest("svg");
  const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
  sizes.push([parseFloat(getComputedStyle(one).fontSize) * scale, walker.currentNode.textContent.trim()]);
}
return sizes;
"""
BEYOND = """
const found = [];
for (const svg of document.querySelectorAll("svg")) {
  const whole = svg.getBoundingClientRect();
  for (const one of svg.querySelectorAll("text, rect, polyline")) {
    const box = one.getBoundingClientRect();
    const aside = box.left < whole.left - 3 || box.right > whole.right + 3;
    if (aside || box.top < whole.top - 3 || box.bottom > whole.bottom + 3)
      found.push([one.textContent, box.left - whole.left, box.right - whole.right, box.bottom - whole.bottom]);
  }
}
return found;
"""
OVERLAPS = """
const found = [];
for (const svg of document.querySelectorAll("svg")) {
  const boxes = [...svg.querySelectorAll("text")].map(one => [one.getBoundingClientRect(), one.textContent]);
  for (const [n, [a, text]] of boxes.entries()) for (const [b, other] of boxes.slice(n + 1)) {
    const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const tall = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (wide > 1 && tall > 5) found.push(text + " | " + other);
  }
}
return found;
"""


@pytest.fixture(scope="module")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The page of each case, as a file."""
    folder = tmp_path_factory.mktemp("pages")
    studies = {
        "demo": tco.demo(),
        "small": tco.demo().parent / "small",
        "hostile": study(folder / "hostile"),
        "twenty": study(folder / "twenty", tuple(f"scenario number {n}" for n in range(20))),
        "huge": study(folder / "huge", ("big", "bigger", "biggest"), scale=1e9),
        "fifty": study(folder / "fifty", ("a", "b"), months=600),
    }
    for name, place in studies.items():
        (folder / f"{name}.html").write_text(page(tco.compare(tco.load(place))), encoding="utf-8")
    return {name: folder / f"{name}.html" for name in studies}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("case", CASES)
def test_it_reads_on_a_screen(chromium: Browser, pages: dict[str, Path], case: str, size: str) -> None:
    chromium.open(pages[case], SIZES[size])
    picture = chromium.shot(pages[case].with_name(f"{case}-{size}.png"))
    assert picture.stat().st_size > 50_000, "a blank page is far smaller"
    chromium.run("for (const one of document.querySelectorAll('details')) one.open = true")
    assert chromium.run("return document.documentElement.scrollWidth") <= SIZES[size][0]
    assert chromium.run(CUT) == []
    assert [one for one in chromium.run(SMALL) if one[0] < SMALLEST] == []
    assert chromium.run(BEYOND) == []
    assert chromium.run(OVERLAPS) == []


@pytest.mark.parametrize("case", ["demo", "twenty"])
def test_a_table_scrolls_within_its_region_only_where_it_must(
    chromium: Browser, pages: dict[str, Path], case: str
) -> None:
    chromium.open(pages[case], PHONE)
    script = "return [...document.querySelectorAll('section > .region')].filter(one => one.offsetParent)"
    wide = chromium.run(f"{script}.map(one => one.scrollWidth > one.clientWidth)")
    assert wide
    assert all(one == (case == "twenty") for one in wide)


def test_on_a_phone_a_head_stands_over_its_figures_and_columns_under_each_other(
    chromium: Browser, pages: dict[str, Path]
) -> None:
    chromium.open(pages["demo"], PHONE)
    script = """
    const place = one => { const box = one.getBoundingClientRect(); return [box.left, box.top, box.bottom]; };
    const rows = [...document.querySelectorAll("section > .region table tr")].filter(one => one.offsetParent);
    return rows.map(row => [...row.children].map(place));
    """
    rows = chromium.run(script)
    bodies = [row for row in rows if row[0][2] - row[0][1] > 1]
    assert len(bodies) > 20
    for head, *cells in bodies:
        assert all(cell[1] >= head[2] - 1 for cell in cells)
    lefts = {tuple(round(cell[0]) for cell in row[1:]) for row in rows}
    assert len(lefts) == 1


def test_tables_stay_tables_for_those_who_hear_them(chromium: Browser, pages: dict[str, Path]) -> None:
    """What the browser tells a screen reader, on a phone, where the tables are laid out by other means."""
    chromium.open(pages["demo"], PHONE)
    nodes = chromium.driver.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    roles = [node["role"]["value"] for node in nodes if not node.get("ignored")]
    for role, least in (("table", 4), ("columnheader", 16), ("rowheader", 25), ("cell", 100), ("region", 4)):
        assert roles.count(role) >= least, role
    images = [node for node in nodes if node["role"]["value"] in ("image", "img") and not node.get("ignored")]
    assert len(images) == 2
    assert all("quiet minis" in node["name"]["value"] for node in images)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("case", CASES)
def test_it_prints_on_few_pages(chromium: Browser, pages: dict[str, Path], case: str, sheet: str) -> None:
    if not shutil.which("pdfinfo") or not shutil.which("pdftotext"):
        pytest.skip("pdfinfo and pdftotext are not installed")
    chromium.open(pages[case], DESK)
    printed = chromium.printed(pages[case].with_name(f"{case}-{sheet}.pdf"), sheet)
    about = subprocess.run(["pdfinfo", printed], check=True, capture_output=True, text=True).stdout
    count = int(re.search(r"Pages:\s+(\d+)", about).group(1))  # type: ignore[union-attr]
    assert count <= PAGES[case]
    text = subprocess.run(["pdftotext", "-layout", printed, "-"], check=True, capture_output=True, text=True).stdout
    if case == "twenty":
        for number in range(20):
            assert f" {(number + 1) * (100 + 37 * number):,}" in text, "what is paid at the start, in the table"
    if case == "demo":
        assert "10,374" in text
        assert "Where the inputs come from" in text


def test_without_a_network_nothing_is_asked_for(chromium: Browser, pages: dict[str, Path]) -> None:
    chromium.open(pages["hostile"], PHONE)
    assert chromium.run("return performance.getEntriesByType('resource').length") == 0
    assert chromium.run("return document.scripts.length") == 0
    assert [one for one in chromium.driver.get_log("browser") if one["level"] == "SEVERE"] == []


def test_a_missing_browser_fails_where_it_is_required(monkeypatch: pytest.MonkeyPatch) -> None:
    from tests import browser as used

    monkeypatch.setattr(used, "PROGRAM", None)
    monkeypatch.delitem(os.environ, "TCO_REQUIRE_CHROMIUM", raising=False)
    assert used.skipped()
    monkeypatch.setenv("TCO_REQUIRE_CHROMIUM", "1")
    assert not used.skipped()
