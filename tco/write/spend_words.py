"""What to buy next, in sentences: for the terminal and for the workbook's front sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.ask.spend import HUNDRED, Best, Figure, Single, Spending, Value
from tco.ask.spend_goal import MORE
from tco.model.measure import LEVEL
from tco.units import WHOLE
from tco.write.chance_words import Signs
from tco.write.fixed import percent
from tco.write.reprice_words import joined
from tco.write.summary import kept_for

DIGITS = {"TB": 1, "W": 1, "h": 1, "h/year": 1, "dB(A)": 1, "A": 2, "MB/s": 0, "": 0, "BTU/h": 0}
NEXT = 3  # purchases that the answer names after the first one
BESIDE = ("lcc", "first_power", "noise_busy")  # what a set changes besides, if it does
SAME = {"lcc": LEVEL, "first_power": 0.05, "noise_busy": 0.05}  # what is told as no change


def answers(found: Spending, signs: Signs) -> list[str]:
    """The answer, most important first."""
    if found.best is None:
        return [one for one in (first(found, signs), following(found, signs)) if one]
    return [one for one in (to_buy(found, found.best, signs), beside(found, found.best, signs), proof(found)) if one]


def money(found: Spending) -> str:
    """The study's money."""
    return found.study.settings.currency


def amount(found: Spending, value: float, signs: Signs) -> str:
    """An amount: to the coin where it is not whole."""
    whole = abs(value - round(value)) < LEVEL or money(found) in WHOLE
    return f"{signs.amount(value, 0 if whole else 2)} {money(found)}"


def told(figure: Figure, value: Value, signs: Signs, *, bare: bool = False) -> str:
    """A figure with its unit; words as they are."""
    if isinstance(value, str):
        return value
    if figure.percent:
        return percent(value, 1, signs.minus)
    text = number(figure, value, signs)
    return text if bare or not figure.unit else f"{text} {figure.unit}"


def number(figure: Figure, value: float, signs: Signs) -> str:
    """A figure's digits."""
    if figure.unit in DIGITS:
        return signs.amount(value, DIGITS[figure.unit])
    return signs.amount(value) if abs(value) >= HUNDRED else significant(value, signs, 4)


def significant(value: float, signs: Signs, digits: int = 3) -> str:
    """A number with so many digits that say something."""
    rounded = float(f"{value:.{digits}g}") + 0.0
    return f"{rounded:,.10g}".replace("-", signs.minus)


def from_to(figure: Figure, signs: Signs) -> str:
    """`goes from 17.1 to 25.6 TB`, or that it stays."""
    before, after = (told(figure, one, signs) for one in (figure.before, figure.after))
    if before == after:
        return f"stays {before}"
    bare = not isinstance(figure.before, str) and not isinstance(figure.after, str)
    return f"goes from {told(figure, figure.before, signs, bare=bare) if bare else before} to {after}"


def goal_figures(found: Spending, figures: Sequence[Figure]) -> list[Figure]:
    """The figures of the goal."""
    names = ("needs_open", "needs_shortfall") if found.goal.is_needs else (found.goal.name,)
    by_name = {figure.name: figure for figure in figures}
    return [by_name[name] for name in names if name in by_name]


def goal_goes(found: Spending, figures: Sequence[Figure], signs: Signs) -> str:
    """What becomes of the goal."""
    own = goal_figures(found, figures)
    if not found.goal.is_needs:
        return "".join(f"{figure.label} {from_to(figure, signs)}" for figure in own)
    needs, short = own
    if needs.after == 0:
        return f"all needs are met then ({told(needs, needs.before, signs)} missed or unknown today)"
    stay = "stay" if needs.before == needs.after else "go from"
    counts = f"{needs.after:.0f}" if stay == "stay" else f"{needs.before:.0f} to {needs.after:.0f}"
    less = from_to(short, signs)
    return f"needs missed or unknown {stay} {counts}, what they are short, added up, {less} of what is wanted"


def gained(found: Spending, gains: Sequence[float], signs: Signs) -> str:
    """Gains with their unit and direction: `2.1 TB more`."""
    if found.goal.is_needs:
        needs, short = gains
        fewer = f"{significant(needs, signs)} need{'s' * (needs != 1)} fewer" if needs else ""
        less = f"{significant(100 * short, signs)} % of shortfall less" if short else ""
        return " and ".join(filter(None, (fewer, less))) or "nothing"
    gain, goal = gains[0], found.goal
    is_more = (goal.way == MORE) == (gain >= 0)
    value = f"{significant(100 * abs(gain), signs)} %" if goal.percent else significant(abs(gain), signs)
    return " ".join(filter(None, (value, goal.unit, "more" if is_more else "less")))


def for_money(found: Spending, one: Single, signs: Signs) -> str:
    """What a purchase gives for its money: `2.1 TB more per 100 EUR`; `8.5 TB more, for nothing`."""
    if one.per_100 is not None:
        return f"{gained(found, one.per_100, signs)} per {HUNDRED:.0f} {money(found)}"
    assert one.gains is not None
    assert one.price is not None
    what = "for nothing" if abs(one.price) <= LEVEL else f"and {amount(found, -one.price, signs)} less to pay"
    return f"{gained(found, one.gains, signs)}, {what}"


def with_along(one: Single) -> str:
    """A purchase and what it needs: `faster adapters (with faster switch)`, `one more node, no. 2 (with no. 1)`."""
    own = f"{one.name.rpartition(', no. ')[0]}, "
    others = [name.removeprefix(own) if name.startswith(f"{own}no. ") else name for name in one.along]
    return f"{one.name} (with {joined(others)})" if others else one.name


def first(found: Spending, signs: Signs) -> str:
    """The purchase that gives most for its money."""
    one = found.first
    if one is None:
        return f"Nothing that may be bought for {found.scenario} improves this: {found.goal.label}."
    assert one.price is not None
    bought = f"{with_along(one)}, {amount(found, one.price, signs)}"
    goes = goal_goes(found, one.figures, signs)
    return f"For {found.scenario}, {bought}, gives most for its money: {for_money(found, one, signs)}; {goes}."


def following(found: Spending, signs: Signs) -> str:
    """The next ones; empty where there are none."""
    others = [one for one in found.singles if one.is_recommended][1:]
    if not others:
        return ""
    texts = [f"{with_along(one)}, {for_money(found, one, signs)}" for one in others[:NEXT]]
    more = f"; and {len(others) - NEXT} more" if len(others) > NEXT else ""
    return f"Next: {'; '.join(texts)}{more}."


def to_buy(found: Spending, best: Best, signs: Signs) -> str:
    """What to buy within the budget, and what becomes of the goal."""
    of = f"Of {amount(found, best.budget, signs)} for {found.scenario}"
    goes = goal_goes(found, best.figures, signs)
    if not best.names:
        return (
            f"{of}, buy nothing: no set within it that fits and misses no need that is met today is better; {goes}."
        )
    bought = f"{of}, buy {joined(list(best.names))} ({amount(found, best.price, signs)}): {goes}"
    return (
        f"{bought}."
        if improves(found, best)
        else f"{bought}; nothing within it improves that, and this costs less in all."
    )


def improves(found: Spending, best: Best) -> bool:
    """Whether the goal itself is better than today."""
    return any(figure.before != figure.after for figure in goal_figures(found, best.figures))


def beside(found: Spending, best: Best, signs: Signs) -> str:
    """What the set changes besides the goal; empty where nothing."""
    changed = [figure for figure in best.figures if figure.name in BESIDE and is_changed(figure)]
    own = [figure for figure in changed if figure.name != found.goal.name]
    if not own:
        return ""
    order = sorted(own, key=lambda figure: BESIDE.index(figure.name))
    texts = [f"{label(found, figure)} {from_to(figure, signs)}" for figure in order]
    return f"Besides, {joined(texts)}."


def is_changed(figure: Figure) -> bool:
    """Whether a figure changes by more than is told."""
    return figure.before != figure.after if figure.change is None else abs(figure.change) > SAME[figure.name]


def label(found: Spending, figure: Figure) -> str:
    """A figure's label; of costs with how long they are counted."""
    kept = kept_for(found.study.settings.horizon)
    return f"{figure.label} over {kept}" if figure.name == "lcc" else figure.label


def proof(found: Spending) -> str:
    """How many sets were looked at, and whether none can be better."""
    assert found.best is not None
    best = found.best
    if best.why_not_proven:
        return f"This is not proven to be the best set: {'; '.join(best.why_not_proven)}."
    sets = f"All {best.looked_at:,} sets" if best.looked_at != 1 else "The only set"
    return (
        f"{sets} that respect what purchases need and exclude were looked at; {best.affordable:,} can be bought "
        "within the budget (buying nothing is one of them), and none of those that fit is better."
    )


def verdict(one: Single) -> str:
    """What is said of a purchase."""
    if one.why_not:
        return f"not recommended: {'; '.join(one.why_not)}"
    return "improves" if one.improves else "no improvement in this"


def notes(found: Spending) -> Iterator[str]:
    """How purchases were judged, and what that leaves out."""
    way = "more" if found.goal.way == MORE else "less"
    goal = found.goal.label
    better = f"{way} is better"
    if found.goal.is_needs:
        better = "fewest first, then the smallest sum of what each is short as a share of what is wanted"
        some = any(found.comparison.measure(one, "needs_unknown") for one in found.comparison.built.grounds)
        better += "; one that is unknown counts as short of all of it" if some else ""
    yield f"Asked for: {goal}; {better}. Each purchase is looked at by itself, with all that it needs bought along."
    yield (
        "The price is what is paid more at the start, tax and shipping in it, less what is then not bought and what "
        "owned gear brings. A life-cycle cost has power, failures and resale in it as well."
    )
    if found.best is not None:
        yield "Of sets alike in this that of the lowest life-cycle cost is taken, then that of the fewest purchases."
    else:
        yield (
            "Several purchases together may do more or less than each by itself: name a --budget for the best set "
            "within it."
        )
    if found.left_out:
        yield (
            "The need 'budget start' is left out: it speaks of the first purchase, and what comes on top has a "
            "budget of its own."
        )
    yield "What does not fit, or misses a need that is met today, is never recommended."
