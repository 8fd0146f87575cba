"""What a part delivers beyond its price: further columns of parts lists; see study.py."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import fsum

from tco import units
from tco.cell import MONTH_LIMIT, cell
from tco.settings import Row


@dataclass(frozen=True)
class Amount:
    """So much of something that parts provide and need: `2 bay 3.5`, `64 GB memory`. unit: empty for a count.

    name: as it is compared, capitals left out; shown: as it was written.
    """

    count: float
    unit: str
    name: str
    shown: str = field(default="", compare=False)

    @property
    def watts(self) -> float | None:
        """How many watts it is, whatever the prefix; None where it is another kind of thing."""
        own, wanted = units.unit(self.unit), units.unit("W")
        return self.count * units.factor(own, wanted) if units.same_kind(own, wanted) else None

    def __str__(self) -> str:
        """As a person writes it."""
        return " ".join(filter(None, (f"{self.count:g}", self.unit, self.shown or self.name)))


@dataclass(frozen=True, kw_only=True)
class Gear(Row):
    """What a part delivers, provides and needs, how loud and how heavy it is: further columns of a parts list."""

    capacity: float | None = cell(
        "number", "raw capacity of one drive", "16 TB", unit="TB", default=None, least=1e-6, live=True
    )
    pool: str = cell("name", "the pool to which the drive belongs", "main", default="")
    read: float | None = cell(
        "number", "what one drive reads, sustained", "210 MB/s", unit="MB/s", default=None, least=1e-6, live=True
    )
    write: float | None = cell(
        "number", "what one drive writes, sustained", "200 MB/s", unit="MB/s", default=None, least=1e-6, live=True
    )
    system: bool = cell(
        "yes", "yes where the operating system is on the same drive; the setting `system takes` says what it costs",
        "yes", default=False,
    )  # fmt: skip
    warranty: int | None = cell(
        "months",
        "how long the maker replaces it, from buying it; what is sent back under it keeps its end; empty: not at all",
        "3 years",
        default=None,
        least=0,
        most=MONTH_LIMIT,
    )
    claim: float | None = cell(
        "number",
        "cost of one claim under the warranty (postage), tax in it; empty: none",
        "9 EUR",
        unit="{money}",
        default=None,
        least=0.0,
        live=True,
    )
    endurance: float | None = cell(
        "number",
        "data the host may write to it in its life (TBW); it is replaced in the month in which that is reached, "
        "which is no warranty claim",
        "600 TB",
        unit="TB",
        default=None,
        least=1e-6,
    )
    written: float | None = cell(
        "number",
        "data the host writes to one a day; empty: by its share of what is written to its pool",
        "15 GB/d",
        unit="GB/d",
        default=None,
        least=0.0,
    )
    written_before: float = cell(
        "number",
        "data written to it before it is bought, for used drives",
        "80 TB",
        unit="TB",
        default=0.0,
        least=0.0,
    )
    takes_first: str = cell(
        "name",
        "the pool whose writes it takes before the pool's own drives do (log, cache): all of them, shared evenly "
        "among such drives",
        "main",
        default="",
    )
    life: int | None = cell(
        "months",
        "age at which it is replaced, failed or not (a UPS battery: 3 to 5 years, common practice, no source)",
        "4 years",
        default=None,
        least=1,
        most=MONTH_LIMIT,
    )
    provides: tuple[Amount, ...] = cell(
        "amounts",
        "what one of it offers to other parts, joined by +; to those of its node, or to all where it belongs to none",
        "2 bay 3.5 + 1 M.2 + 64 GB memory + 90 W supply",
        default=(),
    )
    needs: tuple[Amount, ...] = cell(
        "amounts", "what one of it takes of that, by the same names", "1 bay 3.5 + 10 W supply", default=()
    )
    watts_at: str = cell(
        "choice",
        "where its watts are counted: at the plug, or behind the node's supply, whose losses then come on top; "
        "empty: at the plug",
        "supply",
        default="",
        choices=("plug", "supply"),
    )
    efficiency: str = cell(
        "name",
        "for a supply: its efficiency curve; its rating is what it provides in watts",
        "small supply, measured",
        default="",
    )
    noise_idle: float | None = cell(
        "number",
        "sound level of one when idle, A-weighted; 0 dB(A): without fan and moving parts",
        "24 dB(A)",
        unit="dBA",
        default=None,
        least=0.0,
        most=140.0,
        live=True,
    )
    noise_busy: float | None = cell(
        "number",
        "sound level of one when busy; empty: the same as idle",
        "29 dB(A)",
        unit="dBA",
        default=None,
        least=0.0,
        most=140.0,
        live=True,
    )
    noise_as: str = cell(
        "choice",
        "what the sound levels are: the sound power of one, or the pressure at `noise distance` from it; needed "
        "where there is a level above 0, for the two differ by 8 dB and more",
        "pressure",
        default="",
        choices=("power", "pressure"),
    )
    noise_distance: float | None = cell(
        "number",
        "distance at which the pressure was measured",
        "1 m",
        unit="m",
        default=None,
        least=0.01,
        most=100.0,
        live=True,
    )
    weight: float | None = cell("number", "weight of one", "1.2 kg", unit="kg", default=None, least=0.0)
    origin: str = ""  # for what is bought on top, or was bought: the part of the list that it is one of
    on_top: bool | None = None  # beside its node's measurement, or covered by it; None: by when it is bought
    known: int = 0  # the month until which it is known that it lived, or until it left

    @property
    def ratings(self) -> list[Amount]:
        """What it provides in watts."""
        return [one for one in self.provides if one.watts is not None]

    @property
    def rating(self) -> float:
        """What one of it can give, if it is a supply [W]."""
        return fsum(one.watts or 0.0 for one in self.ratings)
