"""The guide's walks are run as they stand, in order; the glossary and the generated pages are held to the code."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

import tco
from tco.cli import main
from tco.cli import page as commands
from tco.model import LINES
from tests import pictures

ROOT = Path(__file__).parent.parent
GUIDE = (ROOT / "data" / "guide.md").read_text(encoding="utf-8")
GLOSSARY = (ROOT / "data" / "glossary.md").read_text(encoding="utf-8")
ANY = "…"  # stands for what is left out


def walks() -> dict[str, str]:
    """Heading -> text of each walk."""
    _, *parts = re.split(r"^## ", GUIDE, flags=re.MULTILINE)
    return {part.splitlines()[0]: part for part in parts}


def steps(walk: str) -> Iterator[tuple[list[str], str]]:
    """Each block of commands, and the answer that is printed under it."""
    for match in re.finditer(r"```sh\n(.*?)```(?:\n*```text\n(.*?)```)?", walk, re.DOTALL):
        yield match.group(1).strip().splitlines(), match.group(2) or ""


def pattern(answer: str) -> str:
    """An answer as printed, as a regular expression; how it is cut into lines does not count."""
    return ".*?".join(r"\s+".join(map(re.escape, piece.split())) for piece in answer.split(ANY))


def test_the_walks_are_numbered() -> None:
    assert [heading[:2] for heading in walks()] == ["1.", "2.", "3.", "4.", "5.", "6."]
    assert GUIDE.count("```text") >= 7


@pytest.mark.parametrize("heading", walks())
def test_a_walk_does_what_it_says(heading: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for lines, answer in steps(walks()[heading]):
        output = ""
        for command in lines:
            name, *words = shlex.split(command)
            assert name == "tco"
            result = CliRunner().invoke(main, words)
            assert result.exit_code == 0, f"{command}: {result.output}"
            output += result.stdout
        assert re.search(pattern(answer), output, re.DOTALL), f"{lines}: {output[:3000]}"


def test_files_that_the_walks_name_are_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    CliRunner().invoke(main, ["compare", "demo", "--html", "--out", "for-both"])
    assert (tmp_path / "for-both" / "comparison.html").stat().st_size > 5000
    assert (tmp_path / "for-both" / "comparison.xlsx").exists()


def terms() -> list[str]:
    """The words that the glossary explains."""
    return re.findall(r"\*\*(.+?)\*\*", GLOSSARY)


def test_each_word_has_one_meaning() -> None:
    assert len(terms()) == len(set(terms()))
    assert len(terms()) > 60


def test_every_cost_line_is_in_the_glossary() -> None:
    missing = [line.label for line in LINES if not any(term in line.label.lower() for term in terms())]
    assert missing == []


def test_the_page_of_commands_is_what_they_say_now() -> None:
    """If this fails: python -m tco.cli.page."""
    assert (ROOT / "data" / "commands.md").read_text(encoding="utf-8") == commands.page()


@pytest.mark.skipif(not pictures.NOTE.exists(), reason="the pictures have not been made yet")
def test_the_pictures_show_what_the_demo_says_now() -> None:
    """If this fails: python -m tests.pictures."""
    assert pictures.NOTE.read_text(encoding="utf-8").strip() == pictures.made_of(tco.compare(tco.load(tco.demo())))
    assert all(path.stat().st_size > 10_000 for path in pictures.FOLDER.glob("*.png"))


@pytest.mark.parametrize("page", sorted(path.name for path in (ROOT / "data").glob("*.md")))
def test_links_between_pages_lead_somewhere(page: str) -> None:
    text = (ROOT / "data" / page).read_text(encoding="utf-8")
    targets = [target for target in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in target]
    assert [target for target in targets if not (ROOT / "data" / target).exists()] == []
