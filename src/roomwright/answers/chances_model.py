"""What the chances of a house hold, and their JSON."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

import numpy as np

from roomwright.answers.futures import Samples
from roomwright.answers.lead_spreads import Wait
from roomwright.chances.result import quantile
from roomwright.days import Calendar


@dataclass(frozen=True, slots=True)
class Sure:
    """Days by which something is 50, 80 and 90 % sure, and their standard errors [days]."""

    p50: date
    p80: date
    p90: date
    p50_se: float
    p80_se: float
    p90_se: float

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            f: v.isoformat() if isinstance(v := getattr(self, f), date) else round(v, 2)
            for f in self.__slots__
        }


@dataclass(frozen=True, slots=True)
class Cost:
    """Days of move-in on average, with the standard error [days]."""

    days: float
    se: float

    def as_json(self) -> dict[str, float]:
        """Return the documented fields."""
        return {"days": round(self.days, 2), "se": round(self.se, 3)}


@dataclass(frozen=True, slots=True)
class WorkChance:
    """An activity: its planned last day, when it is how sure, and what it costs.

    `critical` is the share of futures in which it has no float, `cruciality` how its days and the
    end go together; None where its days are sure.
    """

    id: str
    name: str
    trade: str
    milestone: bool
    state: str
    planned: date
    done: Sure
    critical: float
    cruciality: float | None
    caused: Cost | None

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "id": self.id,
            "name": self.name,
            "trade": self.trade,
            "milestone": self.milestone,
            "state": self.state,
            "planned": self.planned.isoformat(),
            "done": self.done.as_json(),
            "critical": round(self.critical, 4),
            "cruciality": None if self.cruciality is None else round(self.cruciality, 4),
            "caused": None if self.caused is None else self.caused.as_json(),
        }


@dataclass(frozen=True, slots=True)
class LineChance:
    """A line that is not here: when it lands, and what it costs.

    Attributes
    ----------
    needed, lands : Sure
        when the work could begin that needs it; when it is there
    late : float
        chance that it lands after it is needed
    alone : Cost
        what it costs if every other part comes in time
    caused : Cost
        what would be gained if it, and `together`, came in time and all else as it comes
    together : tuple of str
        the other lines that come on the same truck
    rests : tuple of Wait
        what its days rest on, part by part
    """

    line: str
    room: str
    part_class: str
    name: str
    maker: str
    need: str
    needed: Sure
    lands: Sure
    late: float
    alone: Cost
    caused: Cost
    together: tuple[str, ...]
    guess: bool
    rests: tuple[Wait, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "line": self.line,
            "room": self.room,
            "class": self.part_class,
            "name": self.name,
            "maker": self.maker,
            "needed_by": self.need,
            "needed": self.needed.as_json(),
            "lands": self.lands.as_json(),
            "late": round(self.late, 4),
            "alone": self.alone.as_json(),
            "caused": self.caused.as_json(),
            "together": list(self.together),
            "guess": self.guess,
            "rests_on": [_rests(w) for w in self.rests],
        }


def _rests(wait: Wait) -> dict[str, Any]:
    told = wait.inputs
    ends = {} if told is None else {"low": told.low, "likely": told.likely, "high": told.high}
    return {"basis": wait.basis, "source": told.source if told else "", **ends}


@dataclass(frozen=True, slots=True)
class ChancesAnswer:
    """The chances of a house as of a day.

    Attributes
    ----------
    plan : date, optional
        the last day worked by the plan's likely days, every part in time; None for a house
        without activities
    bias : float
        by how much the middle of the futures ends after the plan [working days]
    end : Sure, optional
    site : Sure, optional
        the end if every part came in time
    work, lines : tuple
        those that cost most first
    finishes : array, shape (n,)
        the end in each future, rising [working-day numbers]
    """

    as_of: date
    plan: date | None
    bias: float
    end: Sure | None
    site: Sure | None
    work: tuple[WorkChance, ...]
    lines: tuple[LineChance, ...]
    samples: int
    seed: int
    notes: tuple[str, ...]
    calendar: Calendar = field(repr=False)
    finishes: Samples = field(repr=False, compare=False)

    def sure_by(self, confidence: float) -> date | None:
        """Return the last day worked that is kept with a chance: the date to promise."""
        if not len(self.finishes):
            return None
        return self.calendar.last_worked(quantile(self.finishes, confidence)[0])

    def chance_by(self, last_day: date) -> float:
        """Return the chance that all is done by the end of a day."""
        evening = self.calendar.number(last_day + timedelta(days=1))
        return float(np.mean(self.finishes <= evening))

    def at(self, sure: int, line: str = "") -> dict[str, Any]:
        """Return the documented fields with the date to promise at so many per cent.

        With a line, only that one of the lines.
        """
        promise = self.sure_by(sure / 100)
        lines = [r.as_json() for r in self.lines if line in ("", r.line)]
        return {**self.as_json(), "lines": lines, "confidence": sure, "promise": _iso(promise)}

    @property
    def milestones(self) -> tuple[WorkChance, ...]:
        """The milestones that are to come, the soonest first."""
        found = [w for w in self.work if w.milestone and w.state != "done"]
        return tuple(sorted(found, key=lambda w: (w.done.p50, w.id)))

    @property
    def trucks(self) -> tuple[LineChance, ...]:
        """The lines, but of those that come together only the one that costs most."""
        seen: set[str] = set()
        found = []
        for row in self.lines:
            if row.line not in seen:
                found.append(row)
                seen |= set(row.together)
        return tuple(found)

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "as_of": self.as_of.isoformat(),
            "plan": None if self.plan is None else self.plan.isoformat(),
            "plan_too_early_by": round(self.bias, 2),
            "end": None if self.end is None else self.end.as_json(),
            "end_if_parts_in_time": None if self.site is None else self.site.as_json(),
            "milestones": [w.as_json() for w in self.milestones],
            "activities": [w.as_json() for w in self.work],
            "lines": [row.as_json() for row in self.lines],
            "samples": self.samples,
            "seed": self.seed,
            "notes": list(self.notes),
        }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
