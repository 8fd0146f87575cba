"""Good studies changed at random, by a seed: bytes, cells, rows, columns, tables, names, numbers."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from random import Random

from tco.places import data_folder
from tests.broken.good import BILLED, MONTHLY, STORED
from tests.broken.sheet import Sheet, sheet
from tests.studies import TABLES, WHOLE

Files = dict[str, bytes]  # file -> its content


@dataclass(frozen=True)
class Mutant:
    """A study that was changed. how: each change in words. cell: the one cell that was changed, if it is one."""

    study: str
    files: Files
    how: tuple[str, ...] = ()
    cell: tuple[str, int, int] | None = None  # file, row and column, counted from 0, the header being row 0
    more: Mapping[str, object] = field(default_factory=dict)

    def changed(self, file: str, content: bytes | None, how: str) -> Mutant:
        """The mutant with one file changed, or taken away."""
        files = {name: old for name, old in self.files.items() if name != file}
        return replace(self, files=files if content is None else {**files, file: content}, how=(*self.how, how))


@cache
def seeds() -> Mapping[str, Files]:
    """The studies that mutants are made of, all small."""
    tables = {**TABLES, **{name: text for name, text in WHOLE.items() if isinstance(text, str)}}
    found: dict[str, Files] = {
        "small study": {f"{name}.csv": text.encode() for name, text in tables.items()},
        "stored": {file: text.encode() for file, text in STORED.items()},
        "billed": {file: text.encode() for file, text in BILLED.items()},
        "by the month": {file: text.encode() for file, text in MONTHLY.items()},
    }
    for name in ("small", "kept", "growing"):
        found[name] = {path.name: path.read_bytes() for path in sorted((data_folder() / name).glob("*.csv"))}
    return found


SNIPPETS = [
    "", " ", "0", "-0", "-1", "1", "7", "1e3", "1e-3", "1e15", "1e16", "1e999", "1e-300",
    "nan", "inf", "-inf", "1,5", "1.5",
    "1,234", "1.234", "1 234", "1'234.5", "1.234,5", "１２", "٣", "½", "1_000", "0x10", "1/3", "+7", "−7", "7-",
    "(7)",
    "7 %", "150 %", "-150 %", "7 EUR", "7 USD", "7 JPY", "7 ct", "7 W", "7 kW", "7 TB", "7 TiB", "7 Tb", "7 years",
    "7 months", "7 month", "2 d", "1 m", "9 dB(A)", "3 kg", "3 EUR/month", "0.3 EUR/kWh",
    "2 Gbit/s", "yes", "no", "x",
    "=1+1", "+1+1", "@SUM(A1)", "-1+1", "\t=1", "'7", "minis", "main", "mini", "drive 8 TB", "2026-12", "2026-02-30",
    "2027-01", "12-25", "02-29", "07:00", "24:00", "11-4", "weekend", "otherwise", "2 bay + 1 M.2", "a + b", "real",
    "2 % real", "2 % nominal", "é", "家", "\u202e", "\u00a0", "\u00a07 W", "7\u00a0W", "a\nb",
    '"', "''", "../x.csv", "study.csv",
    "minis.csv", "9" * 40, "n" * 300, "%", "EUR", "[EUR]", "null", "None", "#REF!", "TRUE",
    "1e", "e5", ".", ",", "7.", ".7", "7,",
]  # fmt: skip
UNITS = ["EUR", "USD", "W", "kW", "kWh", "Wh", "TB", "GB", "TiB", "MB/s", "Gbit/s", "Mbit/s",
    "years", "months", "d", "h", "%", "%/year",
         "EUR/month", "EUR/kWh", "EUR/MWh", "dB(A)", "m", "kg", "A", "V", "GB/d", "TB/year",
         "h/month", "min", ""]  # fmt: skip
NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
ODD_NAMES = ["家庭用", "شبكة", "a'b", 'a "b"', "a,b;c", "=1+1", "-x", "@x", "x" * 150, "R1C1",
    "A1", "Summary", "50 %", "a + b",
             "  two  spaces ", "é", "e\u0301", "𝔘", "a/b", "a:b", "[x]", "a*b?", "History",
             "1e5", "a\\b", "{0}", "%s", "<b>"]  # fmt: skip


def mutant(
    seed: str, *, study: str | None = None, changes: int = 1, kinds: Mapping[str, Mutation] | None = None
) -> Mutant:
    """A study that is changed so many times; the same seed makes the same one."""
    luck = Random(seed)
    name = study or luck.choice(sorted(seeds()))
    found = Mutant(name, dict(seeds()[name]))
    for _ in range(changes):
        kind = luck.choice(sorted(kinds or KINDS))
        found = (kinds or KINDS)[kind](found, luck)
    return found


def a_sheet(one: Mutant, luck: Random) -> Sheet | None:
    """One of the tables, if it can be read as one; larger ones are taken as often as small ones."""
    file = luck.choice(sorted(one.files))
    try:
        found = sheet(file, one.files[file].decode())
    except UnicodeDecodeError:
        return None
    return found if len(found.rows) > 1 and all(found.rows) else None


def put(one: Mutant, made: Sheet, how: str) -> Mutant:
    return one.changed(made.file, made.text.encode("utf-8", "surrogatepass"), f"{made.file}: {how}")


def with_text(one: Mutant, luck: Random, text: Callable[[str], str]) -> Mutant:
    """One filled cell below the header with another text."""
    own = a_sheet(one, luck)
    filled = [(r, c) for r, cells in enumerate(own.rows[1:], 1) for c, old in enumerate(cells) if old] if own else []
    if own is None or not filled:
        return one
    row, column = luck.choice(filled)
    old = own.rows[row][column]
    new = text(old)
    made = put(one, own.with_cell(row, column, new), f"row {row}, cell {column}: {old!r} -> {new!r}")
    return replace(made, cell=None if one.how else (own.file, row, column))


def cell_snippet(one: Mutant, luck: Random) -> Mutant:
    """A cell becomes something awkward."""
    return with_text(one, luck, lambda _: luck.choice(SNIPPETS))


def cell_letters(one: Mutant, luck: Random) -> Mutant:
    """A letter of a cell goes, comes or changes."""

    def edited(old: str) -> str:
        at = luck.randrange(len(old) + 1)
        new: str = luck.choice(["", *"0159.,-+eE% '_;WkMGTBd/()[]=\u00a0"])
        return old[:at] + new + old[at + luck.randrange(2) :]

    return with_text(one, luck, edited)


def cell_scaled(one: Mutant, luck: Random) -> Mutant:
    """A number ten, a thousand, a million times as large or small."""
    return scaled(one, luck, luck.choice([-9, -6, -3, -2, -1, 1, 2, 3, 6, 9]))


def cell_scaled_a_little(one: Mutant, luck: Random) -> Mutant:
    """A number up to a thousand times as large or small, which a study may often hold."""
    return scaled(one, luck, luck.choice([-3, -2, -1, 1, 2, 3]))


def scaled(one: Mutant, luck: Random, power: int) -> Mutant:
    """The first number of a cell times a power of ten."""

    def edited(old: str) -> str:
        return NUMBER.sub(lambda found: f"{float(found[0]) * 10.0**power:.12g}", old, count=1)

    return with_text(one, luck, edited)


def cell_unit(one: Mutant, luck: Random) -> Mutant:
    """A number keeps its digits and gets another unit."""

    def edited(old: str) -> str:
        found = NUMBER.match(old)
        return f"{found[0]} {luck.choice(UNITS)}" if found else luck.choice(SNIPPETS)

    return with_text(one, luck, edited)


def cell_other(one: Mutant, luck: Random) -> Mutant:
    """A cell becomes what another cell of the table says."""
    own = a_sheet(one, luck)
    texts = [text for cells in own.rows for text in cells] if own else [""]
    return with_text(one, luck, lambda _: luck.choice(texts))


def row_changed(one: Mutant, luck: Random) -> Mutant:
    """A row goes, comes twice, changes places with another, is cut, or its cells move by one."""
    own = a_sheet(one, luck)
    if own is None:
        return one
    rows, at, other = [*own.rows], luck.randrange(1, len(own.rows)), luck.randrange(1, len(own.rows))
    how = luck.choice(["gone", "twice", "swapped", "cut", "moved left", "moved right", "empty", "header again"])
    if how == "gone":
        del rows[at]
    elif how == "swapped":
        rows[at], rows[other] = rows[other], rows[at]
    elif how in ("cut", "moved left"):
        rows[at] = rows[at][:-1] if how == "cut" else (*rows[at][1:], "")
    elif how == "moved right":
        rows[at] = ("", *rows[at][:-1])
    else:
        rows.insert(at, {"twice": rows[at], "empty": ("",) * len(own.header)}.get(how, own.header))
    return put(one, Sheet(own.file, tuple(rows)), f"row {at} {how}")


def column_changed(one: Mutant, luck: Random) -> Mutant:
    """A column goes, comes twice, changes its name with another, moves, or is misspelt."""
    own = a_sheet(one, luck)
    if own is None:
        return one
    at, other = luck.randrange(len(own.header)), luck.randrange(len(own.header))
    how = luck.choice(["gone", "twice", "swapped", "misspelt", "in a unit"])
    if how == "gone":
        made = own.without_column(at)
    elif how == "twice":
        made = own.with_column(own.header[at], ["".join(cells[at : at + 1]) for cells in own.rows[1:]])
    elif how == "swapped":
        names = [*own.header]
        names[at], names[other] = names[other], names[at]
        made = own.with_row(0, names)
    else:
        head = own.header[at].split(" [")[0]
        made = own.with_cell(0, at, f"{head} [{luck.choice(UNITS)}]" if how == "in a unit" else head[:-1])
    return put(one, made, f"column {own.header[at]!r} {how}") if made.header else one


def table_changed(one: Mutant, luck: Random) -> Mutant:
    """A table goes, becomes another of the same or another study, or gets the rows of that."""
    file = luck.choice(sorted(one.files))
    others = seeds()[luck.choice(sorted(seeds()))]
    other = luck.choice(sorted(others))
    how = luck.choice(["gone", "as another", "as that of another study", "with rows of another study"])
    if how == "gone":
        return one.changed(file, None, f"{file} gone")
    if how == "as another":
        return one.changed(file, others[other], f"{file} as {other}")
    theirs = others.get(file, others[other])
    if how == "as that of another study":
        return one.changed(file, theirs, f"{file} as that of another study")
    return one.changed(file, one.files[file] + theirs.partition(b"\n")[2], f"{file} with rows of another study")


def name_odd(one: Mutant, luck: Random) -> Mutant:
    """A text that stands in several places becomes an odd one, in all of them."""
    texts: dict[str, int] = {}
    sheets = [sheet(file, raw.decode("utf-8", "replace")) for file, raw in sorted(one.files.items())]
    for own in sheets:
        for text in {text for cells in own.rows[1:] for text in cells if re.fullmatch(r"[A-Za-z][\w ,]{2,30}", text)}:
            texts[text] = texts.get(text, 0) + 1
    often = sorted(text for text, count in texts.items() if count > 1)
    if not often:
        return one
    old, new = luck.choice(often), luck.choice(ODD_NAMES)
    for own in sheets:
        rows = (own.header, *(tuple(new if text == old else text for text in cells) for cells in own.rows[1:]))
        one = one.changed(own.file, Sheet(own.file, rows).text.encode(), "") if rows != own.rows else one
    return replace(one, how=(*filter(None, one.how), f"{old!r} called {new!r}"))


def bytes_changed(one: Mutant, luck: Random) -> Mutant:
    """Some bytes go, come or change."""
    file = luck.choice(sorted(one.files))
    raw = one.files[file]
    for _ in range(luck.randrange(1, 4)):
        at = luck.randrange(len(raw) + 1)
        new = luck.choice(
            [
                b"",
                b"\0",
                b'"',
                b"\xff",
                b"\xef\xbb\xbf",
                b"\r",
                b"\n",
                b",",
                b";",
                b"\t",
                bytes([luck.randrange(256)]),
            ]
        )
        raw = raw[:at] + new + raw[at + luck.randrange(4) :]
    return one.changed(file, raw, f"{file}: bytes")


Mutation = Callable[[Mutant, Random], Mutant]
CELLS: Mapping[str, Mutation] = {
    "snippet": cell_snippet, "letters": cell_letters, "scaled": cell_scaled, "unit": cell_unit,
    "other cell": cell_other,
}  # fmt: skip
KINDS: Mapping[str, Mutation] = {
    **CELLS, "row": row_changed, "column": column_changed, "table": table_changed, "name": name_odd,
    "bytes": bytes_changed,
}  # fmt: skip
MILD: Mapping[str, Mutation] = {  # after which a study is often still good
    "scaled": cell_scaled,
    "scaled a little": cell_scaled_a_little,
    "other cell": cell_other,
    "name": name_odd,
    "row": row_changed,
}


def write(one: Mutant, folder: Path) -> Path:
    """The mutant in an empty folder."""
    folder.mkdir(parents=True)
    for file, raw in one.files.items():
        (folder / file).write_bytes(raw)
    return folder
