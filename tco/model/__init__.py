"""The cost model, written as formulas: one file a subject, one file a cost line."""

from tco.model.build import StudyModel, build, line_inputs
from tco.model.ground import Ground, Line
from tco.model.lines import LINES

__all__ = ["LINES", "Ground", "Line", "StudyModel", "build", "line_inputs"]
