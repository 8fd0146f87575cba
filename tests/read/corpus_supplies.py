"""Broken studies whose supplies, logs or waste heat are at fault; see corpus_electricity.py."""

from __future__ import annotations

from tests.read.corpus_electricity import MINIS, SITES, slip
from tests.studies import NODES, Change

LOGGED = NODES.replace("measured busy [W]\n", "measured busy [W],log\n").replace("mini,3,,", "mini,3,,,plug.csv")
PLUG = "time,power\n" + "".join(f"2026-06-{1 + hour // 24:02} {hour % 24:02}:00,21 W\n" for hour in range(8 * 24))


def heat(cells: str) -> dict[str, Change]:
    """The site with other cells than `10-4,60 %,0.11 EUR/kWh,0.92,6-8,3.2`."""
    return {"sites": SITES.split("\n")[0] + f"\nhall,{cells}\n"}


SUPPLIES = [
    slip("efficiency curve misspelt", "minis.csv:2:10", "no curve 'glod' in efficiency.csv", "did you mean 'gold'",
         minis=(",gold,", ",glod,")),
    slip("curve of a price only", "minis.csv:6:10", "no curve 'bronse'", minis=(",bronze,", ",bronse,")),
    slip("no efficiency.csv", "minis.csv:2:10", "no curve 'gold' in efficiency.csv", efficiency=None,
         minis=(",bronze,", ",,")),
    slip("loads that fall", "efficiency.csv:4:2", "curve 'gold': 5 % after 20 %; loads must rise",
         efficiency=("50 %,90", "5 %,90")),
    slip("a load twice", "efficiency.csv:3:2", "10 % after 10 %", efficiency=("gold,20 %", "gold,10 %")),
    slip("efficiency of nothing", "efficiency.csv:2:3", "below 1 %", efficiency=("82 %", "0 %")),
    slip("efficiency above 100 %", "efficiency.csv:2:3", "above 100 %", efficiency=("82 %", "182 %")),
    slip("supply without rating", "minis.csv:2:10", "needs the supply's rating under 'provides'", "'450 W supply'",
         minis=("90 W supply + 4 plug", "4 plug")),
    slip("supply in volt-amperes", "minis.csv:2:10", "in watts", minis=("90 W supply", "90 VA transformer")),
    slip("supply of 0 W", "minis.csv:2:10", "in watts", minis=("90 W supply", "0 W supply")),
    slip("supply with two ratings", "minis.csv:2:10", "'provides' has '90 w supply' and '5 w port'",
         minis=("+ 4 plug", "+ 5 W port")),
    slip("rating refused", "minis.csv:2:11", "is no amount", minis=("90 W supply + 4 plug", "90W supply")),
    slip("supply without node", "minis.csv:7:10", "efficiency: needs 'node' beside it", minis=MINIS
         + "spare,,1,20,,,,,,bronze,60 W supply\n"),
    slip("behind the supply of no node", "minis.csv:5:9", "watts at: needs 'node' beside it",
         minis=("4 W,,,,plug", "4 W,,,,supply")),
    slip("behind the supply of a node nobody counts", "minis.csv:3:2", "must say how many nodes 'mini'", nodes=None),
    slip("no curve of a supply", "minis.csv:3:9", "no part of node 'mini' is a supply with an 'efficiency' curve",
         minis=(",gold,", ",,")),
    slip("nothing behind a supply", "minis.csv:2:10", "has no effect", "'supply' under 'watts at'",
         minis=MINIS.replace(",,supply,,", ",,plug,,")),
    slip("watts at the wall", "minis.csv:3:9", "'plug' or 'supply'", minis=("40 W,,,supply", "40 W,,,wall")),
    slip("two curves in a node", "minis.csv:7:10", "'gold' stands in minis.csv:2:10", "follow one curve", minis=MINIS
         + "more,mini,3,20,,,,,,bronze,60 W supply\n"),
    slip("idle below the curve", "minis.csv:2:10", "when idle",
         "to 16.67 % (45 w of 270 w); the curve begins at 20 %",
         "nothing is known of it below", efficiency=("gold,10 %,82 %\n", "")),
    slip("busy beyond the curve", "minis.csv:2:10", "when busy", "120 % (144 w of 120 w); the curve ends at 100 %",
         minis=("90 W", "40 W")),
    slip("supply too late", "minis.csv:3:9", "there in months 1 to 60",
         "the node's supply (minis.csv:2:1) in months 7 to 60", "a node of its own",
         minis=("supply,mini,3,30,,,,", "supply,mini,3,30,,,6,")),
    slip("supply gone too early", "minis.csv:3:9", "there in months 1 to 60",
         "the node's supply (minis.csv:2:1) in months 1 to 36",
         minis=("supply,mini,3,30,,,,", "supply,mini,3,30,,,,36")),
    slip("a supply that follows another", "minis.csv:7:10", "there in months 25 to 60", "in months 1 to 24",
         minis=MINIS.replace("supply,mini,3,30,,,,,", "supply,mini,3,30,,,,24,", 1)
         + "new supply,mini,3,30,,,24,,,gold,90 W supply\n"),
    slip("behind the supply of a measured node, later", "minis.csv:4:9", "measured at the plug (nodes.csv:2:4)",
         "count what comes later at the plug", nodes=("mini,3,,", "mini,3,15,"), minis=("8 W,,,", "8 W,12,,")),
]  # fmt: skip

MEASURED = [
    slip("log and measurement", "nodes.csv:2:6", "log: 'measured idle' stands in nodes.csv:2:4 already",
         nodes=LOGGED.replace("mini,3,,", "mini,3,15,"), plug=PLUG),
    slip("log and busy measurement", "nodes.csv:2:6", "log: 'measured busy' stands in nodes.csv:2:5 already",
         nodes=LOGGED.replace("mini,3,,", "mini,3,,15"), plug=PLUG),
    slip("log misspelt", "nodes.csv:2:6", "no table 'plag.csv'", nodes=LOGGED.replace("plug", "plag")),
    slip("log of no node", "plug.csv", "nor a node's log", plug=PLUG),
    slip("log is a table", "nodes.csv:2:6", "home.csv is another table", nodes=LOGGED.replace("plug", "home")),
    slip("log is a parts list", "nodes.csv:2:6", "another table", nodes=LOGGED.replace("plug", "servers")),
    slip("log with a fault", "plug.csv:3:2", "'x' is not a number", nodes=LOGGED,
         plug=PLUG.replace("01:00,21 W", "01:00,x", 1)),
    slip("logged node comes apart", "nodes.csv:2:6", "log: the parts it covers leave in different months", "36, 60",
         nodes=LOGGED, plug=PLUG, minis=("8 W,,,", "8 W,,36,")),
    slip("behind the supply of a logged node, later", "minis.csv:4:9", "measured at the plug (nodes.csv:2:6)",
         nodes=LOGGED, plug=PLUG, minis=("8 W,,,", "8 W,12,,")),
    slip("busy beside a log", "scenarios.csv:2", "busy share: empty, but minis.csv:5:6 has a busy power",
         nodes=LOGGED, plug=PLUG, minis=("4 W,,,", "4 W,6 W,,"), scenarios=(",office,", ",,")),
    slip("zone refused beside a log", "study.csv:6:2", "unknown", nodes=LOGGED, plug=PLUG,
         study=("Europe/Vienna", "Europe/Viena")),
]  # fmt: skip

WARM = [
    slip("heat used without season", "sites.csv:2:3", "heat used: needs 'heating' beside it", "'10-4'",
         **heat(",60 %,0.11 EUR/kWh,0.92,6-8,3.2")),
    slip("heat used without price", "sites.csv:2:3", "heat used: needs 'heat price'",
         **heat("10-4,60 %,,0.92,6-8,3.2")),
    slip("heat used without efficiency", "sites.csv:2:3", "needs 'heat efficiency'",
         **heat("10-4,60 %,0.11 EUR/kWh,,6-8,3.2")),
    slip("season without heat used", "sites.csv:2:2", "heating: has no effect without 'heat used'",
         **heat("10-4,,,,6-8,3.2")),
    slip("heat price without heat used", "sites.csv:2:4", "heat price: has no effect",
         **heat(",,0.11 EUR/kWh,,6-8,3.2")),
    slip("heat efficiency without heat used", "sites.csv:2:5", "heat efficiency: has no effect",
         **heat(",,,0.92,6-8,3.2")),
    slip("cooling without COP", "sites.csv:2:6", "cooling: needs 'cooling cop' beside it",
         **heat("10-4,60 %,0.11 EUR/kWh,0.92,6-8,")),
    slip("COP without cooling", "sites.csv:2:7", "cooling cop: has no effect without 'cooling'",
         **heat("10-4,60 %,0.11 EUR/kWh,0.92,,3.2")),
    slip("heated and cooled", "sites.csv:2:6", "cooling: month 4 is a heating month as well",
         **heat("10-4,60 %,0.11 EUR/kWh,0.92,4-8,3.2")),
    slip("a season of no months", "sites.csv:2:2", "no months of the year",
         **heat("winter,60 %,0.11 EUR/kWh,0.92,,")),
    slip("a column of heat unknown", "sites.csv:1:4", "column 'fuel' is unknown", sites=("heat price", "fuel")),
]  # fmt: skip

CORPUS = [*SUPPLIES, *MEASURED, *WARM]
