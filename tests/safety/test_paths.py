"""Paths that lead out of a study, links planted where files go, names too long, workbooks made to do harm."""

from __future__ import annotations

import io
import os
import resource
import subprocess
import sys
import time
import zipfile
import zlib
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import tco
from tco.cli import main
from tco.errors import ResultError, StudyError
from tco.journal import JOURNAL, Journal, Move, content_of, left_in
from tco.whole import mend
from tests.hostile import study
from tests.read.test_xlsx import write_book
from tests.safety.runs import ROOT, contents

CLIMBING = (
    "../x.csv", "a/../../x.csv", "./x.csv", "a//x.csv", "/etc/x.csv", "C:\\x.csv", "C:x.csv", "~/x.csv/../y.csv",
    "\\\\server\\share\\x.csv", "//server/share/x.csv", "..\\x.csv", "..", ".", "a/", "file:///etc/x.csv",
    "x.csv ./../y.csv", "x.csv::$DATA",
)  # fmt: skip
PLAIN = ("~.csv", "%2e%2e%2fx.csv", "..csv", "x..csv", "...csv", "$HOME.csv", "x.csv", "-x.csv", "ü/x.csv")
PRICE = ("--price", "0.55 EUR/kWh", "--from", "2027-03")


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def refused(*words: str | Path) -> str:
    result = run(*words)
    assert result.exit_code == 2, (result.output, result.exception)
    assert isinstance(result.exception, SystemExit)
    assert result.stdout == ""
    return " ".join(result.stderr.split())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return study(tmp_path / "study", ("one", "two"), question="Which?", months=6)


def named(folder: Path, name: str, column: str) -> None:
    """Let the first scenario's parts list, or a node's log, be called so."""
    if column == "parts list":
        table = folder / "scenarios.csv"
        table.write_text(table.read_text().replace("list0.csv", f'"{name}"', 1))
    else:
        (folder / "nodes.csv").write_text(f'scenario,node,count,log\none,box,1,"{name}"\n')


@pytest.mark.parametrize("column", ["parts list", "log"])
@pytest.mark.parametrize("name", CLIMBING)
def test_no_table_of_a_study_is_read_from_outside(name: str, column: str, folder: Path, tmp_path: Path) -> None:
    """Not even where there is such a file."""
    for place in (tmp_path, folder):
        (place / "x.csv").write_text("secret,row\nhidden,1\n")
        (place / "y.csv").write_text("secret,row\nhidden,1\n")
    named(folder, name, column)
    told = refused("check", folder)
    assert "write a plain file name inside the study's folder" in told or "a table's name ends in .csv" in told
    assert "hidden" not in told


@pytest.mark.parametrize("name", PLAIN)
def test_names_are_names_and_nothing_is_made_of_them(name: str, folder: Path) -> None:
    """No home folder, no percent signs decoded, no variables."""
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / "list0.csv").rename(folder / name)
    named(folder, name, "parts list")
    assert run("check", folder).exit_code == 0


LINKS = {
    "out of it": lambda place: place.symlink_to("../secret.csv"),
    "to itself": lambda place: place.symlink_to(place.name),
    "to a device": lambda place: place.symlink_to("/dev/zero"),
    "to nothing": lambda place: place.symlink_to("nowhere"),
    "to a folder": lambda place: place.symlink_to("."),
    "no link but a pipe": lambda place: os.mkfifo(place),
}


@pytest.mark.parametrize("name", ["list0.csv", "study.csv", "scenarios.csv", "stranger.csv", "tariffs.csv"])
@pytest.mark.parametrize("kind", LINKS)
def test_links_in_a_study_are_not_followed_out_of_it(kind: str, name: str, folder: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.csv").write_text("secret,row\nhidden,1\n")
    (folder / name).unlink(missing_ok=True)
    LINKS[kind](folder / name)
    told = refused("check", folder)
    assert name in told
    assert "hidden" not in told
    assert "secret" not in told.replace("secret.csv", "")


@pytest.mark.parametrize("command", ["compare", "reprice", "simulate"])
def test_a_study_by_way_of_a_link_is_that_study(command: str, folder: Path, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(folder)
    more = PRICE if command == "reprice" else ("--draws", "100") if command == "simulate" else ()
    assert run(command, tmp_path / "link", *more, "--out", tmp_path / "out").exit_code == 0
    assert "is the study itself" in refused(command, tmp_path / "link", *more, "--out", folder)


PLACES = ("comparison.xlsx", "lines.csv", "replacements.csv")


@pytest.mark.parametrize("name", PLACES)
@pytest.mark.parametrize("kind", ["out of it", "to itself", "to a device", "to nothing"])
def test_nothing_is_written_through_a_link(kind: str, name: str, folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (tmp_path / "secret.csv").write_text("mine")
    LINKS[kind](out / name)
    target = os.readlink(out / name)
    assert f"{name}: is a link, which tco did not make, so it is left alone" in refused(
        "compare", folder, "--out", out
    )
    assert (os.readlink(out / name), os.listdir(out)) == (target, [name])
    assert run("compare", folder, "--out", out, "--replace").exit_code == 0
    assert not (out / name).is_symlink()
    assert (tmp_path / "secret.csv").read_text() == "mine"
    assert not (out / "nowhere").exists()


@pytest.mark.parametrize("kind", ["to a folder", "to itself", "to nothing", "out of it"])
def test_no_copy_of_a_study_goes_through_a_link(kind: str, folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    LINKS[kind](out / "study")
    for more in ((), ("--replace",)):
        assert "study: is a link, which tco did not make" in refused("reprice", folder, *PRICE, "--out", out, *more)
    assert os.listdir(out) == ["study"]


def test_a_link_that_was_replaced_comes_back_where_the_run_fails(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, rename = tmp_path / "out", os.replace
    out.mkdir()
    (out / "lines.csv").symlink_to("../secret.csv")
    (tmp_path / "secret.csv").write_text("mine")

    def fail(one: Path, other: Path) -> None:
        if Path(other).name == "measures.csv":
            raise OSError(5, "Input/output error", str(other))
        rename(one, other)

    monkeypatch.setattr(os, "replace", fail)
    assert "Input/output error" in refused("compare", folder, "--out", out, "--replace")
    assert os.readlink(out / "lines.csv") == "../secret.csv"
    assert os.listdir(out) == ["lines.csv"]
    assert (tmp_path / "secret.csv").read_text() == "mine"


@pytest.mark.parametrize("kind", ["no link but a pipe", "a folder"])
def test_what_is_no_file_is_in_the_way(kind: str, folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "lines.csv").mkdir() if kind == "a folder" else os.mkfifo(out / "lines.csv")
    assert "in the way" in refused("compare", folder, "--out", out)
    assert "in the way" in refused("compare", folder, "--out", out, "--replace")


@pytest.mark.parametrize("kind", ["to a folder", "to itself", "to nothing", "to a device", "out of it"])
def test_links_called_like_folders_of_a_run_do_no_harm(kind: str, folder: Path, tmp_path: Path) -> None:
    """What somebody else has planted is neither followed nor taken for our own, in results and in studies."""
    out = tmp_path / "out"
    out.mkdir()
    (tmp_path / "secret.csv").write_text("mine")
    for place in (out, folder):
        LINKS[kind](place / ".tco-planted")
    assert run("compare", folder, "--out", out).exit_code == 0
    assert run("reprice", folder, *PRICE, "--out", out / "r", "--write").exit_code == 0
    assert (tmp_path / "secret.csv").read_text() == "mine"
    assert (out / "lines.csv").exists()
    assert (folder / "study.csv").exists()


def test_a_journal_that_came_with_a_study_changes_nothing_outside_it(folder: Path, tmp_path: Path) -> None:
    """As a downloaded study may bring one: it names files elsewhere, and another folder as its fellow."""
    mine, out = tmp_path / "mine.csv", tmp_path / "out"
    mine.write_text("mine")
    (out / ".tco-b").mkdir(parents=True)
    (out / "lines.csv").write_text("scenario,mine\n")
    work = folder / ".tco-a"
    work.mkdir()
    (work / "earlier mine.csv").write_text("theirs")
    (work / "earlier lines.csv").write_text("theirs")
    moves = (
        Move(work / "mine.csv", mine, content_of(mine), True),
        Move(work / "x", folder / ".." / "mine.csv", content_of(mine), False),
        Move(out / ".tco-b" / "lines.csv", out / "lines.csv", content_of(out / "lines.csv"), False),
    )
    (work / JOURNAL).write_text(Journal((work, out / ".tco-b"), moves).text)
    assert [len(one.moves) for one in left_in(folder)] == [0]
    before = contents(out)
    assert run("check", folder).exit_code == 0
    assert mine.read_text() == "mine"
    assert contents(out) == before
    assert not work.exists()


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"works": []}', '{"works": [1], "moves": 2}', "\x00"])
def test_a_journal_that_is_none_is_cleared_away(text: str, folder: Path) -> None:
    (folder / ".tco-a").mkdir()
    (folder / ".tco-a" / JOURNAL).write_text(text)
    before = contents(folder)
    mend(folder)
    assert contents(folder) == before
    assert run("check", folder).exit_code == 0


OUTS = {
    "a link to itself": "is no place for a folder",
    "a name of 300 signs": "is no place for a folder",
    "a name of 5,000 signs": "is no place for a folder",
    "a file": "is a file, and results need a folder",
    "below a file": "file: is a file, and results need a folder",
    "a link to nothing": "is a link that leads nowhere, and results need a folder",
    "below a link to nothing": "dangling: is a link that leads nowhere, and results need a folder",
    "a device": "is a file, and results need a folder",
}


@pytest.mark.parametrize("what", OUTS)
def test_places_for_results_that_are_none(what: str, folder: Path, tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "dangling").symlink_to("nowhere")
    (tmp_path / "file").write_text("x")
    place = {
        "a link to itself": tmp_path / "loop", "a name of 300 signs": tmp_path / ("x" * 300),
        "a name of 5,000 signs": tmp_path / ("x" * 5000), "a file": tmp_path / "file", "a device": Path("/dev/null"),
        "below a file": tmp_path / "file" / "x", "a link to nothing": tmp_path / "dangling",
        "below a link to nothing": tmp_path / "dangling" / "x",
    }[what]  # fmt: skip
    before = contents(tmp_path)
    for words in (("compare", folder), ("reprice", folder, *PRICE), ("simulate", folder, "--draws", "100")):
        assert OUTS[what] in refused(*words, "--out", place)
    assert contents(tmp_path) == before
    with pytest.raises(ResultError, match="is no place for a folder"):
        tco.save(tco.compare(tco.load(folder)), tmp_path / "a\0b")


def test_results_by_way_of_a_link_go_where_it_leads(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    (tmp_path / "link").symlink_to("far")
    assert run("compare", folder, "--out", tmp_path / "link").exit_code == 0
    assert (tmp_path / "far" / "comparison.xlsx").exists()
    assert (tmp_path / "link").is_symlink()


@pytest.mark.parametrize("size", [255, 300, 5000])
def test_names_that_are_too_long_are_told_briefly(size: int, folder: Path, tmp_path: Path) -> None:
    for words in (("check", tmp_path / ("x" * size)), ("explain", folder, "x" * size, "lcc")):
        assert len(refused(*words)) < size + 400
    named(folder, "x" * size + ".csv", "parts list")
    assert len(refused("check", folder)) < 500
    with pytest.raises(StudyError):
        tco.load(tmp_path / "a\0b")


def test_names_of_200_signs_stand_everywhere(tmp_path: Path) -> None:
    names = tuple(sign * 199 + end for sign, end in (("x", "1"), ("x", "2"), ("家", "1"), ("é", "1")))
    folder = study(tmp_path / "study", names, question="W" * 2000, months=6)
    assert run("compare", folder, "--out", tmp_path / "out", "--html").exit_code == 0
    text = (tmp_path / "out" / "measures.csv").read_text(encoding="utf-8")
    assert all(name in text for name in names)


def packed(parts: dict[str, bytes], path: Path) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in parts.items():
            book.writestr(name, content)
    return path


def parts_of(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as book:
        return {name: book.read(name) for name in book.namelist()}


LAUGHS = b'<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a "ha">' + b"".join(
    f'<!ENTITY {after} "{f"&{before};" * 10}">'.encode() for before, after in zip("abcdefgh", "bcdefghi", strict=True)
)
OUTSIDE = b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>'
ATTACKS = {
    "billion laughs": ("xl/worksheets/sheet2.xml", lambda raw: LAUGHS + b"]>" + raw),
    "external entity": ("xl/worksheets/sheet1.xml", lambda raw: OUTSIDE + raw),
    "external entity in UTF-16": (
        "xl/workbook.xml",
        lambda raw: b"\xff\xfe" + raw.decode().replace("<workbook", "<!DOCTYPE x [<!ENTITY e 'e'>]><workbook", 1)
        .replace("UTF-8", "UTF-16").encode("utf-16-le"),
    ),
    "a small entity in another charset": (
        "xl/workbook.xml",
        lambda raw: b'<?xml version="1.0" encoding="utf-7"?>' + raw.partition(b"?>")[2].replace(b"<", b"+ADw-"),
    ),
    "deep nesting": ("xl/worksheets/sheet2.xml", lambda _: b"<a>" * 300_000),
    "a part of 2 GB": ("xl/worksheets/sheet1.xml", None),
    "a part that says it is small": ("xl/sharedStrings.xml", None),
}  # fmt: skip


def bomb(path: Path, name: str, *, said: int) -> None:
    """A part of zeros, 100 MB of them, that says its size is `said`."""
    squeeze = zlib.compressobj(9, zlib.DEFLATED, -15)
    body = b"".join(squeeze.compress(b"\0" * 1_000_000) for _ in range(100)) + squeeze.flush()
    parts = parts_of(path)
    parts[name] = b"x" * 10
    packed(parts, path)
    raw = bytearray(path.read_bytes())
    with zipfile.ZipFile(io.BytesIO(bytes(raw))) as book:
        info = book.getinfo(name)
    head = info.header_offset + 30 + len(name.encode())
    raw[head : head + info.compress_size] = body
    shift = len(body) - info.compress_size
    central = raw.index(b"PK\x01\x02")
    at = raw.index(name.encode(), central) - 46
    local = info.header_offset
    for start, value in ((local + 18, len(body)), (local + 22, said), (at + 20, len(body)), (at + 24, said)):
        raw[start : start + 4] = value.to_bytes(4, "little")
    entry = central
    while raw[entry : entry + 4] == b"PK\x01\x02":  # parts behind it stand further back now
        offset = int.from_bytes(raw[entry + 42 : entry + 46], "little")
        if offset > info.header_offset:
            raw[entry + 42 : entry + 46] = (offset + shift).to_bytes(4, "little")
        entry += 46 + sum(int.from_bytes(raw[entry + n : entry + n + 2], "little") for n in (28, 30, 32))
    end = raw.index(b"PK\x05\x06")
    raw[end + 16 : end + 20] = central.to_bytes(4, "little")
    path.write_bytes(bytes(raw))


@pytest.mark.parametrize("attack", ATTACKS)
def test_a_workbook_made_to_do_harm_is_refused_quickly_and_in_little_memory(attack: str, tmp_path: Path) -> None:
    path = write_book(tmp_path / "s.xlsx")
    name, change = ATTACKS[attack]
    if change is None:
        bomb(path, name, said=2_000_000_000 if attack == "a part of 2 GB" else 1000)
    else:
        parts = parts_of(path)
        packed(parts | {name: change(parts[name])}, path)
    limit = 1_500_000_000  # bytes of address space, most of it for the libraries

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (limit, limit))

    begun = time.monotonic()
    ran = subprocess.run(
        [sys.executable, "-m", "tco", "check", str(path)], capture_output=True, text=True, check=False, cwd=ROOT,
        preexec_fn=small, env={**os.environ, "OPENBLAS_NUM_THREADS": "1"}, timeout=120,
    )  # fmt: skip
    assert ran.returncode == 2, ran
    assert "Traceback" not in ran.stderr
    assert "root:" not in ran.stderr
    assert f"{path}: " in ran.stderr
    assert len(ran.stderr) < 1000
    assert time.monotonic() - begun < 60


@pytest.mark.parametrize("name", ["../../evil.xml", "/etc/evil.xml", "C:\\evil.xml", "xl/../../evil.xml"])
def test_parts_that_climb_out_of_a_workbook_are_not_unpacked(name: str, tmp_path: Path) -> None:
    """A workbook is read in memory, so such a part is passed over; the study is read as it is."""
    (tmp_path / "deep" / "er").mkdir(parents=True)
    path = write_book(tmp_path / "deep" / "er" / "s.xlsx")
    before = contents(tmp_path)
    with zipfile.ZipFile(path, "a") as book:
        book.writestr(name, b"<x/>")
    assert run("check", path).exit_code == 0
    assert contents(tmp_path).keys() == before.keys()


def test_relations_that_lead_out_of_a_workbook_are_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.xml").write_text("<worksheet>hidden</worksheet>")
    path = write_book(tmp_path / "s.xlsx")
    parts = parts_of(path)
    name = "xl/_rels/workbook.xml.rels"
    for target in (b"../../secret.xml", f"file://{tmp_path}/secret.xml".encode(), b"http://a.invalid/x.xml"):
        packed(parts | {name: parts[name].replace(b"/xl/worksheets/sheet2.xml", target)}, path)
        assert "hidden" not in refused("check", path)
