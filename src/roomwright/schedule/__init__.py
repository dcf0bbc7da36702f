"""The schedule of a house: links, forward and backward pass, health checks."""

from roomwright.schedule.finding import Finding
from roomwright.schedule.health import examine, health
from roomwright.schedule.health_dates import Constraint
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
from roomwright.schedule.paths import NEAR, Path, paths
from roomwright.schedule.result import Dates, Driver, Moments, Schedule, State
from roomwright.schedule.sequence import OutOfSequence, out_of_sequence

__all__ = [
    "NEAR",
    "Activity",
    "Constraint",
    "CycleError",
    "Dates",
    "Driver",
    "Finding",
    "Link",
    "LinkKind",
    "Moments",
    "Network",
    "NetworkError",
    "OutOfSequence",
    "Path",
    "Progress",
    "Schedule",
    "State",
    "cycles",
    "examine",
    "health",
    "out_of_sequence",
    "passes",
    "paths",
]
