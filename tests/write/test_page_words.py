"""What the page says and how it is built: sentences, headings, tables, alternative texts; nothing loads or runs."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import tco
from tco.ask.compare import Comparison
from tco.cli import main
from tco.errors import ResultError
from tco.write.cautions import CAUTIONS
from tco.write.page_to_send import page as made
from tco.write.page_to_send.bars import contrast
from tco.write.page_to_send.page import page
from tco.write.told import told
from tests.hostile import NAMES, SCRIPT, TEXTS, study
from tests.studies import write_study
from tests.write.page_reading import SVG, each, read, table_of, words

NESTED = ("src", "href", "srcset", "action", "formaction", "data", "poster", "background", "ping", "xlink:href")
CSS = Path(made.__file__).with_name("page.css").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def demo() -> Comparison:
    return tco.compare(tco.load(tco.demo()))


@pytest.fixture(scope="module")
def cases(demo: Comparison, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Pages of ordinary and awkward studies, by name."""
    folder = tmp_path_factory.mktemp("cases")
    many = tuple(f"scenario {n}" for n in range(20))
    sold = "scenario,what,month,amount\na,sold,0,-900 EUR\nb,sold,0,-100 EUR\n"
    studies = {
        "small": tco.demo().parent / "small",
        "hours": tco.demo().parent / "hours",
        "plain": write_study(folder / "plain"),
        "hostile": study(folder / "hostile"),
        "twenty": study(folder / "twenty", many),
        "fifty": study(folder / "fifty", ("a", "b"), months=600),
        "alone": study(folder / "alone", ("alone",)),
        "tiny": study(folder / "tiny", ("a", "b"), scale=1e-4, months=2),
        "negative": study(folder / "negative", ("a", "b"), one_offs=sold),
    }
    return {"demo": page(demo)} | {name: page(tco.compare(tco.load(place))) for name, place in studies.items()}


CASES = ["demo", "small", "hours", "plain", "hostile", "twenty", "fifty", "alone", "tiny", "negative"]
every = pytest.mark.parametrize("case", CASES)


@every
def test_a_strict_reader_takes_the_page(cases: dict[str, str], case: str) -> None:
    tree = read(cases[case])
    assert tree.get("lang") == "en"
    assert cases[case].startswith("<!DOCTYPE html>")
    assert cases[case].index('<meta charset="utf-8">') < 1024


@every
def test_headings_are_in_order(cases: dict[str, str], case: str) -> None:
    levels = [int(one.tag[1]) for one in each(read(cases[case]), "h1", "h2", "h3", "h4")]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(low - high <= 1 for high, low in pairwise(levels))


@every
def test_tables_have_heads_and_names(cases: dict[str, str], case: str) -> None:
    tree = read(cases[case])
    assert len(list(tree.iter("table"))) >= 3
    for head in tree.iter("th"):
        assert head.get("scope") in ("col", "row")
        assert words(head)
    for table in tree.iter("table"):
        rows = [list(row) for row in table.iter("tr")]
        assert len({len(row) for row in rows}) == 1
        assert all(row[0].tag == "th" for row in rows[1:])
        assert all(words(cell) for row in rows[1:] for cell in row)
        roles = {"table": "table", "thead": "rowgroup", "tbody": "rowgroup", "tr": "row", "td": "cell"}
        assert all(one.get("role") == roles[one.tag] for one in table.iter() if one.tag in roles)
    for region in tree.iter("div"):
        if region.get("role") == "region":
            assert region.get("tabindex") == "0"


@every
def test_charts_are_told_in_words(cases: dict[str, str], case: str) -> None:
    tree = read(cases[case])
    charts = list(tree.iter(f"{SVG}svg"))
    assert len(charts) == 2
    names = table_of(tree, "figures")["Paid at the start"]
    for chart in charts:
        title, desc = chart.find(f"{SVG}title"), chart.find(f"{SVG}desc")
        assert chart.get("role") == "img"
        assert title is not None
        assert desc is not None
        assert chart.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
        assert words(title)
        assert all(" ".join(name.split()) in words(desc) for name in names)


@every
def test_what_is_pointed_at_is_there_once(cases: dict[str, str], case: str) -> None:
    tree = read(cases[case])
    ids = [one.get("id") for one in tree.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    pointed = {name for one in tree.iter() for name in (one.get("aria-labelledby") or "").split()}
    assert pointed <= set(ids)


@every
def test_nothing_runs_and_nothing_loads(cases: dict[str, str], case: str) -> None:
    tree = read(cases[case])
    loud = (
        "script",
        "link",
        "iframe",
        "img",
        "image",
        "object",
        "embed",
        "form",
        "a",
        "base",
        "use",
        "foreignObject",
    )
    assert not [one.tag for one in tree.iter() if str(one.tag).rpartition("}")[2] in loud]
    for one in tree.iter():
        assert not [key for key in one.attrib if str(key).startswith("on") or key in NESTED], one.attrib
    styles = list(tree.iter("style"))
    assert len(styles) == 1
    css = styles[0].text or ""
    assert "url(" not in css
    assert "@import" not in css
    policy = [meta.get("content") for meta in tree.iter("meta") if meta.get("http-equiv")]
    assert policy == ["default-src 'none'; style-src 'unsafe-inline'"]


@every
def test_no_colour_but_the_charts_own_and_numbers_stand_in_styles(cases: dict[str, str], case: str) -> None:
    allowed = re.compile(r"--columns: \d+; --least: \d+ch|fill: #[0-9A-F]{6}")
    assert all(allowed.fullmatch(one.get("style")) for one in read(cases[case]).iter() if one.get("style"))


def test_names_and_texts_are_said_as_they_are(cases: dict[str, str]) -> None:
    tree = read(cases["hostile"])
    shown = words(tree)
    assert set(table_of(tree, "figures")["Paid at the start"]) == {" ".join(name.split()) for name in NAMES}
    assert words(next(tree.iter("h1"))) == words(next(tree.iter("title"))) == " ".join(TEXTS.split())
    assert SCRIPT in shown
    assert "{{ 7 * 7 }} {% if x %}" in shown
    assert "&amp; <b>" in shown


def test_the_demo_says_all_that_its_summary_says(demo: Comparison, cases: dict[str, str]) -> None:
    shown, said = words(read(cases["demo"])), told(demo)
    for sentence in (*said.answer, *said.changes, *said.assumed, said.by_line, said.so_far, *CAUTIONS):
        assert " ".join(sentence.split()) in shown
    assert said.changes
    assert "5 years from 2026-12, in EUR. Measured against: old servers." in shown
    for piece in ("at most 30 dB(A)", "missed: 6.8 dB(A) too much", "missed: 0.1 TB short from month 60"):
        assert piece in shown
    assert "invented for the demo (40 rows)" in shown


def test_first_the_sentence_then_the_chart_then_the_table(cases: dict[str, str]) -> None:
    text = cases["demo"]
    places = [
        text.index(piece) for piece in ('class="answer"', "<svg", 'id="figures-', 'id="needs-', 'id="cautions"')
    ]
    assert places == sorted(places)


def test_what_a_study_does_not_have_is_left_out(cases: dict[str, str]) -> None:
    shown = words(read(cases["alone"]))
    for heading in ("What would change the answer", "What is needed", "What each delivers"):
        assert heading not in shown
    assert "Room, within the fill limit" not in shown
    assert "where none" not in shown


def test_failures_that_are_not_stated_are_not_nothing(tmp_path: Path) -> None:
    lists = {"list0": "part,quantity,price,idle\nbox,1,100 EUR,5 W\n"}
    found = page(tco.compare(tco.load(study(tmp_path, ("a",), **lists))))
    assert table_of(read(found), "failing")["Expected to fail"]["a"] == (None, "not stated")


def test_growing_needs_say_so(tmp_path: Path) -> None:
    needs = "need,value\nusable,3 TB\nusable growth,5 %\n"
    found = page(tco.compare(tco.load(write_study(tmp_path, needs=needs))))
    assert "at least 3 TB at first, 5 % more a year" in words(read(found))


def test_the_same_study_gives_the_same_bytes(cases: dict[str, str]) -> None:
    assert page(tco.compare(tco.load(tco.demo()))) == cases["demo"]


@pytest.mark.parametrize("front", ["ink", "soft", "link"])
@pytest.mark.parametrize("back", ["paper", "tint"])
def test_letters_stand_out(front: str, back: str) -> None:
    """WCAG 2.1, success criterion 1.4.3 (from memory): at least 4.5 to 1."""
    colours = dict(re.findall(r"--(\w+): (#[0-9A-F]{6});", CSS))
    assert contrast(colours[front], colours[back]) >= 4.5


def test_letters_have_no_other_colours() -> None:
    used = set(re.findall(r"(?<![-\w])(?:color|fill): ([^;]+);", CSS)) - {"none"}
    assert used <= {"var(--ink)", "var(--soft)", "var(--link)"}


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Comparison:
    """A comparison that is soon written."""
    return tco.compare(tco.load(study(tmp_path_factory.mktemp("few"), ("a", "b"), months=6)))


def test_the_page_is_written_beside_the_others(few: Comparison, tmp_path: Path) -> None:
    written = tco.save(few, tmp_path, html=True)
    assert [path.name for path in written][-1] == "comparison.html"
    assert (tmp_path / "comparison.html").read_text(encoding="utf-8") == page(few)
    assert tco.save(few, tmp_path, html=True) == written
    other = tmp_path / "other"
    assert all(path.suffix != ".html" for path in tco.save(few, other))


def test_a_page_of_somebody_else_is_left_alone(few: Comparison, tmp_path: Path) -> None:
    theirs = tmp_path / "comparison.html"
    theirs.write_text("<!DOCTYPE html><title>mine</title>", encoding="utf-8")
    with pytest.raises(ResultError, match=r"comparison\.html: was not written by tco, so it is left alone"):
        tco.save(few, tmp_path, html=True)
    assert [path.name for path in tmp_path.iterdir()] == ["comparison.html"]
    assert "mine" in theirs.read_text(encoding="utf-8")
    tco.save(few, tmp_path)  # without the page nothing is in the way
    tco.save(few, tmp_path, html=True, replace=True)
    assert "mine" not in theirs.read_text(encoding="utf-8")


def test_the_command_writes_it(tmp_path: Path) -> None:
    result: Any = CliRunner().invoke(main, ["compare", "demo", "--html", "--out", str(tmp_path / "out")])
    assert result.exit_code == 0, result.output
    assert "comparison.html" in result.output
    assert (tmp_path / "out" / "comparison.html").stat().st_size > 10_000


def test_a_page_that_stands_there_follows_the_figures(few: Comparison, tmp_path: Path) -> None:
    """Results without the page asked for leave none with other figures beside them, nor make one where none stood."""
    (page_file,) = [path for path in tco.save(few, tmp_path, html=True) if path.suffix == ".html"]
    page_file.write_bytes(page_file.read_bytes().replace(b"</html>", b"older figures</html>"))
    assert page_file in tco.save(few, tmp_path)
    assert b"older figures" not in page_file.read_bytes()
    assert not any(path.suffix == ".html" for path in tco.save(few, tmp_path / "other"))
