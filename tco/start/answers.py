"""What a starting study is made from: a few answers, each read as the study's own columns are, or taken."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from tco.cell import Cell
from tco.errors import AskedError, UnknownNameError
from tco.read.averages import Average, average
from tco.read.column import Column
from tco.read.problems import Refused, nearest, shown
from tco.read.quantities import Money
from tco.read.restate import plain
from tco.read.tables import cells
from tco.read.values import value
from tco.start import texts
from tco.study import Exchange, Settings, Version
from tco.units import CURRENCIES

NONE = "none"
ALSO = {"united kingdom": "Great Britain", "uk": "Great Britain"}  # other names of regions
DEAR = 50  # a kWh is no dearer than this part of what a drive costs: what is more was meant in cents
LEAST_ROOM, MOST_ROOM = 0.5, 500.0  # TB; smaller ones need no cluster, larger ones no household
ROOM, FIRST_CURRENCY = "12 TB", "EUR"
PRICE, HELD = cells(Version)["price"], cells(Settings)["data_held"]
DRIVE = Cell("number", "what a new hard drive of 8 TB costs", "180 EUR", unit="{money}", least=0.01, most=1e9)
TODAY = Cell("date", "the day that it is", "2026-11-20")


@dataclass(frozen=True)
class Answers:
    """All that is asked. today: the day that it is. region: of the average price, empty for none; price: of a kWh,
    as text, empty for the average; rate: what one of the region's currency costs, empty where that is the study's;
    drive: what a new hard drive of 8 TB costs; room: data held at the start, TB; builds: names of scenarios, the
    first one first. given: the names of those that were answered, and not taken.
    """

    today: date
    region: str = ""
    currency: str = ""
    price: str = ""
    rate: str = ""
    drive: Decimal = Decimal(0)
    room: float = 0.0
    builds: tuple[str, ...] = ()
    given: frozenset[str] = field(default_factory=frozenset)

    @property
    def start(self) -> date:
        """The first day of the month after today, with which the study begins."""
        return date(self.today.year + self.today.month // 12, self.today.month % 12 + 1, 1)

    @property
    def official(self) -> Average | None:
        """The official average that the price of electricity is taken from, if it is."""
        return average(self.region) if self.region and not self.price else None

    @property
    def foreign(self) -> str:
        """The currency of that average, where it is not the study's."""
        found = self.official
        return found.currency if found and found.currency != self.currency else ""


Given = Mapping[str, str]


@dataclass(frozen=True)
class Question:
    """One question.

    name: of the answer, and of its option. words, example: as a person is asked. read: an answer's text, in the
    light of the earlier ones; raises Refused. taken: the text if nothing is answered, empty where there is none; it
    may look at what else was given. is_open: whether it is asked at all. missing: why something must be answered.
    """

    name: str
    words: Callable[[Answers], str]
    example: str
    read: Callable[[str, Answers], Any]
    taken: Callable[[Answers, Given], str]
    is_open: Callable[[Answers, Given], bool] = lambda _, __: True
    missing: Callable[[Answers], str] = lambda _: "it is needed"

    @property
    def option(self) -> str:
        """As it is typed."""
        return f"--{self.name if self.name != 'drive' else 'drive-price'}"

    def shown(self, so_far: Answers) -> str:
        """The example, in the study's currency."""
        return self.example.replace("EUR", so_far.currency or "EUR")


def builds() -> tuple[str, ...]:
    """The kinds of build there are, as the starting study's scenarios are called."""
    return tuple(row["scenario"] for row in texts.template()["scenarios.csv"].rows)


def read_today(text: str) -> date:
    """The day that it is taken to be; raises AskedError."""
    try:
        found: date = value(text, Column("today", TODAY, heads=False), Money())
    except Refused as refused:
        raise AskedError("--today", str(refused)) from None
    return found


def read_region(text: str, _: Answers) -> str:
    """The name of a region as the list has it; empty for `none`."""
    if text.strip().casefold() == NONE:
        return ""
    try:
        return average(ALSO.get(text.strip().casefold(), text)).region
    except UnknownNameError as error:
        close = nearest(text, error.known)
        hint = f"did you mean {shown(close)}?" if close else f"known are {'; '.join(error.known)}."
        elsewhere = "For elsewhere say 'none', and the price of a kWh on your bill (--price)"
        raise Refused(f"no average price of {shown(text.strip())} is known; {hint} {elsewhere}") from None


def read_currency(text: str, _: Answers) -> str:
    """A currency's code, in capitals or not."""
    return str(value(text.strip().upper(), Column("currency", cells(Settings)["currency"]), Money()))


def read_price(text: str, so_far: Answers) -> str:
    """The price of a kWh, as tariffs.csv has it."""
    money = Money(so_far.currency)
    unit = f"{so_far.currency}/kWh"
    found = value(text, Column("price", PRICE, unit=unit, heads=False), money)
    usual = texts.currency(so_far.currency)["drive"]
    if found < 0 or (usual and found > float(usual) / DEAR):
        most = f", and at most {float(usual) / DEAR:g} {unit} here" if usual else ""
        raise Refused(f"found {plain(found)} {unit}; a kWh costs 0 or more{most}: 29 cents are 0.29")
    return f"{plain(found)} {unit}"


def read_rate(text: str, so_far: Answers) -> str:
    """What one of the region's currency costs, as exchange.csv has it."""
    if not so_far.foreign:
        raise Refused(f"no rate is needed, for everything is in {so_far.currency}")
    return plain(value(text, Column("rate", cells(Exchange)["rate"], heads=False), Money()))


def read_drive(text: str, so_far: Answers) -> Decimal:
    """What a drive costs in the study's currency."""
    found = value(text, Column("drive price", DRIVE, unit=so_far.currency, heads=False), Money(so_far.currency))
    return Decimal(plain(found))


def read_room(text: str, _: Answers) -> float:
    """How much is kept at the start, TB."""
    found = float(value(text, Column("room", HELD, unit="TB", heads=False), Money()))
    if not LEAST_ROOM <= found <= MOST_ROOM:
        span = f"from {LEAST_ROOM:g} TB to {MOST_ROOM:g} TB"
        raise Refused(f"found {found:g} TB; builds of a home hold {span} at the start")
    return found


def read_builds(text: str, _: Answers) -> tuple[str, ...]:
    """Names of builds joined by commas, each by its whole name or one word of it; or `all`."""
    if text.strip().casefold() == "all":
        return builds()
    names = [part.strip() for part in text.split(",") if part.strip()]
    if not names:
        raise Refused(f"name at least one of {', '.join(builds())}")
    return tuple(dict.fromkeys(_build(name) for name in names))


def _build(text: str) -> str:
    """The build that a name, or a word of it, means."""
    folded = text.casefold()
    for name in builds():
        if folded in (name.casefold(), *name.casefold().split()):
            return name
    raise Refused(f"there is no kind of build {shown(text)}; there are {', '.join(builds())}")


def usual_region(_: Answers, given: Given) -> str:
    """The region of the currency that was given; none beside a price of one's own."""
    if "price" in given:
        return NONE
    return texts.currency(given.get("currency", FIRST_CURRENCY).strip().upper())["region"]


def usual_currency(so_far: Answers, given: Given) -> str:
    """The region's; else that of a price that was given."""
    if so_far.region:
        return average(so_far.region).currency
    said = given.get("price", "").upper()
    return next((code for code in CURRENCIES if f"{code}/" in said.replace(" ", "")), FIRST_CURRENCY)


CURRENCY = Question("currency", lambda _: "Currency of the study", "EUR", read_currency, usual_currency)
QUESTIONS: Sequence[Question] = (
    Question(
        "region",
        lambda _: "Country or state, for its average price of electricity (none: you know the price of a kWh)",
        "Germany",
        read_region,
        usual_region,
        lambda _, given: "price" not in given or "region" in given,
        lambda _: (
            "the currency alone tells no region: name a country or state whose average price is listed, or give the "
            "price of a kWh on your bill with --price"
        ),
    ),
    CURRENCY,
    Question(
        "price",
        lambda so_far: f"What one more kWh costs on your bill, taxes in it, in {so_far.currency}",
        "0.31 EUR/kWh",
        read_price,
        lambda _, __: "",
        lambda so_far, given: not so_far.region or "price" in given,
        lambda _: "without a region the price of a kWh is needed",
    ),
    Question(
        "rate",
        lambda so_far: f"What 1 {so_far.foreign} costs in {so_far.currency}",
        "0.95",
        read_rate,
        lambda _, __: "",
        lambda so_far, given: bool(so_far.foreign) or "rate" in given,
        lambda so_far: (
            f"the average price of {so_far.region} is in {so_far.foreign}: say what 1 {so_far.foreign} costs in "
            f"{so_far.currency}, or give the price of a kWh on your bill with --price"
        ),
    ),
    Question(
        "drive",
        lambda so_far: f"What a new hard drive of 8 TB costs in a shop, in {so_far.currency}",
        "180 EUR",
        read_drive,
        lambda so_far, _: texts.currency(so_far.currency)["drive"],
        missing=lambda so_far: (
            f"no rough price of a new hard drive of 8 TB is known in {so_far.currency}, only in "
            f"{', '.join(texts.known_currencies())}; all invented prices follow from it"
        ),
    ),
    Question(
        "room",
        lambda _: f"How many TB are to be kept at the start, from {LEAST_ROOM:g} to {MOST_ROOM:g}",
        "12 TB",
        read_room,
        lambda _, __: ROOM,
    ),
    Question(
        "build",
        lambda _: f"Kinds of build, joined by commas ({', '.join(builds())})",
        "minis, servers",
        read_builds,
        lambda _, __: "all",
    ),
)
FIELDS = {"build": "builds"}  # answers that are called otherwise than their question
Ask = Callable[[Question, Answers, str], Answers]


def take(question: Question, text: str, so_far: Answers) -> Answers:
    """The answers with one more; raises AskedError."""
    try:
        found = question.read(text, so_far)
    except Refused as refused:
        raise AskedError(question.option, str(refused)) from None
    return replace(so_far, **{FIELDS.get(question.name, question.name): found})


def answered(given: Given, ask: Ask | None = None) -> Answers:
    """All answers; ask: puts a question that is open, with what is taken if nothing is typed. Raises AskedError.

    The day is the clock's where it is not given; nobody is asked for it, but it is told.
    """
    found = Answers(read_today(given["today"]) if "today" in given else date.today(), given=frozenset(given))
    if "currency" in given:  # it says which region is usual, so a wrong one is told first
        take(CURRENCY, given["currency"], found)
    for question in QUESTIONS:
        if question.name in given:
            found = take(question, given[question.name], found)
        elif question.is_open(found, given):
            found = open_answer(question, found, given, ask)
        elif question.name == "region":
            found = take(question, NONE, found)
    return found


def open_answer(question: Question, so_far: Answers, given: Given, ask: Ask | None) -> Answers:
    """The answers with one that was not given: asked for, or taken."""
    text = question.taken(so_far, given)
    if ask is not None:
        found = ask(question, so_far, text)
        return replace(found, given=found.given | {question.name})
    if not text:
        example = f'{question.option} "{question.shown(so_far)}"'
        raise AskedError(question.option, f"{question.missing(so_far)}; example: {example}")
    return take(question, text, so_far)
