"""The schedule of a house: links, forward and backward pass, health checks."""

from roomwright.schedule.health import Finding, examine, health
from roomwright.schedule.network import (
    Activity,
    CycleError,
    Link,
    LinkKind,
    Network,
    NetworkError,
    Progress,
    cycles,
)
from roomwright.schedule.passes import passes
from roomwright.schedule.result import Dates, Schedule, State

__all__ = [
    "Activity",
    "CycleError",
    "Dates",
    "Finding",
    "Link",
    "LinkKind",
    "Network",
    "NetworkError",
    "Progress",
    "Schedule",
    "State",
    "cycles",
    "examine",
    "health",
    "passes",
]
