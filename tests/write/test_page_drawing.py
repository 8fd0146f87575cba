"""The geometry of the page's charts: small cases by hand, and what must hold of any."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from tco.write.charts import DASHES, FILLS, LINES
from tco.write.page_to_send.bars import WIDTH, Cost, bars, contrast, ink_on
from tco.write.page_to_send.curves import LINE, PATTERNS, TALL, TOP, Run, beside_ends, curves
from tco.write.page_to_send.scale import amounts, months, step_of
from tco.write.page_to_send.shown import Figure, by_look, cut, figure, width
from tco.write.page_to_send.tables import Row, Table, filled

WHITE = "#FFFFFF"


@pytest.mark.parametrize(
    ("value", "look", "text"),
    [
        (2.5, "0", "3"),
        (1.005, '#,##0.00;"−"#,##0.00;0', "1.01"),
        (-1234.5, '#,##0;"−"#,##0;0', "−1,235"),
        (0.0, '#,##0.00;"−"#,##0.00;0', "0"),
        (-0.001, '#,##0.00;"−"#,##0.00;0', "0.00"),
        (0.649, "0%", "65%"),
        (12345.0, "0", "12345"),
        (17.0666, "#,##0.0", "17.1"),
    ],
)
def test_numbers_are_written_by_their_format(value: float, look: str, text: str) -> None:
    assert by_look(value, look) == text


def test_words_lose_their_reason_and_have_no_number() -> None:
    assert figure("unknown: not stated", "0") == Figure("unknown")
    assert figure(-0.0, "0") == Figure("0", 0.0)
    assert figure(0.1 + 0.2, "0").full == "0.30000000000000004"


@pytest.mark.parametrize(
    ("values", "ticks", "unit"),
    [
        ([4800.0], ["0", "1,000", "2,000", "3,000", "4,000", "5,000"], ""),
        ([11151.0], ["0", "2,500", "5,000", "7,500", "10,000", "12,500"], ""),
        ([-1.0, 1.0], ["−1.0", "−0.5", "0", "0.5", "1.0"], ""),
        ([8.3e11], ["0", "200", "400", "600", "800", "1,000"], "thousand million "),
        ([2.4e6], ["0", "0.5", "1.0", "1.5", "2.0", "2.5"], "million "),
        ([0.0], ["0", "1"], ""),
    ],
)
def test_axes_have_round_steps(values: list[float], ticks: list[str], unit: str) -> None:
    axis = amounts(values, 0, 100)
    assert [text for _, text in axis.ticks] == ticks
    assert axis.unit == unit


@pytest.mark.parametrize("seed", range(50))
def test_axes_hold_all_values_and_nothing(seed: int) -> None:
    rng = random.Random(seed)
    size = 10.0 ** rng.uniform(-3, 12)
    values = [rng.uniform(-1, 1) * size for _ in range(rng.randint(1, 5))]
    axis = amounts(values, 10, 300)
    assert axis.low <= min(0, *values)
    assert axis.high >= max(0, *values)
    assert 10 <= axis.place(0) <= 310
    assert len(axis.ticks) <= 8
    texts = [text for _, text in axis.ticks]
    assert len(set(texts)) == len(texts)


def test_steps_are_at_least_the_span() -> None:
    assert step_of(0, 5) == 1
    assert step_of(12.5, 5) == 2.5
    assert step_of(12.6, 5) == 5


@pytest.mark.parametrize(("last", "ticks"), [(60, 6), (600, 6), (2, 3), (35, 6), (7, 4)])
def test_months_are_marked_at_even_steps(last: int, ticks: int) -> None:
    marks = [month for month, _ in months(last, 0, 100).ticks]
    assert len(marks) == ticks
    assert marks[0] == 0
    assert marks[-1] <= last


def drawn(*rows: tuple[str, tuple[float, ...]]):
    costs = [Cost(label, number, values) for number, (label, values) in enumerate(rows)]
    count = len(rows[0][1])
    totals = [Figure(f"{sum(cost.amounts[n] for cost in costs):,.0f}", 0.0) for n in range(count)]
    return bars([f"name {n}" for n in range(count)], totals, costs, "EUR")


def test_bars_are_as_long_as_their_amounts() -> None:
    made = drawn(
        ("Purchase", (3000.0, 1000.0)), ("Resale", (-900.0, 0.0)), ("Heat", (0.0, 0.0)), ("Fees", (1000.0, 0))
    )
    scale = made.axis.length / (made.axis.high - made.axis.low)
    widths = [[piece.width for piece in bar.pieces] for bar in made.bars]
    assert widths[0] == pytest.approx([3000 * scale, 900 * scale, 1000 * scale], abs=0.02)
    assert widths[1] == pytest.approx([1000 * scale], abs=0.02)
    zero = made.axis.place(0)
    first, income, last = made.bars[0].pieces
    assert first.left == zero
    assert income.left + income.width == pytest.approx(zero, abs=0.02)
    assert last.left == pytest.approx(first.left + first.width, abs=0.02)
    assert [key.label for key in made.keys] == ["Purchase", "Resale", "Fees"]
    assert [piece.text for piece in made.bars[0].pieces] == ["3,000", "−900", "1,000"]


def test_without_income_bars_start_at_nothing() -> None:
    assert drawn(("Purchase", (990.0, 1000.0))).axis.low == 0


def test_nothing_at_all_can_be_drawn() -> None:
    assert drawn(("Purchase", (0.0,))).bars[0].pieces == ()


@pytest.mark.parametrize("seed", range(20))
def test_all_of_a_bar_lies_within_the_drawing(seed: int) -> None:
    rng = random.Random(seed)
    count = rng.randint(1, 20)
    rows = [
        (f"line {n}", tuple(rng.uniform(-3, 9) * 10**seed for _ in range(count))) for n in range(rng.randint(1, 11))
    ]
    made = drawn(*rows)
    for bar in made.bars:
        assert bar.top + made.name + made.tall <= made.bottom
        for piece in bar.pieces:
            assert piece.left >= 0
            assert piece.left + piece.width <= WIDTH
            assert not piece.text or width(piece.text, 13) < piece.width
    assert max(key.top for key in made.keys) <= made.height


def test_letters_stand_out_on_every_fill() -> None:
    """WCAG 2.1, success criterion 1.4.3 (from memory): at least 4.5."""
    assert all(contrast(ink_on(fill), fill) >= 4.5 for fill in FILLS)


def test_lines_stand_out_on_white() -> None:
    """WCAG 2.1, success criterion 1.4.11 (from memory): at least 3."""
    assert all(contrast(line, WHITE) >= 3 for line in LINES)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("#000000", "#FFFFFF", 21.0),
        ("#777777", "#FFFFFF", 4.48),
        ("#767676", "#FFFFFF", 4.54),
        ("#FF0000", "#FFFFFF", 4.0),
    ],
)
def test_contrast_is_as_commonly_tabled(one: str, other: str, expected: float) -> None:
    """Values that texts on WCAG 2 give for these pairs (from memory)."""
    assert contrast(one, other) == pytest.approx(expected, abs=0.005)
    assert contrast(other, one) == contrast(one, other)


def test_every_dash_of_the_workbook_has_its_pattern() -> None:
    assert set(PATTERNS) == set(DASHES)
    assert len(set(PATTERNS.values())) == len(DASHES)


def runs(count: int, months: int = 12) -> list[Run]:
    return [
        Run(f"scenario {n}", tuple(100.0 * n + month for month in range(months + 1)), n, n == 0) for n in range(count)
    ]


def test_lines_go_through_their_points() -> None:
    made = curves([Run("one", (0.0, 50.0, 100.0), 0, strong=True, meets=(1.5, 75.0))], "EUR")
    points = [tuple(map(float, point.split(","))) for point in made.curves[0].points.split()]
    assert [x for x, _ in points] == [made.months.place(month) for month in range(3)]
    assert [y for _, y in points] == [made.amounts.place(value) for value in (0, 50, 100)]
    assert made.amounts.place(100) == TOP
    assert made.amounts.place(0) == TOP + TALL
    assert made.meets == ((made.months.place(1.5), made.amounts.place(75)),)


@pytest.mark.parametrize("count", [1, 2, 6, 7, 20])
def test_names_do_not_lie_on_each_other_and_stay_within(count: int) -> None:
    made = curves(runs(count), "EUR")
    spots = sorted(curve.label[1] for curve in made.curves)
    assert all(low - high >= LINE - 0.01 for high, low in pairwise(spots))
    assert all(0 < spot < made.height for spot in spots)
    for curve in made.curves:
        assert curve.label[0] + width(curve.name, 13.5, bold=True) <= WIDTH + 0.01
    assert made.beside == (count <= 6)


def test_names_stay_in_the_order_of_the_lines_ends() -> None:
    ends = [100.0, 101.0, 99.0, 400.0]
    spots = [spot for _, spot in beside_ends(ends, 0)]
    assert sorted(range(4), key=lambda n: spots[n]) == sorted(range(4), key=lambda n: ends[n])


def test_no_two_of_twenty_lines_look_alike() -> None:
    made = curves(runs(20), "EUR")
    assert len({(curve.colour, curve.dashes) for curve in made.curves}) == 20


def test_long_names_are_cut_and_wide_ones_sooner() -> None:
    assert cut("short", 13.5, 100) == "short"
    assert cut("x" * 100, 13.5, 100).endswith("…")
    assert len(cut("家" * 100, 13.5, 100)) < len(cut("x" * 100, 13.5, 100)) < 20


def table(texts: list[str], count: int = 1) -> Table:
    cells = [tuple(Figure(text, 1.0) for _ in range(count)) for text in texts]
    return Table("t", "", ("name",) * count, tuple(Row("head", "", own) for own in cells), ("word",) * count)


def test_tables_are_put_on_paper_in_pieces() -> None:
    """76 digits beside the heads: columns of 9 digits and a space take 11 each, of 16 and so on 18."""
    assert [len(part.names) for part in table(["1.00"], 20).parts] == [6, 6, 6, 2]
    assert [len(part.words) for part in table(["123,456,789,012"], 5).parts] == [4, 1]
    whole = table(["1.00"], 6)
    assert whole.parts == (whole,)


def test_rows_that_say_nothing_are_left_out() -> None:
    rows = [Row("a", "", (Figure("unknown"), Figure("–"))), Row("b", "", (Figure("unknown"), Figure("silent")))]
    assert [row.head for row in filled(rows)] == ["b"]
