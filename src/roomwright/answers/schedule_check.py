"""The health of the network in one answer: findings, shares, paths, what was out of sequence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.figures import Figure
from roomwright.schedule.network import KINDS


@dataclass(frozen=True, slots=True)
class ScheduleCheck:
    """What the checks of a network found, the weightiest first.

    `left` counts the activities that are not done; `kinds` the links of each kind; `lags` and
    `leads` the links with one; `dated` the activities left with dates of their own. `near` is the
    figure of what is near-critical, and `near_critical` who is, apart from what is critical.
    """

    as_of: date
    activities: int
    left: int
    links: int
    kinds: Mapping[str, int]
    lags: int
    leads: int
    dated: int
    near: Figure
    critical: tuple[str, ...]
    near_critical: tuple[str, ...]
    promise_float: float | None
    paths: tuple[schedule.Path, ...]
    more_paths: bool
    out_of_sequence: tuple[schedule.OutOfSequence, ...]
    findings: tuple[schedule.Finding, ...]

    @property
    def passes(self) -> bool:
        """Whether nothing needs a decision: notes alone pass."""
        return all(f.weight == "note" for f in self.findings)

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        plain = dates.plain
        return {
            "passes": self.passes,
            "activities": self.activities,
            "left": self.left,
            "links": self.links,
            "kinds": [{"kind": k, "links": n} for k, n in self.kinds.items()],
            "lags": self.lags,
            "leads": self.leads,
            "dated": self.dated,
            "near_days": plain(float(self.near.value)),
            "near_source": self.near.cite(),
            "critical": list(self.critical),
            "near_critical": list(self.near_critical),
            "promise_float": None if self.promise_float is None else plain(self.promise_float),
            "paths": [
                {"activities": list(p.activities), "slack": plain(p.slack)} for p in self.paths
            ],
            "more_paths": self.more_paths,
            "out_of_sequence": [
                {"before": o.before, "after": o.after, "kind": o.kind, "text": o.text}
                for o in self.out_of_sequence
            ],
            "findings": [
                {
                    "check": f.check,
                    "weight": f.weight,
                    "activities": list(f.activities),
                    "text": f.text,
                    "do": f.do,
                }
                for f in self.findings
            ],
        }


@query("schedule check")
def schedule_check(ask: Ask) -> ScheduleCheck:
    """Return what the checks of the network found."""
    network, found, near = ask(dates.network), ask(dates.passes), ask(dates.near)
    left = [i for i, d in found.dates.items() if d.state != "done"]
    held = set(ask(dates.not_before)) | set(ask(dates.promised))
    listed, more = ask(dates.paths)
    return ScheduleCheck(
        as_of=ask.as_of,
        activities=len(network),
        left=len(left),
        links=len(network.links),
        kinds={kind: sum(k.kind == kind for k in network.links) for kind in KINDS},
        lags=sum(k.lag_days > 0 for k in network.links),
        leads=sum(k.lag_days < 0 for k in network.links),
        dated=sum(i in held for i in left),
        near=near,
        critical=tuple(i for i in left if found[i].critical),
        near_critical=tuple(
            i for i in left if not found[i].critical and found[i].total_float <= near.value
        ),
        promise_float=found.promise_float,
        paths=listed,
        more_paths=more,
        out_of_sequence=ask(dates.out_of_sequence),
        findings=ask(dates.health),
    )
