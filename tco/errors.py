"""Everything the tool can refuse, as one small tree. The text is made from the fields.

TcoError                 anything a person can act on; exit code 2
├── StudyError           the study's tables: each problem with its place
├── FormulaError         a formula whose units do not fit; found when a model is built
├── FigureError          a figure that is no number (division by zero, overflow); found when it is computed
├── SupplyError          one of them: a node whose supply is not there, so its power at the plug is not known
├── DisagreementError    a published figure that a second way of working it out does not confirm
├── PastError            a month before a new price that would not keep its cost
├── StockError           more units of a part that go than are there
├── DrawsError           a number of draws, or a seed, that a simulation cannot use
├── StoppedError         a simulation that was interrupted; exit code 1
├── AskedError           a question that cannot be put like that: the same scenario twice, a low end above the high
├── VariedError          an input at a value with which some figure is no number
├── LevelError           a value at which two scenarios should cost the same, and do not: a fault of the tool
└── ResultError          results that cannot be written (an edited workbook, a full disk)
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, order=True)
class Place:
    """Where something stands in a person's files. `line` and `column` count from 1; 0 means the whole of it."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        parts = [self.file, *(str(n) for n in (self.line, self.column) if n)]
        return ":".join(parts)


class TcoError(Exception):
    """The base a caller can catch: a problem of the inputs or the surroundings, not of the program."""

    exit_code = 2


class StudyError(TcoError):
    """Every problem of a study at once: pairs of place and message, in file order."""

    def __init__(self, found: Sequence[tuple[Place, str]]) -> None:
        super().__init__(tuple(found))
        self.found = tuple(found)

    def __str__(self) -> str:
        lines = [f"{place}: {message}" for place, message in self.found]
        problems = "1 problem" if len(lines) == 1 else f"{len(lines)} problems"
        count = len({place.file for place, _ in self.found})
        files = "1 file" if count == 1 else f"{count} files"
        return "\n".join([*lines, f"{problems} in {files}; nothing was written"])


class FormulaError(TcoError):
    """A formula whose units do not fit: names the column and both units."""

    def __init__(self, column: str, what: str, found: str, wanted: str) -> None:
        super().__init__(column, what, found, wanted)
        self.column, self.what, self.found, self.wanted = column, what, found, wanted

    def __str__(self) -> str:
        return f"{self.column}: {self.what}: found {self.found}, wanted {self.wanted}"


class FigureError(TcoError):
    """A figure that is no finite number: names the column, the row and the inputs with their values."""

    def __init__(self, column: str, row: str, inputs: Sequence[tuple[str, float]]) -> None:
        super().__init__(column, row, tuple(inputs))
        self.column, self.row, self.inputs = column, row, tuple(inputs)

    def __str__(self) -> str:
        shown = ", ".join(f"{name} = {value:g}" for name, value in self.inputs)
        why = "not a finite number (division by zero, overflow, or too small to hold)"
        return f"{self.column}, {self.row}: {why}; inputs: {shown}"


class SupplyError(FigureError):
    """A node none of whose supplies is there: names scenario and node."""

    def __init__(self, scenario: str, node: str) -> None:
        super().__init__(f"supplies of {scenario}.load", node, ())
        self.args = scenario, node
        self.scenario, self.node = scenario, node

    def __str__(self) -> str:
        return (
            f"{self.scenario}: no power supply of node '{self.node}' is there, so what its parts draw at the plug is "
            "not known: a supply must come with them, and stay as long"
        )


class DisagreementError(TcoError):
    """Two ways of working out a published figure that differ by more than rounding: a fault of the tool."""

    def __init__(self, scenario: str, measure: str, own: float, other: float) -> None:
        super().__init__(scenario, measure, own, other)
        self.scenario, self.measure, self.own, self.other = scenario, measure, own, other

    def __str__(self) -> str:
        ways = f"{self.own!r} by the model, {self.other!r} by its check"
        return f"{self.measure} of {self.scenario}: {ways}; this is a fault of tco, and nothing was written"


class PastError(TcoError):
    """A new version of a tariff that changes months before it: names scenario, line, month and both amounts."""

    def __init__(self, scenario: str, line: str, month: str, amounts: tuple[float, float], since: str) -> None:
        super().__init__(scenario, line, month, amounts, since)
        self.scenario, self.line, self.month, self.amounts, self.since = scenario, line, month, amounts, since

    def __str__(self) -> str:
        before, after = self.amounts
        return (
            f"{self.line} of {self.scenario} in {self.month} would be {after:.2f} instead of {before:.2f}, though "
            f"the new version begins in {self.since}: what comes with it must not count earlier (holidays may name "
            "their hours, hours have a name of their own); nothing was written"
        )


class StockError(TcoError):
    """A purchase for which more units of a part would go than are there then."""

    def __init__(self, scenario: str, purchase: str, part: str, lacking: int) -> None:
        super().__init__(scenario, purchase, part, lacking)
        self.scenario, self.purchase, self.part, self.lacking = scenario, purchase, part, lacking

    def __str__(self) -> str:
        return (
            f"{self.purchase} of {self.scenario}: {self.lacking} more '{self.part}' would go than are there then; "
            "nothing was written"
        )


class ResultError(TcoError):
    """Results that could not be written; what was there before is untouched."""


class UnknownNameError(TcoError):
    """A scenario, line or month that the study does not have; says which names it has.

    meant: the one that may be meant, if the caller knows better than by its letters.
    """

    def __init__(self, kind: str, found: str, names: Iterable[str], meant: Sequence[str] | None = None) -> None:
        known = list(names)
        super().__init__(kind, found, tuple(known), meant)
        by_fold = {name.casefold(): name for name in known}
        close = get_close_matches(found.casefold(), by_fold, n=1, cutoff=0.5)
        near = [by_fold[name] for name in close] if meant is None else meant
        self.text = f"there is no {kind} '{found}'" + (f"; did you mean '{near[0]}'?" if near else "")
        self.known, self.meant = known, meant

    def __str__(self) -> str:
        return f"{self.text}\nthere are: {'; '.join(self.known)}"


class DrawsError(TcoError):
    """A number of draws, or a seed, that a simulation cannot use."""

    def __init__(self, what: str, found: int, least: int, most: int) -> None:
        super().__init__(what, found, least, most)
        self.what, self.found, self.least, self.most = what, found, least, most

    def __str__(self) -> str:
        return (
            f"{self.what}: found {self.found}, it must be from {self.least:,} to {self.most:,}; nothing was written"
        )


class StoppedError(TcoError):
    """A simulation that was interrupted: says how far it got."""

    exit_code = 1

    def __init__(self, done: int, draws: int) -> None:
        super().__init__(done, draws)
        self.done, self.draws = done, draws

    def __str__(self) -> str:
        return f"stopped after {self.done:,} of {self.draws:,} draws; nothing was written, earlier results stay"


class AskedError(TcoError):
    """A question that cannot be put like that: what was asked, and what would be right."""

    def __init__(self, what: str, why: str) -> None:
        super().__init__(what, why)
        self.what, self.why = what, why

    def __str__(self) -> str:
        return f"{self.what}: {self.why}; nothing was written"


class VariedError(TcoError):
    """An input at a value with which some figure is no number: names both, and the figure."""

    def __init__(self, where: str, error: FigureError) -> None:
        super().__init__(where, error)
        self.where, self.error = where, error

    def __str__(self) -> str:
        return f"{self.where} leaves no figure; nothing was written\n{self.error}"


class LevelError(TcoError):
    """A value at which two scenarios should cost the same, or beside it one should cost less, and it is not so."""

    def __init__(self, between: str, where: str, apart: float, wanted: str) -> None:
        super().__init__(between, where, apart, wanted)
        self.between, self.where, self.apart, self.wanted = between, where, apart, wanted

    def __str__(self) -> str:
        return (
            f"{self.between} at {self.where}: they are {self.apart!r} apart, where {self.wanted}; "
            "this is a fault of tco, and nothing was written"
        )
