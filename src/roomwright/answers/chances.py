"""How sure the end and every milestone are, and which work and which order cost the most days.

One simulation of the whole network (`roomwright.answers.whole_network`). Parts are planned to be
there at once, so *days caused* are what would be gained if a part came in time, all other luck the
same; work is planned at its likely days. What a line costs *alone*, every other part in time, comes
from `roomwright.answers.futures`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

import numpy as np

from roomwright import chances as engine
from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.answers.futures import SAMPLES, SEED, Samples, futures, run
from roomwright.answers.lead_spreads import Wait
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.whole_network import Way, Whole, whole
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
        return float(np.mean(self.finishes <= self.calendar.number(last_day) + 1))

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


@query("chances")
def chances(ask: Ask, samples: int = SAMPLES) -> ChancesAnswer:
    """Return how sure the end is and who costs how many days.

    Raises
    ------
    roomwright.chances.Stopped
        if it was stopped (`roomwright.answers.futures.watched`)
    """
    found, calendar = ask(whole), ask(dates.calendar)
    planned = ask(dates.dates)
    if planned.finish is None:
        return ChancesAnswer(
            ask.as_of, None, 0, None, None, (), (), samples, SEED, found.notes, calendar,
            np.zeros(0),
        )  # fmt: skip
    trucks = together(found)
    causes = {f"line {line}": steps for line, (steps, _) in trucks.items()}
    steps = {s for w in found.ways.values() for s in w.steps}
    causes |= {
        f"work {u.activity}": (u.activity,) for u in found.uncertain if u.activity not in steps
    }
    got = run(ask, found, at_once(found), samples=samples, causes=_once(causes))
    ahead = ask(futures, samples)
    rows = {r.line: r for r in ask(orders).lines}
    lines = [
        _line(found.ways[line], rows[line], got, ahead, calendar, trucks) for line in found.ways
    ]
    lines.sort(key=lambda r: (-r.alone.days, -r.caused.days, -r.late, r.line))
    work = [_work(a, got, calendar) for a in planned.activities]
    work.sort(key=lambda w: -(w.caused.days if w.caused else 0.0))
    finishes = np.sort(got.finishes)
    return ChancesAnswer(
        as_of=ask.as_of,
        plan=planned.finish,
        bias=got.finish.p50 - planned.working_days,
        end=_sure(finishes, calendar),
        site=_sure(np.sort(ahead.finish), calendar),
        work=tuple(work),
        lines=tuple(lines),
        samples=samples,
        seed=SEED,
        notes=found.notes,
        calendar=calendar,
        finishes=finishes,
    )


@query("chances with other luck in common")
def other_strengths(ask: Ask, samples: int = SAMPLES) -> tuple[tuple[float, Sure], ...]:
    """Return the end if trades and makers had nothing in common, and if twice as much."""
    found, calendar = ask(whole), ask(dates.calendar)
    result = []
    for times in (0.0, 2.0):
        factors = tuple(replace(f, sigma=min(2.0, times * f.sigma)) for f in found.factors)
        got = run(
            ask, replace(found, factors=factors), at_once(found),
            samples=samples, causes={}, watch=(),
        )  # fmt: skip
        result.append((times, _sure(np.sort(got.finishes), calendar)))
    return tuple(result)


def at_once(found: Whole) -> schedule.Network:
    """Return the network with parts planned to be there at once: what the days caused are from."""
    steps = {s for w in found.ways.values() for s in w.steps}
    return found.network.lasting({u.activity: 0 for u in found.uncertain if u.activity in steps})


def together(found: Whole) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """Return by line the uncertain steps that share its luck, and the other lines of those."""
    luck = {u.activity: u.luck or u.activity for u in found.uncertain}
    steps: dict[str, dict[str, str]] = {}
    for way in found.ways.values():
        for step in way.steps:
            if step in luck:
                steps.setdefault(luck[step], {})[step] = way.line
    result = {}
    for way in found.ways.values():
        mine = dict.fromkeys(luck[s] for s in way.steps if s in luck)
        shared = {s: line for one in mine for s, line in steps[one].items()}
        others = tuple(dict.fromkeys(i for i in shared.values() if i != way.line))
        result[way.line] = tuple(sorted(shared)), others
    return result


def _once(causes: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    """Return the groups of activities, each once, under a name that says what is in it."""
    return {_name(steps): steps for steps in causes.values() if steps}


def _name(steps: tuple[str, ...]) -> str:
    return "\n".join(steps)


def _caused(got: engine.Chances, steps: tuple[str, ...]) -> Cost:
    name = _name(steps)
    return Cost(got.expected_days.get(name, 0.0), got.expected_days_se.get(name, 0.0))


def _line(
    way: Way,
    row: OrderRow,
    got: engine.Chances,
    ahead: Any,
    calendar: Calendar,
    trucks: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]],
) -> LineChance:
    days = ahead.days(way.line)
    steps, others = trucks[way.line]
    return LineChance(
        line=way.line,
        room=row.room,
        part_class=row.part_class,
        name=row.name,
        maker=way.maker,
        need=way.need,
        needed=_sure(np.sort(ahead.need[way.line]), calendar, begins=True),
        lands=_sure(np.sort(ahead.lands[way.line]), calendar, begins=True),
        late=ahead.late(way.line),
        alone=Cost(float(days.mean()), float(days.std() / np.sqrt(len(days)))),
        caused=_caused(got, steps),
        together=others,
        guess=way.guess,
        rests=way.rests,
    )


def _work(one: dates.ActivityDates, got: engine.Chances, calendar: Calendar) -> WorkChance:
    name = _name((one.id,))
    milestone = one.days == 0
    return WorkChance(
        id=one.id,
        name=one.name,
        trade=one.trade,
        milestone=milestone,
        state=one.dates.state,
        planned=one.last_day,
        done=_sure(np.sort(got.of.samples(one.id)[1]), calendar, begins=milestone),
        critical=got.criticality[one.id],
        cruciality=got.cruciality.get(one.id),
        caused=_caused(got, (one.id,)) if name in got.expected_days else None,
    )


def _sure(rising: Samples, calendar: Calendar, *, begins: bool = False) -> Sure:
    """Return the days of sorted working-day numbers: of ends, or of moments at which one begins."""
    (p50, one), (p80, two), (p90, three) = (quantile(rising, q) for q in (0.5, 0.8, 0.9))
    day = calendar.date if begins else calendar.last_worked
    return Sure(day(p50), day(p80), day(p90), one, two, three)
