"""The notes of a new study, README.md: for each table and column what it means, and why its values are as they are.

What it means comes from the definitions that the reader follows, so the page cannot say anything else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby

from tco.read.averages import UNIT_PRICE, Average
from tco.read.columns import Documented, about, documented
from tco.read.inputs import Extra
from tco.start import texts
from tco.start.answers import Answers
from tco.start.texts import Texts

NOTES, RENTED = "README.md", "rented space"
LISTS = next(row.table for row in documented({}) if row.column == "part")  # what parts lists are called together
LOG = next(row.table for row in documented({}) if row.column == "reading")
EXAMPLES = ("hours.csv", "holidays.csv", "shapes.csv", "efficiency.csv", "paths.csv")  # rows that nothing names
TAKEN = " (taken, as nothing was said)"
HEAD = "| column | meaning | what to write | {} | here |"
RULE = "|---|---|---|---|---|"
INVENTED = """\
**Prices, watts, decibels and rents here are invented.** They are of the kind a careful buyer might find, but no offer
stands behind any of them; every row says in `source` where it comes from, and `note` says what to know about it."""
CAUTION = """\
A cluster is not a backup: copies protect against failing hardware, not against deletion, theft, fire or ransomware.
What the mains carry is common practice, no source: the local code and a licensed electrician decide."""


def notes(answers: Answers, tables: Mapping[str, Texts], extra: Extra) -> str:
    """The whole page, in Markdown."""
    first = [f"{number}. {text}" for number, text in enumerate(to_change(answers), start=1)]
    by_table = groupby(documented(extra), key=lambda row: row.table)
    sections = ["\n".join(section(name, list(rows), tables)) for name, rows in by_table]
    told = [f"- {text}" for text in taken(answers)]
    head = ["# Notes to this study", INVENTED, "\n".join(told), "## What to change first"]
    return "\n\n".join([*head, "\n".join(first), CAUTION, *sections]) + "\n"


def taken(answers: Answers) -> Iterator[str]:
    """Each answer in words, and whether it was taken."""
    for name, value, is_given in each(answers):
        yield f"{name}: {value}{'' if is_given else TAKEN}"


def each(answers: Answers) -> Iterator[tuple[str, str, bool]]:
    """Each answer: its name, its value in words, and whether it was given and not taken."""
    code, given = answers.currency, answers.given
    yield "start", f"{answers.start:%Y-%m}, the month after {answers.today}", "today" in given
    yield "currency", code, "currency" in given
    if answers.official:
        found = answers.official
        yield "electricity", f"{found.price}, the {official(found)} ({found.period})", "region" in given
    else:
        yield "electricity", answers.price, True
    if answers.foreign:
        yield "rate", f"1 {answers.foreign} costs {answers.rate} {code}", True
    drive = f"{answers.drive.normalize():f} {code}, which scales all invented prices"
    yield "a new hard drive of 8 TB", drive, "drive" in given
    yield "room", f"{answers.room:g} TB at the start", "room" in given
    yield "builds", ", ".join(answers.builds), "build" in given


def official(found: Average) -> str:
    """What an official price is."""
    if found.kind == UNIT_PRICE:
        return f"usual price of a kWh in {found.region}, without the standing charge"
    return f"official average of {found.region}, which has fixed charges in it"


def to_change(answers: Answers) -> Iterator[str]:
    """What to replace by your own, what weighs most first."""
    has_hardware = answers.builds != (RENTED,)
    if has_hardware and answers.official:
        yield f"`tariffs.csv`: the price of one more kWh from your bill; here stands the {official(answers.official)}"
    if has_hardware:
        yield "the parts lists: prices and quantities of what you would buy, and `idle` watts; a plug meter knows"
    if RENTED in answers.builds:
        yield "`fees.csv` and `stated.csv`: the rent that you were offered, and what it delivers"
    yield "`study.csv`: the data you hold and how they grow, how long you keep it, what an hour of yours is worth"
    yield "`needs.csv`: what a build must deliver, a budget for one; builds that do not are not ranked"
    if has_hardware:
        yield "`sites.csv`: how far the bed is, which circuit feeds it; `nodes.csv`: what you measured at the plug"
    yield "`ranges.csv`: how sure each of that is"


def section(name: str, rows: list[Documented], tables: Mapping[str, Texts]) -> Iterator[str]:
    """One table: what it is for, what stands in it here, and its columns."""
    reasons, is_settings = texts.why(), name in ("study.csv", "needs.csv")
    yield from (f"## {title(name, tables)}", "", about(name), "")
    if state := standing(name, tables):
        yield from (state, "")
    yield HEAD.format("left out means" if name == "needs.csv" else "empty means")
    yield RULE
    values = said(tables[name]) if is_settings else {}
    for row in rows:
        here = reasons.get((name, row.column), "not used here")
        value = f"`{values[row.column]}`: " if values.get(row.column) else ""
        yield line(f"`{row.column}`", row.meaning, row.write, row.default, value + here)


def line(*cells: str) -> str:
    """One row of a table in Markdown."""
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def title(name: str, tables: Mapping[str, Texts]) -> str:
    """A table's heading; parts lists together, by their files."""
    if name == LOG:
        return "A metered log"
    if name != LISTS:
        return name
    files = [row["parts list"] for row in tables["scenarios.csv"].rows if row["parts list"]]
    return f"Parts lists: {', '.join(files)}" if files else "Parts lists (none here)"


def standing(name: str, tables: Mapping[str, Texts]) -> str:
    """What stands in a table here, where that is not plain."""
    if name in ("study.csv", "needs.csv"):
        word = "setting" if name == "study.csv" else "need"
        return f"Columns: {word}, value, source, note. The {word}s:"
    if name == LISTS and title(name, tables).endswith("(none here)"):
        return "Rented space has no parts."
    if name in tables and not tables[name].rows:
        return "Here it has its header only, which counts as no table at all."
    return "Here it has an example that nothing names yet, and changes no figure." if name in EXAMPLES else ""


def said(table: Texts) -> dict[str, str]:
    """Setting or need -> what it says here."""
    first = texts.plain(table.header[0])
    return {row[first]: row["value"] for row in table.rows}
