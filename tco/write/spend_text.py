"""What `tco spend` prints: what to buy, a table of all that may be bought, why some of it is not. Plain text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from tco.ask.spend import HUNDRED, Figure, Single, Spending
from tco.write.chance_words import TYPED
from tco.write.fixed import fixed
from tco.write.lines import FIGURE, Row, all_wrapped, page
from tco.write.lines import table as in_table
from tco.write.spend_words import DIGITS, answers, money, notes, significant, with_along

COLUMNS = 5  # that leave a name room in the usual width
HEADS = {  # figure -> its heading in the table, where there is room
    "recommended": "room TB", "lcc": "in all", "noise_busy": "at bed dB", "first_power": "watts", "write": "writing",
    "read": "reading",
}  # fmt: skip
LONGEST = FIGURE - 1


def spent_text(found: Spending, files: Iterable[Path]) -> str:
    """The whole of what is printed."""
    parts = [table(found), why_not(found), all_wrapped(f"- {note}" for note in notes(found))]
    return page(found.study.settings.question, answers(found, TYPED), parts, files)


def table(found: Spending) -> list[str]:
    """Every purchase with its price and what it changes, the best for its money first."""
    names = columns(found)
    rows: list[Row | str] = []
    for word, own in grouped(found):
        rows += [word] if word else []
        rows += [(with_along(one), row(found, one, names)) for one in own]
    heads = ["price", *gain_heads(found), *(heading(found, name) for name in names)]
    lines = in_table(f"{money(found)}, changes", heads, rows)
    return [*lines, "", *all_wrapped(explained(found, names), hang="")]


def grouped(found: Spending) -> list[tuple[str, list[Single]]]:
    """Purchases by what is said of them, each kind under its words."""
    own = found.singles
    kinds = (
        ("", [one for one in own if one.is_recommended]),
        ("no improvement in this:", [one for one in own if not one.improves and not one.why_not]),
        ("not recommended:", [one for one in own if one.why_not]),
    )
    return [kind for kind in kinds if kind[1]]


def gain_heads(found: Spending) -> list[str]:
    """What stands over the goal's gains for each 100 units of money."""
    if found.goal.is_needs:
        return ["needs/100", "short/100"]
    unit = "%" if found.goal.percent else found.goal.unit
    return [f"{unit or 'per'}{'/' if unit else ' '}100" if len(unit) <= 5 else "per 100"]


def columns(found: Spending) -> list[str]:
    """The figures that the table has beside price and gains."""
    there = {figure.name for one in found.singles for figure in one.figures}
    goal = [] if found.goal.is_needs else [found.goal.name]
    wanted = [*goal, *(name for name in HEADS if name not in goal)]
    return [name for name in wanted if name in there][: COLUMNS - 1 - len(gain_heads(found))]


def heading(found: Spending, name: str) -> str:
    """What stands over a figure."""
    return HEADS.get(name) or ("%" if found.goal.percent else found.goal.unit or "change")[:LONGEST]


def row(found: Spending, one: Single, names: Sequence[str]) -> list[str]:
    """One purchase."""
    if one.price is None:
        return ["-"] * (1 + len(gain_heads(found)) + len(names))
    by_name = {figure.name: figure for figure in one.figures}
    return [fixed(one.price), *per_100(found, one), *(changed(by_name[name]) for name in names)]


def per_100(found: Spending, one: Single) -> list[str]:
    """Gains for each 100 units of money; `free` where it costs nothing."""
    if one.per_100 is None:
        return ["unknown" if one.gains is None else "free"] * found.goal.levels
    scale = [1.0, HUNDRED] if found.goal.is_needs else [HUNDRED if found.goal.percent else 1.0]
    return [brief(gain * times) for gain, times in zip(one.per_100, scale, strict=True)]


def brief(value: float) -> str:
    """Three digits that say something, in powers of ten where they do not fit."""
    text = significant(value, TYPED)
    return text if len(text) < LONGEST else f"{value:.1e}"


def changed(figure: Figure) -> str:
    """By how much a figure changes, with its sign; of words the first."""
    if figure.change is None:
        words = figure.after if isinstance(figure.after, str) else figure.before
        return str(words).split(":")[0][:LONGEST]
    value = HUNDRED * figure.change if figure.percent else figure.change
    text = fixed(value, DIGITS.get(figure.unit, 0))
    text = brief(value) if figure.unit not in DIGITS and abs(value) < HUNDRED and figure.name != "lcc" else text
    text = text if len(text) < LONGEST else f"{value:.1e}"
    return f"+{text}" if value > 0 and float(text.replace(",", "")) else text


def explained(found: Spending, names: Sequence[str]) -> list[str]:
    """What the table's words mean."""
    per = f"for each {HUNDRED:.0f} {money(found)}"
    gains = f"needs/100: needs fewer {per}; short/100: how much less is short, in %, likewise"
    told = [
        gains if found.goal.is_needs else f"{gain_heads(found)[0]}: by how much {found.goal.label} gets better {per}"
    ]
    words = {"first_power": "watts: average", "noise_busy": "at bed: dB(A) when busy",
             "lcc": "in all: life-cycle cost", "write": "writing, reading: MB/s"}  # fmt: skip
    told += [words[name] for name in names if name in words]
    return [f"price: paid more at the start; {'; '.join(told)}; with a sign: what changes"]


def why_not(found: Spending) -> list[str]:
    """Why some of it is not recommended."""
    return all_wrapped(f"{one.name}: {'; '.join(one.why_not)}" for one in found.singles if one.why_not)
