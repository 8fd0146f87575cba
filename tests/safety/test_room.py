"""Where nothing can be written: full disks, limits, folders of others; and where two runs write at once."""

from __future__ import annotations

import contextlib
import fcntl
import os
import re
import shutil
import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

import tco
from tco import whole
from tco.errors import ResultError
from tco.write.results import write_results
from tests.hostile import study
from tests.safety.runs import LONG, Ended, contents, litter
from tests.safety.worlds import World, check_stopped, results

pytestmark = pytest.mark.skipif(not hasattr(os, "fork") or not Path("/proc").exists(), reason="needs fork and /proc")
NOBODY = 65534
WRITING = ["compare", "reprice --write", "reprice", "simulate"]
as_root = pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root may mount a disk")


@contextlib.contextmanager
def small_disk(place: Path, size: int) -> Iterator[None]:
    """A disk of so many bytes in the place of a folder, with what the folder had; skips where none can be."""
    kept = contents(place)
    words = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(place)]
    if subprocess.run(words, capture_output=True, check=False).returncode:
        pytest.skip("no disk can be mounted here")
    try:
        for name, content in kept.items():
            (place / name).parent.mkdir(parents=True, exist_ok=True)
            (place / name).write_bytes(content)
        yield
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def rounded(size: int) -> int:
    """As a disk counts, in blocks."""
    return -(-size // 4096) * 4096


@as_root
@pytest.mark.parametrize("name", WRITING)
def test_a_full_disk_leaves_all_as_it_was(name: str, every: dict[str, World]) -> None:
    """From no room at all to just enough; what is in the way of the last block is told."""
    own, seen = every[name], set[str]()
    folder = own.fresh()
    place = folder / results(own.words)
    used = sum(rounded(len(content)) for content in contents(place).values())
    need = sum(rounded(len(content)) for content in own.after.values() if content not in own.before.values())
    for share in (0.0, 0.03, 0.2, 0.6, 0.9, 1.0, 1.3, 4.0) if not LONG else [n / 60 for n in range(240)]:
        folder = own.fresh()
        with small_disk(place, rounded(used + 8192 + int(need * share))):
            ended = own.warm.run(own.words, folder)
            assert ended.code in (0, 2), ended
            assert ended.code == 0 or "No space left on device" in ended.wrong
            seen.add(check_stopped(own, folder, ended))
    assert seen == {"old", "done"}


@as_root
def test_a_full_disk_with_the_study_on_it(every: dict[str, World]) -> None:
    own = every["reprice --write"]
    folder = own.fresh()
    used = sum(rounded(len(content)) for content in contents(folder / "billed").values())
    for blocks in (0, 1, 3, 5, 7, 40):
        folder = own.fresh()
        with small_disk(folder / "billed", used + blocks * 4096):
            ended = own.warm.run(own.words, folder)
            assert ended.code == 0 or "No space left on device" in ended.wrong
            assert check_stopped(own, folder, ended) == ("done" if blocks == 40 else "old"), (blocks, ended)


@pytest.mark.parametrize("name", WRITING)
def test_a_limit_to_the_size_of_files(name: str, every: dict[str, World]) -> None:
    own = every[name]
    changed = {len(content) for place, content in own.after.items() if own.before.get(place) != content}
    for largest in (1000, sorted(changed)[len(changed) // 2] - 1, max(changed) - 1):
        folder = own.fresh()
        ended = own.warm.run(own.words, folder, largest=largest, log="")
        assert (ended.code, "File too large" in ended.wrong) == (2, True), ended
        assert check_stopped(own, folder, ended) == "old"


def as_another(own: World, folder: Path, words: tuple[str, ...]) -> Ended:
    """A run of a user who owns nothing here but the folder for temporary files; not root, who may write anywhere."""
    (folder / "temporary").mkdir(exist_ok=True)
    if os.geteuid() == 0:
        os.chown(folder / "temporary", NOBODY, NOBODY)
    return own.warm.run(words, folder, log="", uid=NOBODY if os.geteuid() == 0 else 0)


@pytest.mark.parametrize("name", WRITING)
@pytest.mark.parametrize("what", ["the folder", "one to be made", "one nobody may look into"])
def test_a_folder_that_may_not_be_written_to(name: str, what: str, every: dict[str, World]) -> None:
    own = every[name]
    folder = own.fresh()
    place = folder / results(own.words)
    if what == "one to be made":
        shutil.rmtree(place)
    before = contents(folder)
    locked = folder if what == "one to be made" else place
    locked.chmod(0o000 if what == "one nobody may look into" else 0o555)
    try:
        if what == "one to be made":
            (folder / "temporary").mkdir(exist_ok=True)
        ended = as_another(own, folder, own.words)
    finally:
        locked.chmod(0o755)
    assert (ended.code, ended.told) == (2, ""), ended
    assert re.search("Permission denied|may not be written to|is not readable", ended.wrong), ended
    assert "Traceback" not in ended.wrong
    assert contents(folder) == before
    assert not litter(folder)


def test_a_study_that_may_not_be_written_to(every: dict[str, World]) -> None:
    """Its results could be written, and are not."""
    own = every["reprice --write"]
    folder = own.fresh()
    (folder / results(own.words)).chmod(0o777)
    (folder / "billed").chmod(0o555)
    try:
        ended = as_another(own, folder, own.words)
    finally:
        (folder / "billed").chmod(0o755)
    assert (ended.code, ended.told) == (2, ""), ended
    assert "billed" in ended.wrong
    assert contents(folder) == own.before
    assert not litter(folder)


def test_two_comparisons_into_one_folder(every: dict[str, World]) -> None:
    """Both say that they wrote; what stands there is of one of them, whole."""
    own = every["compare"]
    first = ("compare", "one", "--out", "compared", "--html")
    wanted = [
        {name: content for name, content in one.items() if "compared/" in name} for one in (own.before, own.after)
    ]
    seen = set()
    for number in range(LONG or 4):
        folder = own.fresh()
        pair = (own.words, first) if number % 2 else (first, own.words)
        ended = own.warm.run(pair[0], folder, beside=list(pair[1]))
        assert (ended.code, ended.wrong, ended.beside) == (0, "", (0, "")), ended
        found = {name: content for name, content in contents(folder).items() if "compared/" in name}
        assert found in wanted
        assert not litter(folder)
        seen.add(wanted.index(found))
    assert seen


def test_two_prices_for_one_study(every: dict[str, World]) -> None:
    """Each is in the study whole or is refused; and the results are of the last one."""
    own = every["reprice"]
    one, other = (
        ("reprice", "one", "--price", f"0.{digit}5 EUR/kWh", "--from", f"2027-0{digit}", "--out", "copied", "--write")
        for digit in (3, 4)
    )
    for number in range(LONG or 3):
        folder = own.fresh()
        pair = (one, other) if number % 2 else (other, one)
        ended = own.warm.run(pair[0], folder, beside=list(pair[1]))
        codes = (ended.code, ended.beside[0])
        assert sorted(codes) in ([0, 0], [0, 2]), ended
        told = ended.wrong + ended.beside[1]
        assert (2 in codes) == ("was changed while tco was at work; nothing was written" in told)
        table = (folder / "one" / "tariffs.csv").read_text()
        for code, words in zip(codes, pair, strict=True):
            assert (f"flat,{words[5]},{words[3]}" in table) == (code == 0)
        assert not litter(folder)
        assert own.warm.run(("check", "one"), folder).code == 0


def test_another_run_is_waited_for_but_not_for_ever(
    every: dict[str, World], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody keeps the folder; then Ctrl-C while a run waits for it."""
    comparison = tco.compare(tco.load(study(tmp_path / "study", ("a", "b"), months=6)))
    out = tmp_path / "out"
    out.mkdir()
    own = every["compare"]
    folder = own.fresh()
    with locked(out), locked(folder / "compared"):
        monkeypatch.setattr(whole, "PATIENCE", 0.2)
        with pytest.raises(ResultError, match=r"another run of tco has been at work here for more than 0 seconds"):
            write_results(comparison, out)
        ended = own.warm.stopped(own.words, folder, [(own.ended.seconds + 1.5, signal.SIGINT)])
    assert (ended.code, ended.wrong[:7]) == (1, "stopped"), ended
    assert check_stopped(own, folder, ended) == "old"
    assert contents(out) == {}
    write_results(comparison, out)


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """A folder that is kept, as a run keeps it."""
    file = os.open(folder, os.O_RDONLY)
    fcntl.flock(file, fcntl.LOCK_EX)
    try:
        yield
    finally:
        os.close(file)
