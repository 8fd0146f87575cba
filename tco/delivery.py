"""What builds deliver and must deliver, as a study says it: pools, sites, needs (parts: gear.py); see study.py."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tco.cell import cell
from tco.electricity import Warmed
from tco.settings import Row


@dataclass(frozen=True, kw_only=True)
class Placed(Row):
    """Where a scenario stands and how a client reaches it: further columns of scenarios.csv."""

    site: str = cell("name", "where it stands", "shelf in the hall", default="")
    power_factor: float | None = cell(
        "number",
        "power drawn over the volt-amperes of its supplies; small ones without correction can be near 0.55 (from "
        "memory); for the circuit",
        "0.9",
        default=None,
        least=0.1,
        most=1.0,
        live=True,
    )
    one_client_link: float | None = cell(
        "number",
        "network link of one client, each way",
        "2.5 Gbit/s",
        unit="Gbit/s",
        default=None,
        least=1e-6,
        live=True,
    )
    voting_nodes: int | None = cell(
        "whole",
        "nodes of which a majority must be up for writing to go on; empty: all nodes with drives of a pool",
        "3",
        default=None,
        least=1,
        most=1000,
        live=True,
    )
    backup_elsewhere: str = cell(
        "choice", "whether a backup exists elsewhere", "yes", default="", choices=("yes", "no")
    )


@dataclass(frozen=True, kw_only=True)
class Linked(Row):
    """How the nodes of a group are linked, and what a meter said of them: further columns of nodes.csv."""

    log: str = cell(
        "file",
        "metered log of one node with the parts it was bought with (time and W, or time and kWh on the meter); it "
        "replaces their power",
        "node at the plug.csv",
        default="",
    )
    client_link: float | None = cell(
        "number",
        "network link of one node to clients, each way",
        "2.5 Gbit/s",
        unit="Gbit/s",
        default=None,
        least=1e-6,
        live=True,
    )
    replication_link: float | None = cell(
        "number",
        "link of one node to the other nodes, each way; empty: they share the link to clients",
        "10 Gbit/s",
        unit="Gbit/s",
        default=None,
        least=1e-6,
        live=True,
    )


@dataclass(frozen=True, kw_only=True)
class Pool(Row):
    """pools.csv: pools; the drives of a scenario that share one redundancy scheme."""

    scenario: str = cell("name", "the scenario it belongs to", "minis")
    pool: str = cell("name", "the pool's name, as parts lists use it", "main")
    copies: int | None = cell(
        "whole",
        "copies of everything, each on another node; or else `data` and `parity`",
        "3",
        default=None,
        least=1,
        most=20,
        live=True,
    )
    data: int | None = cell(
        "whole",
        "pieces into which data are cut, each on another node; any `data` of all pieces restore them",
        "4",
        default=None,
        least=1,
        most=50,
        live=True,
    )
    parity: int | None = cell("whole", "parity pieces beside them", "2", default=None, least=0, most=20, live=True)
    fill_limit: float = cell(
        "share",
        "how full it may be (common practice, no source: 80 %)",
        "80 %",
        default=0.8,
        least=0.01,
        most=1.0,
        live=True,
    )
    traffic: float | None = cell(
        "share",
        "its share of what clients read and write; empty for all pools of a scenario: by what they can hold",
        "70 %",
        default=None,
        least=0.0,
        most=1.0,
        live=True,
    )
    lead_time: float | None = cell(
        "number",
        "until a failed drive or node is replaced; it comes before recovery where no node is spare",
        "3 d",
        unit="h",
        default=None,
        least=0.0,
        most=8784.0,
        live=True,
    )
    written: float | None = cell(
        "number",
        "data that clients write to it a day, for the endurance of its drives",
        "60 GB/d",
        unit="GB/d",
        default=None,
        least=0.0,
    )
    overhead: float = cell(
        "number",
        "bytes written for each byte of a copy or piece, the storage software's own records included; counts for the "
        "endurance only",
        "1.2",
        default=1.0,
        least=1.0,
        most=100.0,
    )


@dataclass(frozen=True, kw_only=True)
class Site(Warmed):
    """sites.csv: where builds stand; how far the bed is, which circuit feeds them, what their heat is good for."""

    site: str = cell("name", "the site's name, as scenarios use it", "shelf in the hall")
    bed_distance: float | None = cell(
        "number", "from there to the bed", "4 m", unit="m", default=None, least=0.1, most=1000.0, live=True
    )
    wall: float = cell(
        "number",
        "what doors, walls or a damped cabinet take on the way",
        "15 dB(A)",
        unit="dBA",
        default=0.0,
        least=0.0,
        most=100.0,
        live=True,
    )
    standing: str = cell(
        "choice",
        "whether a sound power spreads over a floor (8 dB less at 1 m) or all around (11 dB less)",
        "floor",
        default="floor",
        choices=("floor", "free"),
    )
    voltage: float | None = cell(
        "number", "the mains' voltage", "230 V", unit="V", default=None, least=50.0, most=500.0, live=True
    )
    breaker: float | None = cell(
        "number",
        "the rating of the circuit's breaker",
        "16 A",
        unit="A",
        default=None,
        least=1.0,
        most=200.0,
        live=True,
    )
    plug: float | None = cell(
        "number",
        "what the plug may carry for hours, by the local rule; empty: as the breaker",
        "10 A",
        unit="A",
        default=None,
        least=0.5,
        most=200.0,
        live=True,
    )
    rule: str = cell(
        "choice",
        "how the breaker's rating counts: `rating`, all that is on at once is within it; or `continuous 125 %`, what "
        "runs for three hours or more counts a quarter more (USA: NEC 210.20(A)); needed beside a breaker",
        "rating",
        default="",
        choices=("rating", "continuous 125 %"),
    )
    others_continuous: float = cell(
        "number",
        "what else runs for hours on the same circuit",
        "0.5 A",
        unit="A",
        default=0.0,
        least=0.0,
        most=200.0,
        live=True,
    )
    others_short: float = cell(
        "number",
        "what else runs now and then on the same circuit",
        "9 A",
        unit="A",
        default=0.0,
        least=0.0,
        most=200.0,
        live=True,
    )
    circuits: int = cell(
        "whole", "over how many circuits the supplies are spread, taken as evenly", "1", default=1, least=1, most=20
    )


@dataclass(frozen=True, kw_only=True)
class Stated(Row):
    """stated.csv: what scenarios without pools deliver by their contract, such as rented space."""

    scenario: str = cell("name", "the scenario", "rented space")
    usable: float | None = cell(
        "number", "what may be kept there at most", "40 TB", unit="TB", default=None, least=0.0, live=True
    )
    node_losses: int | None = cell(
        "whole",
        "losses of nodes that it survives without losing data",
        "2",
        default=None,
        least=0,
        most=100,
        live=True,
    )
    losses_writing: int | None = cell(
        "whole", "losses of nodes during which writing goes on", "2", default=None, least=0, most=100, live=True
    )
    read: float | None = cell(
        "number", "what all clients together can read", "25 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )
    write: float | None = cell(
        "number", "what all clients together can write", "5 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )
    one_client_read: float | None = cell(
        "number", "what one client can read", "25 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )
    one_client_write: float | None = cell(
        "number", "what one client can write", "5 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )


@dataclass(frozen=True, kw_only=True)
class Needs(Row):
    """needs.csv: what a build must deliver, one need a row; only scenarios that meet all are ranked."""

    usable: float | None = cell(
        "number",
        "to be kept at the start, within the fill limit",
        "12 TB",
        unit="TB",
        default=None,
        least=0.0,
        live=True,
    )
    usable_growth: float | None = cell(
        "growth", "how that grows, compound, a year", "6 %", default=None, least=-0.99, most=10.0, live=True
    )
    hold_data: bool = cell(
        "yes",
        "yes: the data held of study.csv, with its growth, must be kept within the fill limit",
        "yes",
        default=False,
    )
    node_losses: int | None = cell(
        "whole",
        "losses of nodes at once to survive without losing data",
        "2",
        default=None,
        least=0,
        most=100,
        live=True,
    )
    losses_writing: int | None = cell(
        "whole",
        "losses of nodes at once during which writing goes on",
        "1",
        default=None,
        least=0,
        most=100,
        live=True,
    )
    read: float | None = cell(
        "number", "what all clients together read", "300 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )
    write: float | None = cell(
        "number", "what all clients together write", "100 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )
    one_client_read: float | None = cell(
        "number", "what one client reads", "200 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )
    one_client_write: float | None = cell(
        "number", "what one client writes", "100 MB/s", unit="MB/s", default=None, least=0.0, live=True
    )
    noise_idle: float | None = cell(
        "number",
        "sound level at the bed when idle, at most",
        "27 dB(A)",
        unit="dBA",
        default=None,
        least=0.0,
        most=140.0,
        live=True,
    )
    noise_busy: float | None = cell(
        "number",
        "sound level at the bed when busy, at most (WHO 1999: 30 dB LAeq in bedrooms at night)",
        "30 dB(A)",
        unit="dBA",
        default=None,
        least=0.0,
        most=140.0,
        live=True,
    )
    power: float | None = cell(
        "number", "average power in any month, at most", "150 W", unit="W", default=None, least=0.0, live=True
    )
    circuit: bool = cell("yes", "yes: the site's circuit and plug must carry it", "yes", default=False)
    budget_start: float | None = cell(
        "number", "to pay at the start, at most", "2500 EUR", unit="{money}", default=None, least=0.0, live=True
    )
    budget_month: float | None = cell(
        "number",
        "to pay in any month for electricity, heat, fees, insurance and expected replacements, at most",
        "40 EUR/month",
        unit="{money}/month",
        default=None,
        least=0.0,
        live=True,
    )
    backup_elsewhere: bool = cell("yes", "yes: a backup must exist elsewhere", "yes", default=False)
    sources: Mapping[str, tuple[str, str]] = field(default_factory=dict)  # need -> its source and note
