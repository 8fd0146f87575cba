"""The answer in plain sentences, live: their numbers and names come from the summary's table."""

from __future__ import annotations

from tco.ask.compare import cents
from tco.model.needs import stated_names
from tco.write import names
from tco.write.blocks import Draft
from tco.write.board import Board
from tco.write.how_sure import how_sure
from tco.write.live import Live, either, fixed, sentence, size


def answers(draft: Draft, board: Board, kept: str) -> list[Live]:
    """The answer: what is cheapest, against what, from when, and how sure."""
    first = board.place_of(Live("1", 1))
    unmet, last = left_out(draft, board), sentence(not_fitting(board), how_sure(draft, board))
    if len(board.grounds) == 1:
        return [cheapest(draft, board, first, kept), *unmet, last]
    second = board.place_of(Live("2", 2))
    row = next(n for n, ground in enumerate(board.grounds, start=1) if ground.scenario.baseline)
    is_baseline = Live(f"{first.formula}={row}", first.value == row)
    return [
        cheapest(draft, board, first, kept),
        difference(draft, board, (first, second, Live(str(row), row)), is_baseline, kept),
        ahead(draft, board, either_place(is_baseline, second, first), Live(str(row), row)),
        *unmet,
        last,
    ]


def either_place(test: Live, yes: Live, no: Live) -> Live:
    """One of two rows."""
    return Live(f"IF({test.formula},{yes.formula},{no.formula})", yes.value if test.value else no.value)


def cheapest(draft: Draft, board: Board, place: Live, kept: str) -> Live:
    """What costs least."""
    needs = any(key for key in stated_names(draft.comparison.study))
    lead: Live | str = "Cheapest: "
    if len(board.grounds) == 1:
        lead = "The only scenario: "
    elif needs:
        lead = either(board.is_ranked(place), "Cheapest of those that meet all needs: ", NONE_MEETS)
    return sentence(
        lead, board.name(place), ", at ", fixed(board.figure("equivalent_month", place), draft.digits),
        f" {draft.money} a month, spread evenly; ", fixed(board.figure("lcc", place)),
        f" {draft.money} over {kept}, later payments at their worth at the start{of_real_money(draft)}.",
    )  # fmt: skip


NONE_MEETS = "No scenario is known to meet all needs, so none is ranked. The one that costs least: "


def left_out(draft: Draft, board: Board) -> list[Live]:
    """Who is not ranked, and why; no sentence in a study without needs."""
    if not stated_names(draft.comparison.study):
        return []
    rows = range(len(board.grounds))
    opens = [Live(f"{board.cell('open', n)}>0", board.helpers(n)["open"].value > 0) for n in rows]
    whys = [Live(board.cell("why", n), board.helpers(n)["why"].value) for n in rows]
    names_of = [Live(board.cell("scenario", n), board.grounds[n].scenario.scenario) for n in rows]
    told = [either(opens[n], sentence(" ", names_of[n], " – ", ended(whys[n])), "") for n in rows]
    every = Live(f"SUM({board.span('open')})=0", not any(one.value for one in opens))
    fine = "All scenarios meet all needs." if len(opens) > 1 else "It meets all needs."
    return [either(every, fine, sentence("Not ranked, for a need is missed or unknown:", *told))]


def not_fitting(board: Board) -> Live:
    """Which scenarios have parts without a place; nothing where all fit, or none says."""
    told, count = [], []
    for number, ground in enumerate(board.grounds):
        short = board.measure(number, "places_short")
        count.append(Live(f"SUM({short.formula})", short.value))  # SUM passes over words
        some = Live(f"{count[-1].formula}>0", short.value > 0)
        told.append(either(some, f" {ground.scenario.scenario}.", ""))
    every = Live(f"{'+'.join(one.formula for one in count)}=0", not any(one.value for one in count))
    return either(every, "", sentence("Not all parts have a place in:", *told, " "))


def ended(phrases: Live) -> Live:
    """Phrases that each end with a semicolon, as a sentence."""
    return Live(f'LEFT({phrases.formula},MAX(0,LEN({phrases.formula})-2))&"."', phrases.value[:-2] + ".")


def of_real_money(draft: Draft) -> str:
    """What to add where inflation is left out of rates and amounts."""
    settings = draft.comparison.study.settings
    return "" if settings.money == "nominal" else f"; amounts in money of {settings.start:%Y-%m}"


def difference(draft: Draft, board: Board, places: tuple[Live, Live, Live], is_baseline: Live, kept: str) -> Live:
    """How much less than the baseline; where the baseline is cheapest, how much more the next one costs."""
    (first, second, baseline), money = places, draft.money

    def amounts(place: Live) -> tuple[Live, Live]:
        costs = [board.figure("lcc", one) for one in (baseline, place)]
        whole = Live(f"({costs[0].formula}-{costs[1].formula})", costs[0].value - costs[1].value)
        return fixed(size(board.figure("saved_a_month", place)), draft.digits), fixed(size(whole))

    def level(place: Live) -> Live:
        costs = [board.figure("lcc", one) for one in (baseline, place)]
        return Live(
            f"ROUND({costs[0].formula},2)=ROUND({costs[1].formula},2)", cents(costs[0].value) == cents(costs[1].value)
        )

    month, whole = amounts(second)
    more = sentence(
        "It is the baseline. The next one, ", board.name(second), ", costs ", month, f" {money} a month more, ",
        whole, f" {money} more over {kept}.",
    )  # fmt: skip
    more = either(level(second), sentence("It is the baseline; ", board.name(second), " costs the same."), more)
    if stated_names(draft.comparison.study):
        alone = "It is the baseline, and no other scenario meets all needs."
        more = either(board.is_ranked(second), more, either(board.is_ranked(first), alone, "It is the baseline."))
    month, whole = amounts(first)
    saved = board.figure("saved_a_month", first)  # a baseline that is not ranked may cost less
    than = either(Live(f"{saved.formula}>=0", saved.value >= 0), "less", "more")
    less = sentence(
        "That is ", month, f" {money} a month ", than, " than ", board.name(baseline), ", the baseline, and ",
        whole, f" {money} ", than, f" over {kept}.",
    )  # fmt: skip
    same = sentence(board.name(baseline), ", the baseline, costs the same.")
    return either(is_baseline, more, either(level(first), same, less))


def ahead(draft: Draft, board: Board, place: Live, baseline: Live) -> Live:
    """What it takes at the start, and from which month on it is ahead of the baseline, or behind."""
    money, name = draft.money, board.name(place)
    return sentence(
        "Paid at the start: ", fixed(board.figure("paid_at_start", place)), f" {money} for ", name, ", ",
        fixed(board.figure("paid_at_start", baseline)), f" {money} for ", board.name(baseline), ". Resale left out, ",
        name, " ", standing(draft, board, place), ".",
    )  # fmt: skip


def standing(draft: Draft, board: Board, place: Live) -> Live:
    """Where a scenario stands against the baseline at the end, and since when."""
    side, caught, fell = (board.figure(key, place) for key in ("side", "month", "fell behind"))

    def since(month: Live, word: str) -> Live:
        start = Live(f"{month.formula}=0", month.value == 0)
        from_month = sentence(
            f"has cost {word} from month ", fixed(month), " (", month_name(draft, month), ") to the end"
        )
        return either(start, f"has cost {word} from the start", from_month)

    is_ahead, is_level = Live(f"{side.formula}>0", side.value > 0), Live(f"{side.formula}=0", side.value == 0)
    behind = either(is_level, "has cost the same", since(fell, "more than the baseline"))
    return either(is_ahead, since(caught, "less than the baseline"), behind)


def month_name(draft: Draft, month: Live) -> Live:
    """The calendar month of a month's number: `2027-09`."""
    calendar = draft.comparison.built.model["calendar.month"]
    first, last = (draft.layout.cell(calendar, row)[1] for row in (0, len(calendar.table.rows) - 1))
    rows = [address.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") for address in (first, last)]
    labels = f"{names.quoted(names.CALENDAR)}$A${rows[0]}:$A${rows[1]}"
    return Live(f"LEFT(INDEX({labels},{month.formula}+1),7)", calendar.table.rows[int(month.value)][:7])
