"""What can be wrong with the text of one cell, by the kind of cell that the reader declares."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tco.cell import REQUIRED
from tco.read.log_rows import LogRow
from tests.broken.spots import Spot


@dataclass(frozen=True)
class Fault:
    """A text that may not stand in a cell. kind: of fault, in words. words: of the reason told."""

    kind: str
    text: str
    words: tuple[str, ...]


def fault(kind: str, text: str, *words: str) -> Fault:
    return Fault(kind, text, words)


LARGE = 1_000_000.0  # limits beyond are no figures that a message shows
OTHER_KIND = {"kg": "W"}  # a unit of another kind than a column's
INVISIBLE = "\u200b"


def faults(spot: Spot) -> Iterator[Fault]:
    """Everything that can be wrong with a cell of this kind."""
    if spot.cell.default is REQUIRED:
        yield fault("empty where needed", "", "empty", "write for example")
    yield from OTHERWISE.get((spot.kind, spot.field), KINDS[spot.cell.kind])(spot)


def number(spot: Spot, unit: str) -> str:
    """A number within the cell's limits that has a unit."""
    least, most = spot.cell.least or 0.0, spot.cell.most
    plain = max(7.0, least) if most is None or most >= 7 else most
    return f"{plain:g} {unit}".strip()


def no_numbers(spot: Spot) -> Iterator[Fault]:
    """What is no number in any column."""
    unit = written_unit(spot)
    yield fault("no number", "abc", "'abc' is not a number", example(spot))
    yield fault("not a number", "nan", "'nan' is not a number", example(spot))
    yield fault("infinite", "inf", "'inf' is not a number", example(spot))
    yield fault("formula", "=1+1", "'=1+1' is not a number", example(spot))
    yield fault("two signs", f"--7 {unit}".strip(), "is not a number", example(spot))
    yield fault("two decimal signs", f"7.7.7 {unit}".strip(), "is not a number", example(spot))
    misfit = {"share": "is not what belongs here", "growth": "is not what belongs here"}.get(
        spot.cell.kind, "unknown" if unit else "without unit belongs here"
    )
    yield fault("letters among digits", f"1O0 {unit}".strip(), f"O0 {unit}".strip(), misfit)
    yield fault("far too large", f"1e16 {unit}".strip(), "larger than any figure of a home")
    yield fault("beyond floating point", f"1e999 {unit}".strip(), "larger than any figure of a home")
    yield fault("very long", "9" * 150, "is not a number", example(spot))
    yield fault("two values", f"7 {unit} or 8 {unit}".strip(), misfit)


def example(spot: Spot) -> str:
    """What a message gives as an example."""
    return spot.cell.example


def written_unit(spot: Spot) -> str:
    """A unit as a person writes it in such a cell."""
    if spot.cell.kind in ("share", "growth"):
        return "%"
    if spot.cell.kind == "months":
        return "months"
    return {"1/year": "%/year", "dBA": "dB(A)"}.get(spot.unit, spot.unit)


def ambiguous(spot: Spot, unit: str) -> Iterator[Fault]:
    """`1,234`, where the largest that a column may hold rules none of both out."""
    most = spot.cell.most if spot.cell.kind == "number" and not spot.cell.unit else None
    for text, name in (("1,234", "comma"), ("1.234", "point")):
        if not most or most > 1234:
            yield fault(f"ambiguous {name}", f"{text} {unit}".strip(), "could be 1.234 or 1234", f"'{text}0'")


def outside(spot: Spot) -> Iterator[Fault]:
    """Beyond the limits that a column declares."""
    cell, unit = spot.cell, written_unit(spot)
    scale = 100.0 if unit.startswith("%") else 1.0
    if cell.least is not None:
        below = (cell.least - max(1.0, abs(cell.least))) * scale
        word = "is not above 0" if 0 < cell.least < 1e-3 else "the least"
        whole = cell.kind == "whole"
        yield fault("below the least", f"{below:.12g} {unit}".strip(), "is negative" if whole and below < 0 else word)
        if whole and cell.least > 0:
            yield fault("zero where one is the least", "0", "0 is below", "the least")
    if cell.most is not None and cell.most < LARGE * 10:
        above = (cell.most * 2 + 1) * scale
        yield fault("above the most", f"{above:.12g} {unit}".strip(), "is above", "the most")


def of_number(spot: Spot) -> Iterator[Fault]:
    """Faults of a number in a unit, or of a plain one."""
    unit = written_unit(spot)
    yield from no_numbers(spot)
    yield from ambiguous(spot, unit)
    yield from outside(spot)
    if not spot.cell.unit:
        for text in ("7 %", "7 kg", "7 EUR"):
            yield fault(
                f"a unit where none belongs: {text[2:]}", text, "a number without unit belongs here", example(spot)
            )
        return
    other = OTHER_KIND.get(spot.unit, "kg")
    yield fault(
        "bare number",
        "7",
        "has no unit",
        f"write for example '{example(spot)}'",
        "or head the column" if not spot.is_setting else "",
    )
    yield fault("unknown unit", number(spot, "Foo"), "unit 'Foo' is unknown")
    yield fault("unit of another kind", number(spot, other), f"'{other}' is", "wanted is")
    yield fault("unit twice", number(spot, f"{unit} {unit}"), f"'{unit} {unit}'")
    yield fault("unit without number", unit, "is not a number", example(spot))
    if "EUR" in spot.unit:
        foreign = spot.unit.replace("EUR", "JPY")
        yield fault("currency without a rate", number(spot, foreign), "there is no rate for JPY", "exchange.csv")
        yield fault(
            "amount of money without its measure" if spot.unit != "EUR" else "money by the hour",
            number(spot, "EUR" if spot.unit != "EUR" else "EUR/h"),
            "wanted is",
        )
    if "TB" in spot.unit or "B/" in spot.unit:
        yield fault("bytes or bits", number(spot, "Tb" if "/" not in spot.unit else "Mb/s"), "did you mean")
    if not spot.cell.quoted:
        yield fault("nominal where nothing is", number(spot, f"{unit} nominal"), "leave 'nominal' out")
    else:
        yield fault("nominal and real", number(spot, f"{unit} real nominal"), "once")


def of_percent(spot: Spot) -> Iterator[Fault]:
    """Faults of a share or a growth."""
    yield from no_numbers(spot)
    yield from ambiguous(spot, "%")
    yield from outside(spot)
    yield fault("bare number where % is wanted", "7", "'7' could be 7 % or 700 %", "write '7 %'")
    yield fault("bare fraction where % is wanted", "0.5", "'0.5' could be 50 % or 0.5 %", "write '50 %'")
    yield fault("unknown unit", "7 Foo", "'Foo' is not what belongs here", "'%'")
    yield fault("unit of another kind", "7 kg", "'kg' is not what belongs here", "'%'")
    yield fault("per mille", "7 ‰", "'7 ‰' is not a number", example(spot))
    yield fault("sign twice", "7 % %", "'% %' is not what belongs here")
    if spot.cell.kind == "share":
        yield fault("share by the year", "7 %/year", "'%/year' is not what belongs here")
    else:
        yield fault("growth by the month", "7 %/month", "'%/month' is not what belongs here", "'%/year'")
    if not spot.cell.quoted:
        yield fault("nominal where nothing is", "7 % nominal", "leave 'nominal' out")
    else:
        yield fault("nominal and real", "7 % real nominal", "once")


def of_whole(spot: Spot) -> Iterator[Fault]:
    """Faults of a count."""
    yield from no_numbers(spot)
    yield from ambiguous(spot, "")
    yield from outside(spot)
    yield fault("negative count", "-1", "'-1' is negative", "write a whole number", example(spot))
    yield fault("fraction of a count", "1.5", "'1.5' is a fraction", "write a whole number", example(spot))
    for text in ("7 kg", "7 %", "7 x", "7 pieces"):
        yield fault(f"count with a unit: {text[2:]}", text, "a whole number without unit belongs here", example(spot))
    yield fault("count nominal", "1 nominal", "leave 'nominal' out")


def of_months(spot: Spot) -> Iterator[Fault]:
    """Faults of a span of time."""
    yield from no_numbers(spot)
    yield from ambiguous(spot, "years")
    yield from outside(spot)
    yield fault("bare number of months", "7", "'7' has no unit", "'7 months' or '7 years'")
    yield fault("half a month", "1.5 months", "only whole months count")
    yield fault("less than a second", "1e-9 years", "only whole months count")
    yield fault("span in days", "40 d", "'d' is clock time", "wanted is calendar time")
    yield fault("unknown unit", "7 moons", "unit 'moons' is unknown")
    yield fault("unit of another kind", "7 kg", "'kg' is mass", "wanted is calendar time")
    yield fault("nominal where nothing is", "7 months nominal", "leave 'nominal' out")


def of_month(spot: Spot) -> Iterator[Fault]:
    """Faults of a calendar month."""
    yield fault("month in words", "March 2027", "is not a month", example(spot))
    yield fault("month the other way round", "03/2027", "is not a month", example(spot))
    yield fault("year alone", "2027", "is not a month", example(spot))
    yield fault("thirteenth month", "2027-13", "there is no month 13", "year, month, day in that order")
    yield fault("month nought", "2027-00", "there is no month 0")
    yield fault("day within a month", "2027-03-17", "lies within a month", "'2027-03'")
    yield fault("impossible day", "2027-02-30", "that month has no day 30")
    yield fault("long ago", "1066-10", "the year must be from 1970 to 2100")
    yield fault("far ahead", "9999-01", "the year must be from 1970 to 2100")
    yield fault("formula", "=TODAY()", "is not a month", example(spot))
    yield fault("serial number of a day", "46357", "is not a month", example(spot))


def of_date(spot: Spot) -> Iterator[Fault]:
    """Faults of a date."""
    yield fault("date the other way round", "20.11.2026", "is not a date", example(spot))
    yield fault("date with strokes", "11/20/2026", "is not a date", example(spot))
    yield fault("month in the place of a date", "2026-11", "is not a date", example(spot))
    yield fault("impossible day", "2026-02-30", "that month has no day 30")
    yield fault("thirteenth month", "2026-20-11", "there is no month 20", "year, month, day in that order")
    yield fault("day nought", "2026-11-00", "that month has no day 0")
    yield fault("long ago", "0026-11-20", "the year must be from 1970 to 2100")
    yield fault("far ahead", "2726-11-20", "the year must be from 1970 to 2100")
    yield fault("no date", "yesterday", "is not a date", example(spot))
    yield fault("formula", "=TODAY()", "is not a date", example(spot))
    yield fault("serial number of a day", "46357", "is not a date", example(spot))


def of_day(spot: Spot) -> Iterator[Fault]:
    """Faults of a date, or of a day of every year."""
    yield fault("impossible day of every year", "02-30", "there is no such day", "'12-25'")
    yield fault("impossible day", "2026-02-30", "that month has no day 30")
    yield fault("thirteenth month", "25-12", "there is no such day", "month and day")
    yield fault("day in words", "Christmas", "is not a date", example(spot))
    yield fault("date the other way round", "25.12.2026", "is not a date", example(spot))
    yield fault("long ago", "1066-10-14", "the year must be from 1970 to 2100")
    yield fault("formula", "=TODAY()", "is not a date", example(spot))


def of_clock(spot: Spot) -> Iterator[Fault]:
    """Faults of a time of day."""
    yield fault("time without minutes", "7", "is no time of day", example(spot))
    yield fault("time in words", "7 pm", "is no time of day", example(spot))
    yield fault("time with a point", "19.00", "is no time of day", example(spot))
    yield fault("beyond the day", "25:00", "a day goes from 00:00 to 24:00")
    yield fault("minute sixty", "07:60", "a day goes from 00:00 to 24:00")
    yield fault("between quarters", "07:10", "quarters", "23:15")
    yield fault("negative time", "-07:00", "is no time of day", example(spot))
    yield fault("formula", "=NOW()", "is no time of day", example(spot))


def of_season(spot: Spot) -> Iterator[Fault]:
    """Faults of months of the year."""
    yield fault("thirteenth month", "13", "is no months of the year, 1 to 12", example(spot))
    yield fault("month nought", "0-3", "is no months of the year, 1 to 12", example(spot))
    yield fault("season in words", "winter", "is no months of the year, 1 to 12", example(spot))
    yield fault("month twice", "6 + 6", "names month 6 twice")
    yield fault("overlapping months", "11-2 + 1", "names month 1 twice")
    yield fault("half a join", "6 +", "is no months of the year", example(spot))
    yield fault("other join", "6, 7", "is no months of the year", example(spot))
    yield fault("what a spreadsheet makes of it", "2026-11-04", "made a date of it", "as text")


def of_days(spot: Spot) -> Iterator[Fault]:
    """Faults of kinds of day."""
    yield fault("no kind of day", "funday", "'funday' is no kind of day", "did you mean")
    yield fault("day of no week", "7", "'7' is no kind of day", example(spot))
    yield fault("day twice", "monday + monday", "names monday twice")
    yield fault("day within its group", "weekday + friday", "names friday twice")
    yield fault("the rest and more", "otherwise + monday", "'otherwise' stands alone")
    yield fault("half a join", "weekday +", "is no kind of day", example(spot))
    yield fault("other join", "saturday, sunday", "is no kind of day")


def of_currency(spot: Spot) -> Iterator[Fault]:
    """Faults of a currency's code."""
    yield fault("currency in words", "Swiss francs", "currency 'Swiss francs' is unknown", example(spot))
    yield fault("currency misspelt", "USDD", "currency 'USDD' is unknown", "did you mean 'USD'")
    yield fault("currency in small letters", "usd", "currency 'usd' is unknown", "did you mean 'USD'")
    yield fault("sign of a currency", "¥¥", "is unknown", example(spot))


def of_zone(_: Spot) -> Iterator[Fault]:
    """Faults of a time zone."""
    yield fault("zone that is not", "Mars/Base", "time zone 'Mars/Base' is unknown")
    yield fault("city alone", "Vienna", "did you mean 'Europe/Vienna'")
    yield fault("zone misspelt", "Europe/Viena", "did you mean 'Europe/Vienna'")
    yield fault("offset for a zone", "+01:00", "time zone '+01:00' is unknown")
    yield fault("path upwards", "../../etc/passwd", "is unknown")


def of_yes(_: Spot) -> Iterator[Fault]:
    """Faults of what is yes or nothing."""
    for name, text in (("maybe", "maybe"), ("a number", "2"), ("cross", "x"), ("formula", "=TRUE()")):
        yield fault(f"neither yes nor no: {name}", text, "is neither", "write 'yes', or leave it empty")


def of_choice(spot: Spot) -> Iterator[Fault]:
    """Faults of a choice."""
    every = tuple(f"'{one}'" for one in spot.cell.choices)
    yield fault("unknown choice", "whatever", "'whatever' is no choice here", *every)
    yield fault("choice misspelt", f"{spot.text}x", "is no choice here", *every)
    yield fault("two choices", " or ".join(spot.cell.choices), "is no choice here", *every)
    yield fault("number of a choice", "17", "is no choice here", *every)
    yield fault("formula", "=1+1", "is no choice here", *every)


def of_file(spot: Spot) -> Iterator[Fault]:
    """Faults of a file's name."""
    for name, text in (
        ("path upwards", "../minis.csv"), ("absolute path", "/etc/minis.csv"), ("backslash", "lists\\minis.csv"),
        ("drive letter", "C:minis.csv"), ("empty step", "lists//minis.csv"),
    ):  # fmt: skip
        yield fault(name, text, "write a plain file name inside the study's folder", example(spot))
    yield fault("other ending", "minis.txt", "a table's name ends in .csv", example(spot))
    yield fault("no such file", "nowhere.csv", "'nowhere.csv'")
    yield fault("another table", "study.csv", "study.csv is another table of the study")


def of_amounts(spot: Spot) -> Iterator[Fault]:
    """Faults of amounts."""
    yield fault("amount without number", "bay", "'bay' is no amount", "write a number and a name")
    yield fault("amount without name", "2", "'2' is no amount", "write a number and a name")
    yield fault("amount run together", "2bay", "did you mean '2 bay'")
    yield fault("amount with a cross", "2 x bay", "leave the 'x' out", "'2 bay'")
    yield fault("amount twice", "2 bay + 3 Bay", "'bay' stands here twice", "add the two up")
    yield fault("negative amount", "-1 bay", "is no amount", "write a number and a name")
    yield fault("other join", "2 bay, 1 port", "amounts are joined by +", example(spot))
    yield fault("half a join", "2 bay +", "is no amount")
    yield fault("ambiguous amount", "1,234 GB memory", "could be 1.234 or 1234")
    yield fault("ambiguous space", "1 234 bay", "could be 1234, or 1 of")
    yield fault("unit misspelt", "2 Gb memory", "unit 'Gb' is unknown", "did you mean")
    yield fault("unit without name", "2 W", "does not say of what")
    yield fault("formula", "=1+1", "is no amount")
    yield fault(
        "too many amounts",
        " + ".join(f"1 thing {chr(97 + n // 26)}{chr(97 + n % 26)}" for n in range(31)),
        "31 amounts; the most is 30",
    )


def of_names(spot: Spot) -> Iterator[Fault]:
    """Faults of names joined by +."""
    yield fault("half a join", f"{spot.text} +", "a name is missing beside a +", example(spot))
    yield fault("name twice", f"{spot.text} + {spot.text}", "stands here twice; keep one")
    yield fault("absent name", "nobody", "'nobody'")
    yield fault("invisible character", f"{spot.text}{INVISIBLE}", "invisible character U+200B", "take it out")
    yield fault("too many names", " + ".join(f"n{n}" for n in range(51)), "51 names; the most is 50")
    yield fault("apostrophe in front", "'one", "begins with an apostrophe", "take it out")


def of_name(spot: Spot) -> Iterator[Fault]:
    """Faults of a name, whatever it names."""
    yield fault("apostrophe in front", f"'{spot.text}", "begins with an apostrophe", "take it out")
    yield fault("invisible character", f"{spot.text}{INVISIBLE}", "invisible character U+200B", "take it out")
    yield fault("control character", f"{spot.text}\x07", "invisible character U+0007", "take it out")
    yield fault("line break in a name", f"{spot.text[:1]}\n{spot.text[1:]}", "invisible character U+000A")
    yield fault("too long a name", "n" * 201, "201 characters; the most is 200")


def of_text(spot: Spot) -> Iterator[Fault]:
    """Faults of a free text."""
    yield fault("invisible character", f"{spot.text}{INVISIBLE}", "invisible character U+200B", "take it out")
    yield fault("writing turned round", f"{spot.text}\u202e", "invisible character U+202E", "take it out")
    yield fault("control character", f"{spot.text}\x07", "invisible character U+0007", "take it out")
    yield fault("too long a text", "n" * 2001, "2001 characters; the most is 2000")


KINDS: dict[str, Callable[[Spot], Iterator[Fault]]] = {
    "number": of_number, "share": of_percent, "growth": of_percent, "whole": of_whole, "months": of_months,
    "month": of_month, "date": of_date, "day": of_day, "clock": of_clock, "season": of_season, "days": of_days,
    "currency": of_currency, "zone": of_zone, "yes": of_yes, "choice": of_choice, "file": of_file,
    "amounts": of_amounts, "names": of_names, "name": of_name, "text": of_text,
}  # fmt: skip


def of_time(_: Spot) -> Iterator[Fault]:
    """Faults of a log's date and time."""
    wanted = "write it as '2026-10-25 02:30'"
    for name, text in (
        ("no time", "yesterday"), ("date alone", "2026-06-01"), ("date the other way round", "01.06.2026 00:00"),
        ("serial number of a day", "46174.5"), ("thirteenth month", "2026-13-01 00:00"), ("formula", "=NOW()"),
        ("invisible character", f"2026-06-01 00:00{INVISIBLE}"), ("hour 25", "2026-06-01 25:00"),
        ("very long", "9" * 2001),
    ):  # fmt: skip
        yield fault(name, text, "is no date and time", wanted)
    yield fault("impossible day", "2026-02-30 00:00", "there is no such day")
    yield fault("end of the day", "2026-06-01 24:00", "24:00 is 00:00 of the next")
    yield fault("clock not set", "1970-01-01 00:00", "the year must be from 2000 to 2099", "a clock not set yet?")


def nothing(_: Spot) -> Iterator[Fault]:
    """No faults: a log may have a million rows, and where they are from, or what is noted, is not looked at."""
    yield from ()


OTHERWISE: dict[tuple[type, str], Callable[[Spot], Iterator[Fault]]] = {
    (LogRow, "time"): of_time, (LogRow, "source"): nothing, (LogRow, "note"): nothing,
}  # fmt: skip
