"""How sure the end and every milestone are, and which work and which order cost the most days.

One simulation of the whole network (`roomwright.answers.whole_network`). Parts are planned to be
there at once, so *days caused* are what would be gained if a part came in time, all other luck the
same; work is planned at its likely days. What a line costs *alone*, every other part in time, comes
from `roomwright.answers.futures`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from roomwright import chances as engine
from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.chances_model import ChancesAnswer, Cost, LineChance, Sure, WorkChance
from roomwright.answers.engine import Ask, query
from roomwright.answers.futures import SAMPLES, SEED, Futures, Samples, futures, run
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.whole_network import Way, Whole, whole
from roomwright.chances.result import quantile
from roomwright.days import Calendar


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
    got = run(
        ask, found, at_once(found), samples=samples, causes=_once(causes),
        watch=[a.id for a in planned.activities],
    )  # fmt: skip
    ahead = ask(futures, samples)
    rows = {r.line: r for r in ask(orders).lines}
    seen = _Seen(ahead, calendar)
    lines = [_line(way, rows[line], got, seen, trucks) for line, way in found.ways.items()]
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


class _Seen:
    """What the futures say of lines, worked out once for those that come on one truck."""

    def __init__(self, ahead: Futures, calendar: Calendar) -> None:
        self.ahead, self.calendar = ahead, calendar
        self._moments: dict[int, Sure] = {}
        self._late: dict[tuple[int, int], tuple[float, Cost]] = {}

    def moment(self, samples: Samples) -> Sure:
        """Return when something is, from the day in each future."""
        key = id(samples)  # the futures hold the array: its id stays its own
        if key not in self._moments:
            self._moments[key] = _sure(np.sort(samples), self.calendar, begins=True)
        return self._moments[key]

    def late(self, line: str) -> tuple[float, Cost]:
        """Return how likely a line is late, and what it costs alone."""
        key = id(self.ahead.lands[line]), id(self.ahead.last[line])
        if key not in self._late:
            days = self.ahead.days(line)
            cost = Cost(float(days.mean()), float(days.std() / np.sqrt(len(days))))
            self._late[key] = self.ahead.late(line), cost
        return self._late[key]


def _line(
    way: Way,
    row: OrderRow,
    got: engine.Chances,
    seen: _Seen,
    trucks: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]],
) -> LineChance:
    steps, others = trucks[way.line]
    late, alone = seen.late(way.line)
    return LineChance(
        line=way.line,
        room=row.room,
        part_class=row.part_class,
        name=row.name,
        maker=way.maker,
        need=way.need,
        needed=seen.moment(seen.ahead.need[way.line]),
        lands=seen.moment(seen.ahead.lands[way.line]),
        late=late,
        alone=alone,
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
