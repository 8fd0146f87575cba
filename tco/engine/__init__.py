"""Columns and formulas, read as numbers, live cells, words and units."""

from tco.engine import functions
from tco.engine.evaluate import Figures, evaluate
from tco.engine.model import Model
from tco.engine.nodes import FUNCTIONS, Array, Call, Column, Constant, Node, Ref, Table, added, at, call, least, most
from tco.engine.replay import Replay
from tco.engine.sheet import Address, Span, cell_formula, spans, starts_otherwise
from tco.engine.slopes import Slopes
from tco.engine.words import absent, cell_text, in_numbers, in_words, quantity

__all__ = [
    "FUNCTIONS",
    "Address",
    "Array",
    "Call",
    "Column",
    "Constant",
    "Figures",
    "Model",
    "Node",
    "Ref",
    "Replay",
    "Slopes",
    "Span",
    "Table",
    "absent",
    "added",
    "at",
    "call",
    "cell_formula",
    "cell_text",
    "evaluate",
    "functions",
    "in_numbers",
    "in_words",
    "least",
    "most",
    "quantity",
    "spans",
    "starts_otherwise",
]
