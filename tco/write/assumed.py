"""What was assumed, live, in a few words: what weighs most of what all scenarios share."""

from __future__ import annotations

from tco.ask.inputs import curves_of
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.live import Live, either, fixed, sentence

FAILING = "What fails is an average over many units (sheet Curves). "
PRICES = "Prices are as the parts lists have them. "
REST = "Every input with its source: Assumptions and the scenarios' own sheets."


def assumed(draft: Draft, board: Board, kept: str) -> list[Live]:
    """What was assumed, in a sentence, and where the rest stands."""
    return [sentence(a_kwh(draft, board, kept), *shared(draft), *of_parts(draft), REST)]


def of_parts(draft: Draft) -> list[str]:
    """What the parts lists rest on, where there are any."""
    grounds = draft.comparison.built.grounds
    failing = [FAILING] if any(map(curves_of, grounds)) else []
    return [*failing, PRICES] if any(ground.scenario.parts for ground in grounds) else []


def setting(draft: Draft, name: str, factor: float = 1.0) -> Live:
    """A setting's cell, times a factor."""
    column = draft.comparison.built.model[f"settings.{name}"]
    cell = draft.layout.named.get(column) or draft.layout.absolute(column)
    value = float(draft.comparison.of(column)[0])
    return Live(cell, value) if factor == 1.0 else Live(f"{factor:g}*{cell}", factor * value)


def a_kwh(draft: Draft, board: Board, kept: str) -> Live:
    """What a kWh of the builds costs; nothing where none draws any."""
    span, values = board.span("kWh price"), board.values("kWh price")
    some = [value for value in values if value > 0]
    least = Live(f"SMALL({span},COUNTIF({span},0)+1)", min(some, default=0.0))
    most = Live(f"MAX({span})", max(values))
    low, high = fixed(least, 3), fixed(most, 3)
    one = Live(f"{low.formula}={high.formula}", low.value == high.value)
    price = either(one, high, sentence(low, " to ", high))
    told = sentence("A kWh more costs ", price, f" {draft.money}, on average over {kept}. ")
    return either(Live(f"{most.formula}>0", most.value > 0), told, "")


def shared(draft: Draft) -> list[Live | str]:
    """Discounting, data and an hour's worth, as far as the study has them."""
    real = "" if draft.comparison.study.settings.money == "nominal" else " above inflation"
    rate = fixed(setting(draft, "discount", 100), 1)
    found: list[Live | str] = ["Money later counts less by ", rate, f" % a year{real} (discount rate). "]
    held = setting(draft, "data_held")
    grown: tuple[Live | str, ...] = ("growing by ", fixed(setting(draft, "data_growth", 100), 1), " % a year")
    added = setting(draft, "data_added")
    more = either(Live(f"{added.formula}=0", added.value == 0), "", sentence(" and ", fixed(added, 1), " TB a year"))
    told = sentence(fixed(held, 1), " TB are held, ", *grown, more, ". ")
    found.append(either(Live(f"{held.formula}=0", held.value == 0), "", told))
    hour = setting(draft, "hour_value")
    worth = sentence("An hour of upkeep is worth ", fixed(hour, draft.digits), f" {draft.money}. ")
    return [*found, either(Live(f"{hour.formula}=0", hour.value == 0), "", worth)]
