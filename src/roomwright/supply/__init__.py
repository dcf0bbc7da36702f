"""Orders: when to place them, the true state of each line, and what to do today."""

from roomwright.supply.cautions import Caution, cautions
from roomwright.supply.model import (
    STATES,
    Finding,
    Lead,
    LineState,
    Measure,
    Need,
    OrderLine,
    Received,
    State,
    Work,
)
from roomwright.supply.policy import arrives, lead_days, order_by, reserve_days, weeks_words
from roomwright.supply.state import line_state, without_need
from roomwright.supply.today import BUILDER, Task, Wanted, Wrong, today

__all__ = [
    "BUILDER",
    "STATES",
    "Caution",
    "Finding",
    "Lead",
    "LineState",
    "Measure",
    "Need",
    "OrderLine",
    "Received",
    "State",
    "Task",
    "Wanted",
    "Work",
    "Wrong",
    "arrives",
    "cautions",
    "lead_days",
    "line_state",
    "order_by",
    "reserve_days",
    "today",
    "weeks_words",
    "without_need",
]
