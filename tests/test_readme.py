"""The README is held to the code: its commands exist, its example runs, its pictures and links are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tco.cli import main

ROOT = Path(__file__).parent.parent
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_job_in_one_paragraph_then_two_commands() -> None:
    assert re.match(r"# tco\n\n`tco` compares [^#]*\n\n## Two commands\n", TEXT)
    shell = re.findall(r"```sh\n(.*?)```", TEXT, re.DOTALL)
    assert [len(block.strip().splitlines()) for block in shell] == [1, 1]
    assert all(block.startswith("python3 -m venv .venv && ") for block in shell)


def test_the_table_of_commands_is_complete() -> None:
    assert sorted(re.findall(r"^\| `tco (\w+)", TEXT, re.MULTILINE)) == sorted(main.commands)


def test_the_python_example_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    example = re.search(r"```python\n(.*?)```", TEXT, re.DOTALL)
    assert example
    found: dict[str, object] = {}
    exec(example.group(1), found)
    assert list(found["lines"].columns) == ["scenario", "line", "month", "value", "unit"]  # type: ignore[attr-defined]
    assert list(found["measures"].columns) == ["scenario", "measure", "value", "unit"]  # type: ignore[attr-defined]
    assert (tmp_path / "out" / "comparison.xlsx").exists()


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_links_and_pictures_are_there(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    targets = [target for target in re.findall(r"\]\(([^)#]+)\)", text) if "://" not in target]
    missing = [target for target in targets if not (ROOT / target).exists()]
    assert not missing


def test_ci_finds_the_test_command() -> None:
    assert "<!-- test command -->\n```sh\n" in TEXT
