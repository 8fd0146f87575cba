"""Practice checks: what each finds and lets pass, what none may do, and that silence is never taken for a pass."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

import tco
from tco.ask.compare import Comparison
from tco.ask.practice import FINDING_HEADER, RULES, UNSEEN_HEADER, Rule, finding_rows, findings, looks, unseen_rows
from tco.cli import main
from tests.ask.practice_cases import CASES
from tests.ask.practice_study import GOOD, Case, compared, worked_out
from tests.random_studies import random_study
from tests.studies import MINIS, write_study

NAMES = [rule.name for rule in RULES]
BARE = "part,quantity,price\nbox,3,100 USD\n"


def found(comparison: Comparison, rule: str) -> list[str]:
    """What one rule says of a study."""
    return [one.text for one in findings(comparison) if one.rule.name == rule]


@pytest.mark.parametrize("one", CASES, ids=lambda one: f"{one.rule}: {'finds' if one.sentences else 'passes'}")
def test_each_rule_says_its_numbers_and_lets_near_misses_pass(one: Case) -> None:
    assert found(compared(one.changes), one.rule) == list(one.sentences)


def test_every_rule_has_a_case_that_it_finds_and_the_good_study_that_it_lets_pass() -> None:
    assert {one.rule for one in CASES if one.sentences} == set(NAMES)
    seen = looks(compared())
    assert {look.rule.name: (look.found, look.missing) for look in seen} == dict.fromkeys(NAMES, ((), ()))
    assert all(look.applies for look in seen)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_rule_says_what_it_looks_at_why_and_on_whose_word(rule: Rule) -> None:
    texts = (rule.name, rule.looks_at, rule.why, rule.standing)
    assert all(text.strip() == text and text for text in texts)
    assert rule.standing.startswith(("published: ", "common practice"))
    assert rule.why.endswith(".")


def test_names_are_told_apart() -> None:
    assert len(set(NAMES)) == len(NAMES)


def test_what_cannot_be_used_is_what_the_model_says() -> None:
    """The remark works it out from the tables alone, the measure by formulas."""
    uneven = next(one for one in CASES if one.rule == "a node with more than its share" and one.sentences)
    comparison = compared(uneven.changes)
    assert comparison.measure(comparison.built.baseline, "unused") == pytest.approx(6.0)


def test_a_contract_has_a_limit_too() -> None:
    """10 TB at 2 % a year are 11.04 after five; 11 TB are passed in month 58: 10 x 1.02^(58/12) = 11.0045."""
    tables = {
        "study": GOOD["study"],
        "scenarios": "scenario,backup elsewhere\nrent,yes\n",
        "fees": "scenario,fee,amount,source\nrent,space,10 USD/month,ours\n",
        "stated": "scenario,usable\nrent,11 TB\n",
    }
    told = "the data held, 11 TB, are above the 11 TB that the contract gives; in month 60 11.04 TB are held."
    comparison = worked_out(tables)
    assert found(comparison, "above the fill limit") == [f"From month 58 (2031-09) on {told}"]
    assert [look.rule.name for look in looks(comparison) if look.applies and look.scenario] == [
        rule.name for rule in RULES if not rule.hardware and not rule.whole
    ]


def test_where_nothing_is_stated_every_rule_says_so_or_finds_it() -> None:
    """A parts list of names and prices: no rule passes it in silence, but on what an empty cell means by definition.

    Parts are new; what draws no power makes no noise.
    """
    study = GOOD["study"].replace("data held,10 TB,\n", "").replace("data growth,2 %,\n", "")
    comparison = worked_out({"study": study, "scenarios": "scenario,parts list\nhome,flat.csv\n", "flat": BARE})
    silent = {look.rule.name for look in looks(comparison) if not look.found and not look.missing}
    assert silent == {"used gear without a curve of its age", "noise at the bed"}


@pytest.mark.parametrize("study", ["demo", "small"])
def test_check_runs_fits_the_screen_and_ends_well(
    study: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    folder = tco.demo().parent / study
    ran = CliRunner().invoke(main, ["check", str(folder)])
    assert ran.exit_code == 0, ran.output
    assert max(map(len, ran.output.splitlines())) <= 80
    assert not list(tmp_path.iterdir())
    words = " ".join(ran.output.split())
    comparison = tco.compare(tco.load(folder))
    assert all(" ".join(one.text.split()) in words for one in findings(comparison))
    assert f"{len(findings(comparison))} findings by " in words
    for _, check, missing, _, _ in unseen_rows(comparison):
        assert missing in words.partition("not looked at")[2]
        assert check in words.partition("not looked at")[2]


def test_check_without_a_study_is_about_the_demo() -> None:
    assert CliRunner().invoke(main, ["check"]).output == CliRunner().invoke(main, ["check", "demo"]).output


def test_a_study_without_findings_says_so(tmp_path: Path) -> None:
    for name, text in GOOD.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    output = CliRunner().invoke(main, ["check", str(tmp_path)]).output
    assert "no findings" in output
    assert f"0 findings by 0 of {len(RULES)} checks." in output
    assert f"{len(RULES)} checks looked at all that they are about." in output
    assert "not looked at" not in output


def test_findings_change_no_figure() -> None:
    """Each case's study gives the same measures before and after it is looked at."""
    comparison = compared(CASES[0].changes)
    before = tco.measures(comparison)
    assert findings(comparison)
    assert tco.measures(comparison).equals(before)


def test_rows_for_tables() -> None:
    comparison = compared(CASES[0].changes)
    rows = list(finding_rows(comparison))
    assert ("home", CASES[0].rule, CASES[0].sentences[0]) in [row[:3] for row in rows]
    assert {len(row) for row in rows} == {len(FINDING_HEADER)} == {len(UNSEEN_HEADER)}
    assert list(unseen_rows(comparison)) == []


@pytest.mark.parametrize("seed", range(4))
def test_any_study_can_be_looked_at(seed: int, tmp_path: Path) -> None:
    study = tco.load(random_study(seed, tmp_path / "study"))
    assert {look.rule.name for look in looks(tco.compare(study))} == set(NAMES)


def test_a_node_s_price_is_judged_in_dollars_by_the_study_s_rate(tmp_path: Path) -> None:
    """129 EUR at 0.92 EUR for a dollar are 140 USD, which is usual; 60 EUR are 65 USD, which is not."""
    drives = MINIS.replace("resale", "resale,capacity", 1).replace(
        ",drives,drive 8 TB new,fair", ",drives,,fair,8 TB"
    )
    rows = drives.splitlines()
    wide = "\n".join(row if row.count(",") == rows[0].count(",") else f"{row}," for row in rows) + "\n"
    for price, wanted in (
        ("129", []),
        ("60", ["One 'mini' costs 65.22 USD without its drives; 75 to 250 USD are usual."]),
    ):
        study = write_study(tmp_path / price, minis=wide.replace("mini PC,mini,3,129", f"mini PC,mini,3,{price}"))
        found = [
            one.text for one in findings(tco.compare(tco.load(study))) if one.rule.name == "unusual price of a node"
        ]
        assert found == wanted


def test_a_supply_in_volt_amperes_is_not_taken_for_watts() -> None:
    changes = (("flat", "60 W supply", "60 VA supply"),)
    assert found(compared(changes), "supply hardly loaded") == []


def test_what_is_bought_in_the_last_month_can_no_longer_fail() -> None:
    """A failing drive of a pool, there for no month at all, exposes nothing."""
    comparison = compared((("flat", "drive,box,4,300 USD,", "drive,box,4,300 USD,60"),))
    ground = comparison.built.baseline
    assert ground.scenario.parts[1].bought == ground.horizon
    assert not ground.has("phases", "exposed 1")
