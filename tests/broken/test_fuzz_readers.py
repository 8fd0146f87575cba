"""Mutants of good studies are read or refused with a place; what is read is what the cell plainly says, and no more.

The same seeds each time; a long run takes others: TCO_FUZZ=1200 pytest tests/broken/test_fuzz_readers.py
"""

from __future__ import annotations

import csv
import io
import math
import re
import tempfile
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from tco.cell import Cell
from tco.errors import StudyError
from tco.read import load
from tco.read.columns import tables
from tco.read.settings import WORDS, known
from tco.read.tables import cells
from tco.read.values import NUMERIC
from tco.read.words import plain
from tco.study import Part, Row, Study
from tests.broken.fuzzing import lean, quick, rounds
from tests.broken.mutate import CELLS, KINDS, NUMBER, Mutant, mutant, seeds, write
from tests.broken.plain import DERIVED, Key, NotPlain, may_be, read_as
from tests.broken.sheet import Sheet, sheet
from tests.broken.spots import EXTRA

LOGS = ("plug.csv", "meter.csv")


def loaded(one: Mutant) -> Study | None:
    """The study of a mutant; None where it is refused, in the right form."""
    with tempfile.TemporaryDirectory() as root:
        folder = write(one, Path(root) / "study")
        try:
            with quick(one.how):
                return load(folder, EXTRA)
        except StudyError as error:
            check_told(one, error, folder)
            return None


def check_told(one: Mutant, error: StudyError, folder: Path) -> None:
    """Each problem stands in a file of the study, on a line of it, and says something."""
    for place, message in error.found:
        known_file = place.file in one.files or place.file in tables() or place.file == str(folder)
        known_file = known_file or place.file.startswith("reference/")  # curves that the study leans on
        assert known_file, f"{place}: {message}: {one.how}"
        raw = one.files.get(place.file, b"")
        most = len(re.findall(rb"\r\n?|\n", raw.replace(b"\0", b""))) + 1
        assert place.line <= most or place.file.startswith("reference/"), f"{place}: {message}: {one.how}"
        assert len(message) > 8, f"{place}: {message}: {one.how}"
        assert message.replace("\u00a0", " ").isprintable(), f"{place}: {message!r}: {one.how}"
        own_words = re.sub(r"'[^']*'|known: .*", "", message)  # without what the study says
        assert re.search(r"\b(nan|inf|None)\b", own_words) is None, f"{place}: {message}: {one.how}"


@cache
def good(study: str) -> tuple[Study, Mapping[Key, Any]]:
    """A study before it is changed, and the values of its cells."""
    found = loaded(Mutant(study, seeds()[study]))
    assert found is not None
    return found, read_as(found)


def kind_of(file: str) -> type[Row]:
    return tables().get(file, Part)


def cell_at(own: Sheet, row: int, column: int) -> tuple[Key, Cell, str] | None:
    """Which field a cell of a table is, how it is declared, the unit of its header; None where it is no value."""
    kind = kind_of(own.file)
    if kind in WORDS:
        specs = known(kind, EXTRA.get(kind, {}))
        name = {plain(name): name for name in specs}.get(plain(own.rows[row][0]))
        return ((kind.__name__, own.file, name), specs[name], "") if name and column == 1 else None
    head, _, unit = own.header[column].partition("[")
    specs = cells(kind, EXTRA.get(kind, {}))
    name = {plain(name): name for name in specs}.get(plain(head))
    return ((kind.__name__, own.place(row), name), specs[name], unit.strip(" ]")) if name else None


def check_cell(one: Mutant, found: Study) -> None:
    """One changed cell is read as it plainly says, and changes its own field only."""
    if one.cell is None or one.cell[0] in LOGS:
        return
    file, row, column = one.cell
    own = sheet(file, one.files[file].decode("utf-8", "surrogatepass"))
    at = cell_at(own, row, column)
    before, now = good(one.study)[1], read_as(found)
    text = own.rows[row][column]
    if at is not None and at[0] in now and text.strip():
        value = now[at[0]]
        assert may_be(text, at[1], at[2], value, found), f"{text!r} was read as {value!r}: {one.how}"
    same_lines = one.files[file].count(b"\n") == seeds()[one.study][file].count(b"\n") and "\r" not in text
    if same_lines and file != "exchange.csv":
        other = {
            key: (before[key], now[key])
            for key in before.keys() & now.keys()
            if (at is None or key != at[0]) and before[key] != now[key] and (key[0], key[2]) not in DERIVED
        }
        assert not other, f"{other} changed as well: {one.how}"
        if at is not None and at[1].kind in NUMERIC:
            assert before.keys() == now.keys(), f"rows came or went: {one.how}"


def test_a_changed_cell_is_read_as_it_says_or_refused() -> None:
    accepted = 0
    with lean():
        for seed in rounds("cell", 1000):
            one = mutant(seed, kinds=CELLS)
            found = loaded(one)
            if found is not None:
                accepted += 1
                try:
                    check_cell(one, found)
                except (AssertionError, NotPlain, ValueError) as error:
                    raise AssertionError(f"{seed}: {one.how}: {error!r}") from None
    assert accepted > 150


def test_whatever_is_changed_a_study_or_its_problems() -> None:
    with lean():
        for number, seed in enumerate(rounds("any", 500)):
            try:
                loaded(mutant(seed, changes=1 + number % 3))
            except Exception as error:
                raise AssertionError(f"{seed}: {mutant(seed, changes=1 + number % 3).how}: {error!r}") from error


def rewritten(own: Sheet, luck: Random) -> tuple[str, bytes]:
    """The same table in another form of file."""
    how = luck.choice([*FORMS])
    return how, FORMS[how](own, luck)


def separated(own: Sheet, mark: str, quoting: int = csv.QUOTE_MINIMAL, end: str = "\n") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=mark, lineterminator=end, quoting=quoting).writerows(own.rows)  # type: ignore[arg-type]
    return out.getvalue()


def shuffled(own: Sheet, luck: Random) -> bytes:
    order = luck.sample(range(len(own.header)), len(own.header))
    return Sheet(own.file, tuple(tuple(cells[at] for at in order) for cells in own.rows)).text.encode()


def in_capitals(own: Sheet, _: Random) -> bytes:
    names = [name if "[" in name else name.upper().replace(" ", "_") for name in own.header]
    return own.with_row(0, names).text.encode()


def with_comma(own: Sheet, _: Random) -> bytes:
    """Decimal commas, in numbers that have decimals; cells by semicolons."""
    rows = [own.header]
    for row, old in enumerate(own.rows[1:], 1):
        kinds = [cell_at(own, row, column) for column in range(len(old))]
        texts = (
            re.sub(r"\A(-?[0-9]+)\.([0-9]+)", r"\1,\2", text) if at and at[1].kind in NUMERIC else text
            for text, at in zip(old, kinds, strict=True)
        )
        rows.append(tuple(texts))
    return separated(Sheet(own.file, tuple(rows)), ";").encode()


FORMS: Mapping[str, Callable[[Sheet, Random], bytes]] = {
    "as UTF-16": lambda own, _: own.text.encode("utf-16"),
    "as UTF-16, big end first": lambda own, _: b"\xfe\xff" + own.text.encode("utf-16-be"),
    "with a byte-order mark": lambda own, _: own.text.encode("utf-8-sig"),
    "with CRLF": lambda own, _: separated(own, ",", end="\r\n").encode(),
    "by semicolons": lambda own, _: separated(own, ";").encode(),
    "by tabs": lambda own, _: separated(own, "\t").encode(),
    "all quoted": lambda own, _: separated(own, ",", csv.QUOTE_ALL).encode(),
    "with empty lines": lambda own, _: own.text.encode() + b"\n\n,,,\n",
    "columns in another order": shuffled,
    "headers in capitals": in_capitals,
    "with decimal commas": with_comma,
}


def test_another_form_of_the_same_tables_is_the_same_study() -> None:
    for seed in rounds("form", 150):
        luck = Random(seed)
        study = luck.choice(sorted(seeds()))
        files = {**seeds()[study]}
        told = []
        for file in luck.sample(sorted(files), 4):
            own = sheet(file, files[file].decode())
            how, files[file] = rewritten(own, luck)
            told.append(f"{file} {how}")
        found = loaded(Mutant(study, files, tuple(told)))
        assert found is not None, f"{seed}: {told}"
        assert read_as(found) == good(study)[1], f"{seed}: {told}"
        assert found.logs == good(study)[0].logs, f"{seed}: {told}"


def notations(number: str, luck: Random) -> str:
    """The same number in another notation."""
    value = float(number)
    whole, _, part = number.lstrip("-").partition(".")
    sign = "-" if number.startswith("-") else ""
    grouped = f"{int(whole):,}"
    return luck.choice([
        f"{sign}{whole}.{part}0000", f"{sign}{whole},{part}0000",
        f"{sign}{grouped.replace(',', chr(0x202F))}.{part or 0}0000",
        f"{sign}{grouped.replace(',', chr(39))},{part or 0}0000", f"{value:.17e}", f"{value:.17E}".replace(".", ","),
        f"{'−' if sign else '+'}{whole}.{part}0000", f"{sign}000{whole}.{part}0000",
        f"{sign}{grouped}.{part or 0}0000", f"{sign}{grouped.replace(',', '.')},{part or 0}0000",
    ])  # fmt: skip


SAME_UNIT = {
    "EUR": "EUR",
    "W": "kW",
    "TB": "GB",
    "years": "months",
    "MB/s": "GB/s",
    "EUR/kWh": "EUR/MWh",
    "d": "h",
    "kWh": "MWh",
    "GB/d": "TB/d",
}
TIMES = {"kW": -3, "GB": 3, "GB/s": -3, "EUR/MWh": 3, "MWh": -3, "TB/d": -3}


def test_another_notation_of_a_number_is_the_same_number_or_refused_as_ambiguous() -> None:
    same = 0
    for seed in rounds("notation", 250):
        luck = Random(seed)
        study = luck.choice(sorted(seeds()))
        file = luck.choice(sorted(set(seeds()[study]) - {*LOGS, "ranges.csv"}))
        own = sheet(file, seeds()[study][file].decode())
        spots = [
            (row, column, at)
            for row in range(1, len(own.rows))
            for column, text in enumerate(own.rows[row])
            if (at := cell_at(own, row, column)) and at[1].kind in NUMERIC and NUMBER.match(text)
        ]
        if not spots:
            continue
        row, column, at = luck.choice(spots)
        text = own.rows[row][column]
        digits, unit = NUMBER.match(text)[0], NUMBER.sub("", text, count=1)  # type: ignore[index]
        new = (
            other_unit(digits, unit.strip(), luck)
            or f"{notations(digits, luck)}{luck.choice([unit, unit.replace(' ', chr(160))])}"
        )
        one = Mutant(
            study,
            {**seeds()[study], file: own.with_cell(row, column, new).text.encode()},
            (f"{file}: {text!r} -> {new!r}",),
        )
        try:
            found = loaded(one)
            if found is None:
                assert at[1].kind == "whole" or "," in new or "." in new, "refused"
                continue
            same += 1
            before, now = good(study)[1], read_as(found)
            wrong = {key: (before[key], now[key]) for key in before if not alike(before[key], now[key])}
            assert not wrong, f"{wrong}"
        except AssertionError as error:
            raise AssertionError(f"{seed}: {one.how}: {error}") from None
    assert same > 80


def alike(one: Any, other: Any) -> bool:
    """Whether two values are the same but for rounding."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-12)
    return bool(one == other)


def other_unit(digits: str, unit: str, luck: Random) -> str:
    """The same amount with another prefix of its unit; empty where there is none, or half of the time."""
    other = SAME_UNIT.get(unit, "")
    if other not in TIMES or luck.random() < 0.5:
        return ""
    return f"{float(digits) * 10.0 ** TIMES[other]:.10f}9 {other}".replace("9 ", " ")


def test_every_kind_of_change_is_made() -> None:
    made = {
        kind: sum(bool(mutant(f"{kind} {n}", kinds={kind: change}).how) for n in range(20))
        for kind, change in KINDS.items()
    }
    assert all(count > 5 for count in made.values()), made
