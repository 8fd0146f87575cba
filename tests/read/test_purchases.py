"""purchases.csv: what may be bought names what is there, and others without a circle; each fault at its place."""

from __future__ import annotations

from pathlib import Path

import pytest

import tco
from tco.errors import StudyError
from tco.purchase import offers
from tests.studies import write_study

HEAD = (
    "scenario,purchase,part,quantity,node,more nodes,in place of,going,client link,replication link,needs,excludes,"
    "turn,most\n"
)


def problems(folder: Path, rows: str) -> list[str]:
    with pytest.raises(StudyError) as caught:
        tco.load(write_study(folder, purchases=HEAD + rows))
    return [f"{place}: {message}" for place, message in caught.value.found]


def test_rows_of_one_name_are_one_purchase(tmp_path: Path) -> None:
    rows = (
        "minis,one more,mini PC,1,,1,,,,,,,2,3\nminis,larger,drive 8 TB new,3,mini,,drive 8 TB,,,,,one more,,\n"
        "minis,one more,drive 8 TB new,2,,1,,,,,,,,\nminis,last,switch,,,,,,,,larger,,1,\n"
    )
    study = tco.load(write_study(tmp_path, purchases=HEAD + rows))
    more, larger, last = offers(study.scenarios[0].purchases)
    assert [row.part for row in more.rows] == ["mini PC", "drive 8 TB new"]
    assert (more.turn, more.most, more.links) == (2, 3, False)
    assert (larger.excludes, larger.turn, larger.most) == (("one more",), None, 1)
    assert (last.needs, last.turn) == (("larger",), 1)
    assert study.scenarios[1].purchases == ()


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("mini,a,switch,1,,,,,,,,,,\n", "2:1: scenario: there is no scenario 'mini' in scenarios.csv; did you mean"),
        ("minis,a,swich,1,,,,,,,,,,\n", "2:3: part: there is no part 'swich' in minis.csv; did you mean 'switch'?"),
        ("rented,a,switch,1,,,,,,,,,,\n",
         "2:3: part: there is no part 'switch' in 'rented', which has no parts list"),
        ("minis,a,switch,0,,,,,,,,,,\n", "2:4: quantity: 0 is below 1, which is the least"),
        ("minis,a,mini PC,3,max,,,,,,,,,\n", "2:5: node: there is no node 'max' in nodes.csv; known: mini"),
        ("minis,a,switch,1,,1,,,,,,,,\n", "2:6: more nodes: of which nodes? name their group under 'node'"),
        ("minis,a,switch,1,,,switch,,,,,,,\n", "2:7: in place of: 'switch' would take its own place"),
        ("minis,a,switch,1,,,hub,,,,,,,\n", "2:7: in place of: there is no part 'hub' in minis.csv"),
        ("minis,a,switch,1,,,,2,,,,,,\n", "2:8: going: how many go of what? name it under 'in place of'"),
        ("minis,a,drive 8 TB new,3,,,drive 8 TB,6,,,,,,\n",
         "2:7: in place of: 6 'drive 8 TB' would go, and the list has 3"),
        ("minis,a,drive 8 TB new,3,,,drive 8 TB,,,,,,,2\n",
         "2:7: in place of: 6 'drive 8 TB' would go, bought 2 times; the list has 3"),
        ("minis,a,,,mini,,,,,,,,,\n", "2: the row changes nothing; name a 'part' that is bought, or a link"),
        ("minis,a,,2,mini,,,,,2.5 Gbit/s,,,,\n", "2:4: quantity: says how a part comes, and the row has no 'part'"),
        ("minis,a,,,mini,,,,10 Gbit/s,,,,,\n",
         "2:9: client link: nodes.csv:2 does not say what the link of 'mini' is today; add it"),
        ("minis,a,,,,,,,,10 Gbit/s,,,,\n", "2:10: replication link: of which nodes? name their group under 'node'"),
        ("minis,a,switch,1,,,,,,,a,,,\n", "2:11: needs: the purchase itself; leave it out"),
        ("minis,a,drive 8 TB new,2,mini,,,,,,,,,\n",
         "2:4: quantity: 2 'drive 8 TB new' cannot be shared evenly by the 3 nodes 'mini'; parts that only some"),
        ("minis,a,drive 8 TB new,3,,2,,,,,,,,\n", "2:4: quantity: 3 'drive 8 TB new' cannot be shared evenly by"),
        ("minis,a,switch,1,,,drive 8 TB,2,,,,,,\n",
         "2:8: going: 2 'drive 8 TB' cannot be shared evenly by the 3 nodes 'mini'; parts that only some nodes have"),
        ("minis,a,switch,1,,,,,,,b,,,\n", "2:11: needs: there is no purchase 'b' for 'minis'; known: a"),
        ("minis,a,switch,1,,,,,,,,b,,\n", "2:12: excludes: there is no purchase 'b' for 'minis'; known: a"),
        ("minis,a,switch,1,,,,,,,b,,,\nminis,b,switch,1,,,,,,,c,,,\nminis,c,switch,1,,,,,,,a,,,\n",
         "2:11: needs: a circle: 'a' needs 'b' needs 'c' needs 'a'; put them into one purchase"),
        ("minis,a,switch,1,,,,,,,b + c,,,\nminis,b,switch,1,,,,,,,,c,,\nminis,c,switch,1,,,,,,,,,,\n",
         "2:11: needs: 'a' takes both 'b' and 'c', which exclude each other"),
        ("minis,a,switch,1,,,,,,,b,b,,\nminis,b,switch,1,,,,,,,,,,\n",
         "2:11: needs: 'a' takes both 'a' and 'b', which exclude each other"),
        ("minis,a,switch,1,,,,,,,,,1,\nminis,a,mini PC,3,,,,,,,,,2,\n",
         "3:13: turn: 1 is said of 'a' in purchases.csv:2:13; keep one"),
        ("minis,a,switch,1,,,,,,,,,,2\nminis,a,mini PC,3,,,,,,,,,,3\n",
         "3:14: most: 2 is said of 'a' in purchases.csv:2:14; keep one"),
        ("minis,a,,,mini,,,,,10 Gbit/s,,,1,\n",
         "2:13: turn: 'a' changes a link, which cannot happen as data grow; leave the turn empty"),
    ],
)  # fmt: skip
def test_what_is_refused_and_where(rows: str, told: str, tmp_path: Path) -> None:
    found = problems(tmp_path, rows)
    assert len(found) == 1, found
    assert found[0].startswith(f"purchases.csv:{told}"), found


def test_a_circle_is_told_once_and_all_else_with_it(tmp_path: Path) -> None:
    rows = "minis,a,switch,1,,,,,,,b,,,\nminis,b,swich,1,,,,,,,a,,,\nminis,c,switch,1,,,,,,,c,,,\n"
    assert [line.split(": ")[0] for line in problems(tmp_path, rows)] == [
        "purchases.csv:2:11", "purchases.csv:3:3", "purchases.csv:4:11"
    ]  # fmt: skip
