"""Resale: what is there when a part leaves sells by its resale curve at its expected ages, less the cost of selling.

A unit bought new fetches its price, with tax and without shipping, times share(age at sale); the price of a used one
is that of a new one times share(age when bought), which it is divided by first. On the base `own price` that is the
price it was bought at, in nominal money; on `new price then` both shares are of what a new one costs at the sale, so
the price trend runs on until then. A unit bought as a replacement sells from what it cost, owned gear from what it
would fetch today.

What would be fetched at the end of every month is worked out, not only when a part leaves: the sum over the months in
which units were put in of what they cost then, times what is left of it by now (a convolution).
"""

from __future__ import annotations

from tco.cell import Cell
from tco.engine import Column, Constant, Node, added, at, call
from tco.model.ground import Ground, Line, growing
from tco.model.leaving import due, each_stay, per_month, quantity, there
from tco.model.shared import is_new, resale_key
from tco.model.slot import Slot, Stay
from tco.model.slots import DEPENDS
from tco.units import unit


def build(ground: Ground) -> Node:
    sales = [due(ground, slot) * sale(ground, slot, stay) for slot, stay in each_stay(ground) if stay.part.resale]
    return Constant(-1.0, unit("")) * added(sales) if sales else ground.nothing()


def sale(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """What all units of one kind in a row's slots would fetch at the end of each month, net of selling."""
    gross = fetched(ground, slot, stay, paid(ground, slot, stay), left(ground, slot, stay))
    gross = gross * ground.setting("resale_level")
    now = gross if on_own_price(ground, stay) else gross * ground.price_then(stay.row)
    selling = at(ground.part("selling_cost"), stay.row) * ground.month("other_level") * there(ground, slot, stay)
    net = now * (1.0 - ground.setting("selling_share")) - selling
    name = f"{stay.part.part} sold, if at the end of the month"
    return per_month(ground, slot, stay, "sold", name, quantity(ground, slot) * net)


def fetched(ground: Ground, slot: Slot, stay: Stay, paid: Column, left: Column) -> Node:
    """What was put in, at what is left of its price by now; what wears, from the first month that is not worn yet."""
    if stay.since is None:
        return call("convolved", paid, left)
    label = f"{stay.part.part} put in before this month is worn by now"
    since = ground.model.given(
        paid.table, f"since {slot.key} {stay.row}", label, "month", stay.since, computed=f"what is worn ({DEPENDS})"
    )
    return call("convolved_since", paid, left, ground.month("month"), since)


def on_own_price(ground: Ground, stay: Stay) -> bool:
    """Whether a unit's resale curve is a share of its own price, not of a new one's."""
    return ground.study.resale[stay.part.resale][0].base == "own price"


def paid(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """What units put in in each month are priced at, by the base of their resale curve; per slot."""
    arrivals = ground.model.given(
        there(ground, slot, stay).table,
        f"arrivals {slot.key} {stay.row}",
        f"{stay.part.part} put in, per slot",
        "",
        stay.arrivals,
        computed=f"what is put in, by month ({DEPENDS})",
    )
    first = at(ground.part("with_tax"), stay.row) + at(ground.part("fetches_today"), stay.row)
    price = first * ground.price_then(stay.row) if on_own_price(ground, stay) else first
    name = f"{stay.part.part} put in, at its price"
    return per_month(ground, slot, stay, "priced", name, arrivals * price)


def left(ground: Ground, slot: Slot, stay: Stay) -> Column:
    """What is left of a unit's price some months after it was put in, if it lives; rows run back: new comes last."""
    part, model, table = stay.part, ground.model, there(ground, slot, stay).table
    ages, shares = model["ages.key"], model["ages.share"]
    about, told = f"of a {part.part} (rows run back: the last is when it is put in)", f"ages ({DEPENDS})"
    alive = model.given(
        table, f"survives {slot.key} {stay.row}", f"still there {about}", "", stay.survives[::-1], computed=told
    )
    by_age = [resale_key(ground.study, part.resale, part.age + n) for n in range(ground.horizon, -1, -1)]
    keys = model.given(table, f"age key {slot.key} {stay.row}", f"key of the age {about}", "", by_age, computed=told)
    share = call("look_up", keys, ages, shares)
    if not is_new(part):  # it was worth something when bought, unless that was changed in the workbook
        bought = at(shares, int(resale_key(ground.study, part.resale, part.age)))
        share = call("where", call("more_than", bought, 0.0), share / bought, 0.0)
    kept = alive * share
    if ground.study.settings.money == "real" and on_own_price(ground, stay):
        years = (ground.month("month") - Constant(float(ground.horizon), unit("month"))) / Constant(
            12.0, unit("month")
        )
        kept = kept * growing(ground.setting("inflation"), years)
    return model.column(table, f"left {slot.key} {stay.row}", f"left {about}", "", kept)


LINE = Line(
    "resale",
    "Resale",
    70,
    investment=True,
    build=build,
    settings={
        "resale_level": Cell(
            "share",
            "what sales fetch of what the resale curves say: one factor for all, for a better or worse market",
            "80 %",
            default=1.0,
            least=0.0,
            most=10.0,
            live=True,
        )
    },
)
