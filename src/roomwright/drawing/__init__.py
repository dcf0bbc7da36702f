"""Drawings: a room's plan, a storey, a strip of weeks. One SVG each, the same on page and paper.

A drawing is made from plain values (`roomwright.answers.plan_model`, `weeks.Row`). It computes no
answer: it only finds places for what it is given, so that no two texts ever touch.
"""

from roomwright.drawing.arrivals import rows_of
from roomwright.drawing.lanes import Row
from roomwright.drawing.marks import mark
from roomwright.drawing.options import Drawing, PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.drawing.storey import house_plan
from roomwright.drawing.weeks import strip_of_weeks

__all__ = [
    "Drawing",
    "PlanOptions",
    "Row",
    "house_plan",
    "mark",
    "room_plan",
    "rows_of",
    "strip_of_weeks",
]
