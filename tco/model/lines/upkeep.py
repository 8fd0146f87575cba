"""Upkeep: hours of your own time, valued per hour (nothing unless the study says so), growing with other prices."""

from __future__ import annotations

from tco.engine import Constant, Node, call
from tco.model.ground import Ground, Line, one_month
from tco.units import unit


def build(ground: Ground) -> Node:
    running = call("more_than", ground.month("month"), Constant(0.0, unit("month")))
    hours = ground.own("inputs", "upkeep") * one_month()
    return running * hours * ground.setting("hour_value") * ground.month("other_level")


LINE = Line("upkeep", "Upkeep", 60, investment=False, build=build)
