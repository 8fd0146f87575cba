"""A good study: what arrives, from where, and what loading costs at start."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from tco.cell import Cell
from tco.errors import Place, StudyError
from tco.read import load
from tco.study import Part, Scenario, Settings
from tests.studies import MINIS, SCENARIOS, STUDY, write_study


def test_settings_arrive_in_their_units(tmp_path: Path) -> None:
    settings = load(write_study(tmp_path)).settings
    assert (settings.currency, settings.start, settings.horizon) == ("EUR", date(2026, 12, 1), 60)
    assert (settings.discount, settings.data_held, settings.data_added) == (0.03, 8, 0)


def test_each_setting_keeps_its_source_note_and_place(tmp_path: Path) -> None:
    settings = load(write_study(tmp_path)).settings
    assert settings.sources["discount"] == ("savings account", "")
    assert settings.sources["horizon"] == ("", "as long as we mean to stay")
    assert settings.places["horizon"] == Place("study.csv", 5, 2)
    assert "data_added" not in settings.places


def test_scenarios_carry_their_rows(tmp_path: Path) -> None:
    minis, servers, rented = load(write_study(tmp_path)).scenarios
    assert [part.quantity for part in minis.parts] == [3, 3, 0, 1]
    assert [node.node for node in minis.nodes] == ["mini"]
    assert [row.amount for row in servers.one_offs] == [120, -40]
    assert [fee.amount_per_TB for fee in rented.fees] == [5.5]
    assert (minis.baseline, servers.baseline, rented.baseline) == (True, False, False)


def test_places_name_filled_cells_only(tmp_path: Path) -> None:
    drive = load(write_study(tmp_path)).scenarios[0].parts[1]
    assert drive.places[""] == Place("minis.csv", 3)
    assert drive.places["busy"] == Place("minis.csv", 3, 10)
    assert "tax" not in drive.places
    assert "busy" not in load(write_study(tmp_path)).scenarios[0].parts[3].places


def test_empty_cells_mean_the_default(tmp_path: Path) -> None:
    switch = load(write_study(tmp_path)).scenarios[0].parts[3]
    assert (switch.busy, switch.leaves, switch.age, switch.tax, switch.failures) == (None, None, 0, "included", "")


def test_versions_come_in_rising_order(tmp_path: Path) -> None:
    rows = "household,2027-07,0.33 EUR/kWh\nhousehold,2026-01,0.31 EUR/kWh\nunused,2030-01,1 EUR/kWh\n"
    tariffs = load(write_study(tmp_path, tariffs="tariff,start,price\n" + rows)).tariffs
    assert [version.start for version in tariffs["household"]] == [date(2026, 1, 1), date(2027, 7, 1)]
    assert list(tariffs) == ["household"]


def test_headers_ignore_case_order_and_underscores(tmp_path: Path) -> None:
    plain = load(write_study(tmp_path / "a"))
    other = load(write_study(tmp_path / "b", scenarios=("busy share", "BUSY_Share ")))
    assert other.scenarios == plain.scenarios


def test_prices_in_another_currency_follow_the_rate(tmp_path: Path) -> None:
    study = load(write_study(tmp_path, tariffs=("0.31 EUR/kWh", "0.50 USD/kWh"), study=("15 EUR/h", "10 USD/h")))
    assert study.tariffs["household"][0].price == 0.46
    assert study.settings.hour_value == pytest.approx(9.2)


def test_a_curve_of_the_study_wins_over_a_reference_curve(tmp_path: Path) -> None:
    reference = tmp_path / "reference"
    reference.mkdir()
    (reference / "failures.csv").write_text(
        "curve,age,rate\ndrives,0,9 %/year\nother,0,8 %/year\nunused,0,1 %/year\n"
    )
    study = load(write_study(tmp_path / "s", servers=("140,", "140,other")), reference=reference)
    assert sorted(study.failures) == ["drives", "other", "small things"]
    assert study.failures["drives"][0].rate == pytest.approx(0.013)
    assert study.failures["other"][0].rate == 0.08
    assert study.failures["other"][0].places[""] == Place("reference/failures.csv", 3)


def test_columns_of_cost_lines_stand_in_extra(tmp_path: Path) -> None:
    extra = {
        Part: {"depth": Cell("number", "depth of one", "0.7 m", unit="m", default=0.0)},
        Settings: {"heat_share": Cell("share", "part of the heat that is of use", "30 %", default=0.0)},
        Scenario: {"cable": Cell("number", "length of cable", "5 m", unit="metre", default=None)},
    }
    changes = {"study": STUDY + "heat share,30 %,,\n", "servers": "part,quantity,price,depth\nx,1,0,0.5 m\n"}
    study = load(write_study(tmp_path, **changes), extra)
    assert study.settings.extra == {"heat_share": 0.3}
    assert study.scenarios[1].parts[0].extra == {"depth": 0.5}
    assert study.scenarios[0].parts[0].extra == {"depth": 0.0}
    assert study.scenarios[0].extra == {"cable": None}
    assert study.scenarios[1].parts[0].places["depth"] == Place("servers.csv", 2, 4)


def test_a_used_part_may_follow_a_resale_curve_that_ends_in_nothing(tmp_path: Path) -> None:
    assert load(write_study(tmp_path, resale=("20 %", "0 %"))).scenarios[0].parts[1].age == 24


def test_parts_may_share_a_name_unless_one_replaces_another(tmp_path: Path) -> None:
    assert len(load(write_study(tmp_path, minis=MINIS + "switch,,1,9,,0,,,4,,,,\n")).scenarios[0].parts) == 5


def test_two_scenarios_may_share_a_parts_list(tmp_path: Path) -> None:
    table = SCENARIOS.replace("minis.csv", "servers.csv")
    study = load(write_study(tmp_path, scenarios=table, minis=None, nodes=None))
    assert study.scenarios[0].parts == study.scenarios[1].parts


def test_importing_the_reader_is_light() -> None:
    code = "import sys, tco.read; print({'pint', 'openpyxl', 'pandas', 'numpy'} & set(sys.modules))"
    assert subprocess.check_output([sys.executable, "-c", code], text=True) == "set()\n"


def test_a_good_study_needs_no_workbook_library(tmp_path: Path) -> None:
    code = f"import sys, tco.read; tco.read.load({str(write_study(tmp_path))!r}); print('openpyxl' in sys.modules)"
    assert subprocess.check_output([sys.executable, "-c", code], text=True) == "False\n"


def test_results_in_the_study_are_told_apart_from_misspelt_tables(tmp_path: Path) -> None:
    folder = write_study(tmp_path, lines="scenario,line,month,value,unit\n")
    with pytest.raises(StudyError, match=r"lines\.csv is a result of an earlier comparison"):
        load(folder)
