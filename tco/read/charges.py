"""What a bill is made of: charges, hours, holidays, the home's own use, load shapes, efficiency curves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tco.read.curves import by_name
from tco.read.found import Found


def electricity(found: Found, tariffs: Sequence[str]) -> dict[str, Any]:
    """The fields of a study that say how its electricity is billed and drawn; of each only what it uses."""
    versions = [version for name in tariffs for version in found.versions(name)]
    hours, shapes = by_name(found.hours.rows, "hours"), by_name(found.shapes.rows, "shape")
    efficiency = by_name(found.efficiency.rows)
    parts = [part for table in found.parts.values() for part in table.rows]
    shaped = {row.busy_shape for row in found.scenarios.rows} | {row.shape for row in found.home.rows}
    return {
        "charges": {
            name: rows for name in tariffs if (rows := tuple(row for row in found.charges.rows if row.tariff == name))
        },
        "hours": {name: hours[name] for name in sorted({version.hours for version in versions} - {""})},
        "holidays": tuple(found.holidays.rows),
        "shapes": {name: shapes[name] for name in sorted(shaped - {""})},
        "home": tuple(found.home.rows),
        "efficiency": {name: efficiency[name] for name in sorted({part.efficiency for part in parts} - {""})},
    }
