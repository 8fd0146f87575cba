"""Brackets in cell formulas: with those that are written a spreadsheet reads the same as with all of them.

The order of operators is that of OpenFormula 1.2, 5.5: comparisons bind least, then + and -, * and /, ^; all from
the left. The texts are read anew here, from the tokens that another library finds in them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from openpyxl.formula import Tokenizer

from tco.engine import FUNCTIONS, Model, call
from tco.engine.nodes import Constant, Phrase, Ref, Text, fill, fold
from tco.units import unit

ORDER = {"=": 1, "<": 1, ">": 1, "<=": 1, ">=": 1, "+": 2, "-": 2, "*": 3, "/": 3, "^": 4}
CELLS = [name for name, one in FUNCTIONS.items() if "cell" in one.reach]


class Reading:
    """A formula as a tree: operators and functions with their arguments; brackets leave no trace."""

    def __init__(self, text: str) -> None:
        self.tokens = [(t.value, t.type, t.subtype) for t in Tokenizer(f"={text}").items if t.type != "WHITE-SPACE"]
        self.tree = self.above(0)
        assert not self.tokens, text

    def above(self, least: int) -> Any:
        """What binds more than so much, from the left."""
        found = self.one()
        while self.tokens and ORDER.get(self.tokens[0][0], 0) > least:
            sign = self.tokens.pop(0)[0]
            found = (sign, found, self.above(ORDER[sign]))
        return found

    def one(self) -> Any:
        """A number, a cell, a call, something in brackets, or one of these with a minus before it."""
        value, kind, side = self.tokens.pop(0)
        if kind == "OPERATOR-PREFIX":
            return ("minus", self.one())
        if side != "OPEN":
            return value
        found = [self.above(0)]
        while self.tokens[0][1] == "SEP":
            self.tokens.pop(0)
            found.append(self.above(0))
        assert self.tokens.pop(0)[2] == "CLOSE"
        return found[0] if kind == "PAREN" else (value, *found)


def columns() -> dict[str, Any]:
    """An argument for each reach, and one more number; numbers all over."""
    model = Model()
    table = model.table("t", "T", ["a", "b"])
    return {name: model.given(table, f"x{n}", "x", "", 2.0) for n, name in enumerate("abcdefgh")}


def calls_within(outer: str, place: int) -> Iterator[Any]:
    """A function with each other one, and a negative number, as one of its arguments."""
    reach = FUNCTIONS[outer].reach
    names = iter(columns().values())
    own = [next(names) for _ in reach]
    for inner in FUNCTIONS.values():
        part = call(inner.name, *list(columns().values())[-len(inner.reach) :])
        yield call(outer, *own[:place], part, *own[place + 1 :])
    yield call(outer, *own[:place], Constant(-2.0, unit("")), *own[place + 1 :])


def written(node: Any, *, in_full: bool) -> str:
    """The cell formula of a later row; in full: with brackets round every argument."""

    def leaf(one: Any) -> Text:
        if isinstance(one, Ref):
            return Text(one.column.name.upper().replace("X", "A") + "1")
        return Text(f"({one.value:g})")

    def join(function: Any, args: list[Text]) -> Text:
        if not in_full:
            return fill(function.sheet, args)
        bare = [replace(arg, text=f"({arg.text})") for arg in args]
        return fill(Phrase(function.sheet.template), bare)

    return fold(node, leaf, join).text


@pytest.mark.parametrize("outer", CELLS)
def test_written_brackets_are_enough(outer):
    for place, reach in enumerate(FUNCTIONS[outer].reach):
        for node in calls_within(outer, place) if reach == "cell" else ():
            assert Reading(written(node, in_full=False)).tree == Reading(written(node, in_full=True)).tree


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("A1-B1-C1", ("-", ("-", "A1", "B1"), "C1")),
        ("A1+B1*C1^D1", ("+", "A1", ("*", "B1", ("^", "C1", "D1")))),
        ("A1^B1^C1", ("^", ("^", "A1", "B1"), "C1")),
        ("(A1>B1)*1", ("*", (">", "A1", "B1"), "1")),
        ("SUM(A1-B1,C1)/2", ("/", ("SUM(", ("-", "A1", "B1"), "C1"), "2")),
    ],
)
def test_formulas_are_read_by_the_order_of_operators(text, tree):
    assert Reading(text).tree == tree
