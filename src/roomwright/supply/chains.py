"""Lead chains: a part's way to the room as activities in the same network as the site work.

decide, measure, (order), submit, approve, make, ship, (arrive), receive, hold, then the activity
that installs it. Each step that a line has is an activity ``line:step`` with finish to start links;
``line:order`` and ``line:arrive`` are milestones. So order-by date, float and criticality come from
the same two passes as the rest: the late start of ``line:order`` is the last safe day to order.

What happened replaces what was estimated: see `roomwright.supply.history`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final, Literal, get_args

from roomwright.days import Calendar, Number
from roomwright.schedule import Activity, Link, LinkKind, Network
from roomwright.supply.measure import Condition

Step = Literal["decide", "measure", "submit", "approve", "make", "ship", "receive", "hold"]
STEPS: Final[tuple[Step, ...]] = get_args(Step)
OURS: Final[frozenset[Step]] = frozenset({"decide", "measure", "receive", "hold"})
"""Steps that are ours to do; the others are the vendor's, who works by his own calendar."""


class ChainError(ValueError):
    """A lead chain that cannot be; the message names the line and what to do."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps of a lead chain: of a class, or with what one line overrides.

    Attributes
    ----------
    days : mapping of step to days
        working days of each step, of the vendor's calendar for his steps [days]; a step that is
        not there does not exist, one of 0 days is a moment
    names : mapping of step to str
        own words for a step: "Pick the tile"
    vendor : Calendar, optional
        the vendor's days; the house's where there is none
    condition : Condition, optional
        what the measure waits for
    order_before : step
        the step that begins when the order is placed: ``submit`` by default, or the first of the
        vendor's steps; ``make`` where drawings are approved before the order
    hold_counts : str
        whether the hold counts ``working`` days or ``elapsed`` ones (wood acclimates on Sundays)
    """

    days: Mapping[Step, Number] = field(default_factory=dict)
    names: Mapping[Step, str] = field(default_factory=dict)
    vendor: Calendar | None = None
    condition: Condition | None = None
    order_before: Step = "submit"
    hold_counts: Literal["working", "elapsed"] = "working"

    def __post_init__(self) -> None:
        for step in (*self.days, *self.names):
            if step not in STEPS:
                raise ChainError(f"no step {step!r} in a lead chain: use {', '.join(STEPS)}")
        if self.order_before in OURS:
            raise ChainError(f"an order is not placed before {self.order_before!r}")
        if self.condition is not None and "measure" not in self.days:
            raise ChainError("a condition is given, and no measure: give the measure its days")

    def overridden(
        self,
        days: Mapping[Step, Number | None] | None = None,
        *,
        vendor: Calendar | None = None,
        condition: Condition | None = None,
    ) -> Plan:
        """Return the plan of one line: what it says itself replaces what its class says.

        A step with None is taken out.

        >>> tile = Plan({"decide": 1, "make": 20, "ship": 5})
        >>> dict(tile.overridden({"make": 35, "decide": None}).days)
        {'make': 35, 'ship': 5}
        """
        merged = {**self.days, **(days or {})}
        kept: dict[Step, Number] = {s: d for s, d in merged.items() if d is not None}
        told = condition or (self.condition if "measure" in kept else None)
        return replace(self, days=kept, vendor=vendor or self.vendor, condition=told)


@dataclass(frozen=True, slots=True)
class LeadChain:
    """The activities and links of one line, ready to merge into a network.

    `order` and `arrive` are the ids of the two milestones.
    """

    line: str
    installs: str
    plan: Plan
    activities: tuple[Activity, ...]
    links: tuple[Link, ...]

    @property
    def order(self) -> str:
        """Id of the milestone at which the order is placed."""
        return f"{self.line}:order"

    @property
    def arrive(self) -> str:
        """Id of the milestone at which all of it is on site."""
        return f"{self.line}:arrive"

    def id(self, step: Step) -> str:
        """Return the id of a step."""
        return f"{self.line}:{step}"

    def between(self) -> tuple[Step, ...]:
        """Return the steps from the order to the arrival."""
        first = STEPS.index(_placed(self.plan))
        return tuple(s for s in STEPS[first:] if s in self.plan.days and s not in OURS)


def lead_chain(line: str, installs: str, plan: Plan, name: str = "") -> LeadChain:
    """Return a part's way to the room as activities and links.

    Parameters
    ----------
    line : str
        id of the line; ids of the activities begin with it, so they stay the same
    installs : str
        id of the activity that needs the part at its start
    plan : Plan
    name : str
        what the part is, for the names of the activities

    Examples
    --------
    >>> from datetime import date
    >>> from roomwright.schedule import passes
    >>> glass = lead_chain("L7", "SET", Plan({"make": 10, "ship": 2, "receive": 1}), "Glass")
    >>> [a.id for a in glass.activities]
    ['L7:order', 'L7:make', 'L7:ship', 'L7:arrive', 'L7:receive']
    >>> site = Network([Activity("TILE", 20), Activity("SET", 1)], [Link("TILE", "SET")])
    >>> found = passes(merged(site, [glass]), Calendar(date(2027, 3, 1)))
    >>> found["L7:order"].late_start, found["L7:order"].total_float
    (7.0, 7.0)
    """
    if ":" in line or not line:
        raise ChainError(f"line id {line!r}: use an id without a colon")
    days = plan.days
    placed = _placed(plan)
    activities: list[Activity] = []
    for step in STEPS:
        if step == placed:
            activities.append(Activity(f"{line}:order", 0, f"{name}: order".lstrip(": ")))
        if step == "receive":
            activities.append(Activity(f"{line}:arrive", 0, f"{name}: on site".lstrip(": ")))
        if step not in days or (step == "hold" and plan.hold_counts == "elapsed"):
            continue
        said = plan.names.get(step, step)
        own = plan.vendor if step not in OURS else None
        activities.append(
            Activity(f"{line}:{step}", days[step], f"{name}: {said}".lstrip(": "), own)
        )
    ids = [a.id for a in activities]
    links = [Link(one, two) for one, two in pairwise(ids)]
    if plan.condition is not None:
        links += [Link(before, f"{line}:measure") for before in plan.condition.after]
    elapsed = days.get("hold", 0) if plan.hold_counts == "elapsed" else 0
    kind: LinkKind = "finish to start"
    links.append(
        Link(ids[-1], installs, kind, elapsed, "elapsed", "hold") if elapsed
        else Link(ids[-1], installs)
    )  # fmt: skip
    return LeadChain(line, installs, plan, tuple(activities), tuple(links))


def merged(network: Network, chains: Iterable[LeadChain]) -> Network:
    """Return the site work and the lead chains as one network.

    Raises
    ------
    NetworkError
        where a chain leads to an activity that is not there, or two lines have one id
    CycleError
        where a measure waits for work that waits for the part itself
    """
    lines = list(chains)
    return Network(
        [*network.activities, *(a for c in lines for a in c.activities)],
        [*network.links, *(k for c in lines for k in c.links)],
    )


def _placed(plan: Plan) -> Step:
    """Return the step before which the order is placed: there is always a place for it."""
    first = STEPS.index(plan.order_before)
    return next((s for s in STEPS[first:] if s in plan.days and s not in OURS), "receive")
