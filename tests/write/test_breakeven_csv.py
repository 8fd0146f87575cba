"""breakeven.csv has every value in full and says where there is none; it is written whole or not at all."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pandas as pd
import pytest

from tco.errors import ResultError
from tco.write import breakeven as written
from tco.write.breakeven import HEADER, levels_csv, write_levels
from tests.write.levels import EVERY, HOUR, PAIR, PRICE, found, made

ANSWER = found(*EVERY)


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_a_row_for_each_meeting_and_one_where_there_is_none() -> None:
    rows = table(levels_csv(ANSWER))
    assert tuple(rows[0]) == HEADER
    assert HEADER[0] == "scenario"
    assert [row["meeting"] for row in rows] == [
        "crosses", "crosses", "touches", "touches", "touches", "level", "jumps", "crosses", "crosses", "crosses",
        "crosses", "none", "same", "none",
    ]  # fmt: skip
    assert {(row["scenario"], row["other"]) for row in rows} == {PAIR}
    met = [(level, number) for level in EVERY for number in range(max(1, len(level.meetings)))]
    for row, (level, number) in zip(rows, met, strict=True):
        assert (float(row["low"]), float(row["high"])) == (level.low, level.high)
        assert row["input"] == level.label
        if level.meetings:
            own = level.meetings[number]
            assert (float(row["value"]), float(row["until"])) == (own.value, own.until)
            assert float(row["lcc"]) == level.costs[number]
        else:
            assert (row["value"], row["until"], row["lcc"]) == ("", "", "")


def test_units_sides_and_the_price_of_a_kwh() -> None:
    rows = table(levels_csv(ANSWER))
    assert [row["unit"] for row in rows] == [*["EUR/h"] * 7, "", "month", "times", "", *["EUR/h"] * 3]
    sides = [(row["below"], row["above"]) for row in rows]
    one, other = PAIR
    assert sides == [
        (one, other), (other, one), (one, one), ("", other), (one, ""), (one, other), (one, other), (one, other),
        (other, one), (one, other), (one, other), (one, one), ("", ""), (one, one),
    ]  # fmt: skip
    prices = [row["kwh_price"] for row in rows if row["kwh_price"]]
    assert [float(price) for price in prices] == [pytest.approx(1.3148849 * 0.298, rel=1e-12)]
    none = made(PRICE, EVERY[8].meetings[0], price="none: no tariff")
    assert table(levels_csv(found(none)))[0]["kwh_price"] == ""


def test_pandas_reads_the_numbers_as_numbers() -> None:
    frame = pd.read_csv(io.StringIO(levels_csv(ANSWER)))
    assert frame[["value", "until", "lcc", "kwh_price", "low", "high"]].dtypes.eq("float64").all()
    assert len(frame) == 14


def test_earlier_results_of_its_own_are_replaced_and_a_stranger_s_file_is_not(tmp_path: Path) -> None:
    first = write_levels(ANSWER, tmp_path)
    assert first == [tmp_path / "breakeven.csv"]
    assert write_levels(found(made(HOUR)), tmp_path) == first
    assert len(first[0].read_text().splitlines()) == 2
    first[0].write_text("my,own,notes\n")
    with pytest.raises(ResultError, match="was not written by tco"):
        write_levels(ANSWER, tmp_path)
    assert first[0].read_text() == "my,own,notes\n"
    write_levels(ANSWER, tmp_path, replace=True)
    assert first[0].read_text() == levels_csv(ANSWER)


def test_a_failure_leaves_the_earlier_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_levels(ANSWER, tmp_path)
    before = (tmp_path / "breakeven.csv").read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(written, "write_text", full)
    with pytest.raises(ResultError, match="No space left on device"):
        write_levels(found(made(HOUR)), tmp_path)
    assert (tmp_path / "breakeven.csv").read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["breakeven.csv"]
