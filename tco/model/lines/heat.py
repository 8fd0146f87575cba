"""Heating and cooling: bought heat that the build's waste heat saves, and the electricity to cool it away.

Off unless the site says so (`heat used`, `cooling`): a build's heat is worth something only where it is wanted.
"""

from __future__ import annotations

from tco.model.ground import Line
from tco.model.warmth import heat

LINE = Line("heat", "Heating and cooling", 35, investment=False, monthly=True, build=heat)
