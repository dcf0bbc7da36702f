"""Ten thousand futures of the house: when each line is needed, how late it may be, when it lands.

Two runs with the same random numbers. In one the site work goes its way as if every part came in
time: it says when each part is needed and until when that work could wait. In the other nothing
waits for a part: it says when each part is there. So a line's lateness beyond float, future by
future, is what it alone would move the end by.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.answers.whole_network import Way, Whole, whole
from roomwright.chances import Chances, Uncertain, simulate
from roomwright.chances.engine import loaded

SAMPLES: Final = 10_000
"""Futures where nobody asks for another number."""
SEED: Final = 2027
"""What all random numbers come from; an activity draws the same ones in every simulation."""
LARGE: Final = 1500
"""From so many activities on, loading the compiled code is quicker than doing without."""

Samples = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Watch:
    """Who is told how far a simulation is, and who may stop it."""

    tell: Callable[[float], None]
    stop: Callable[[], bool]


_WATCH: ContextVar[Watch | None] = ContextVar("watch of a simulation", default=None)


@contextmanager
def watched(tell: Callable[[float], None], stop: Callable[[], bool]) -> Iterator[None]:
    """Within it, simulations of this thread tell how far they are and may be stopped.

    One that is stopped raises `roomwright.chances.Stopped` and is not kept.
    """
    token = _WATCH.set(Watch(tell, stop))
    try:
        yield
    finally:
        _WATCH.reset(token)


@dataclass(frozen=True, slots=True, eq=False)
class Futures:
    """What each future holds [working-day numbers of the house].

    Attributes
    ----------
    finish : array, shape (n,)
        end of the site work if every part comes in time
    need, last : mapping of line to array
        when the work that needs the line could begin, and until when it could wait
    lands : mapping of line to array
        when the line is there and may be used
    critical : mapping of activity id to float
        share of the futures in which work of the site has no float
    """

    finish: Samples
    need: Mapping[str, Samples]
    last: Mapping[str, Samples]
    lands: Mapping[str, Samples]
    critical: Mapping[str, float]

    def __eq__(self, other: object) -> bool:
        """Return whether all futures are the same to the last bit."""
        if not isinstance(other, Futures):
            return NotImplemented
        pairs = [(getattr(self, f), getattr(other, f)) for f in ("need", "last", "lands")]
        return (
            self.critical == other.critical
            and np.array_equal(self.finish, other.finish)
            and all(a.keys() == b.keys() for a, b in pairs)
            and all(np.array_equal(a[i], b[i]) for a, b in pairs for i in a)
        )

    def __hash__(self) -> int:
        return hash((self.finish.tobytes(), tuple(self.need)))

    def late(self, line: str) -> float:
        """Return the chance that a line lands after it is needed."""
        return float(np.mean(self.lands[line] > self.need[line]))

    def days(self, line: str) -> Samples:
        """Return the days that a line alone costs in each future: lateness beyond float."""
        return np.maximum(0.0, self.lands[line] - self.last[line])


@query("futures")
def futures(ask: Ask, samples: int = SAMPLES) -> Futures:
    """Return when each line is needed and when it lands, future by future."""
    found = ask(whole)
    ways = found.ways.values()
    site = site_of(found)
    needs = dict.fromkeys(w.need for w in ways)
    work = run(ask, found, site, samples=samples, watch=needs, late=needs, causes={})
    loose, ready, of = unbound(found)
    lands = run(ask, found, loose, samples=samples, watch=ready, causes={})
    now = max(0.0, ask(dates.calendar).number(ask.as_of))
    need, last = {}, {}
    for id in needs:
        begun = found.progress.get(id, schedule.Progress()).started is not None
        if begun:  # what is left of it waits from now on
            finish = work.of.samples(id)[1]
            need[id], last[id] = np.full(samples, now), work.late.samples(id)[1] - finish + now
        else:
            need[id], last[id] = work.of.samples(id)[0], work.late.samples(id)[0]
    here = {id: lands.of.samples(id)[0] for id in ready}
    return Futures(
        work.finishes,
        {w.line: need[w.need] for w in ways},
        {w.line: last[w.need] for w in ways},
        {line: here[id] for line, id in of.items()},
        work.criticality,
    )


def run(ask: Ask, found: Whole, network: schedule.Network, **settings: Any) -> Chances:
    """Simulate a network of the house's activities, with what is known of each.

    Without compiled code where that is not loaded yet and the house is small: the numbers are the
    same.
    """
    light = len(network) < LARGE and not loaded()
    watch = _WATCH.get()
    if watch is not None:
        settings = {"report": watch.tell, "stop": watch.stop, **settings}
    at = network.index
    settings.setdefault("not_before", {i: d for i, d in found.not_before.items() if i in at})
    return simulate(
        network,
        settings.pop("uncertain", None) or [u for u in found.uncertain if u.activity in at],
        found.factors,
        calendar=ask(dates.calendar),
        as_of=ask.as_of,
        progress={i: p for i, p in found.progress.items() if i in at},
        seed=SEED,
        compiled=False if light else None,
        **settings,
    )


def site_of(found: Whole) -> schedule.Network:
    """Return the site work alone."""
    steps = {s for way in found.ways.values() for s in way.steps}
    return subnetwork(found.network, set(found.network.index) - steps)


def subnetwork(network: schedule.Network, keep: set[str]) -> schedule.Network:
    """Return some activities and the links among them."""
    return schedule.Network(
        (a for a in network if a.id in keep),
        (k for k in network.links if k.before in keep and k.after in keep),
    )


def unbound(found: Whole) -> tuple[schedule.Network, list[str], dict[str, str]]:
    """Return the lead chains with no work waiting for them, and what they themselves wait for.

    Returns
    -------
    network : Network
        each chain once, of those that are alike in all: they come on one truck
    ready : list of str
        ids of the moments at which a part is ready to be used
    of : dict of line to id
        which moment is whose
    """
    step_of = {s: w.line for w in found.ways.values() for s in w.steps}
    links: dict[str, list[schedule.Link]] = {}
    outs: dict[str, list[schedule.Link]] = {}
    for link in found.network.links:
        part = step_of.get(link.before)
        if part is not None and link.after not in step_of:
            outs.setdefault(part, []).append(link)
        else:
            links.setdefault(link.after, []).append(link)
    luck = {u.activity: u for u in found.uncertain}
    alike: dict[object, str] = {}
    of: dict[str, str] = {}
    keep: set[str] = set()
    more: list[schedule.Link] = []
    ready: list[str] = []
    for way in found.ways.values():
        out = outs.get(way.line, [])
        into = [k for s in way.steps for k in links.get(s, ())]
        sign = _sign(found, way, [*into, *out], luck)
        if sign not in alike:
            id = f"{way.on_site} ready"
            alike[sign] = id
            ready.append(id)
            keep |= {*way.steps, *(k.before for k in into)}
            more += [_till_ready(k, id) for k in out]
        of[way.line] = alike[sign]
    front = list(keep)
    for id in front:  # and all that these wait for
        for link in links.get(id, ()):
            if link.before not in keep:
                keep.add(link.before)
                front.append(link.before)
    network = schedule.Network(
        [
            *(found.network[id] for id in front),
            *(schedule.Activity(id, 0, off_site=True) for id in ready),
        ],
        [*(k for id in front for k in links.get(id, ())), *more],
    )
    return network, ready, of


def _till_ready(link: schedule.Link, ready: str) -> schedule.Link:
    """Return the link to the work as one to the moment at which that could begin."""
    if link.kind == "finish to start":
        return schedule.Link(link.before, ready, link.kind, link.lag_days, link.lag_counts)
    return schedule.Link(link.before, ready)


def _sign(
    found: Whole, way: Way, links: Iterable[schedule.Link], luck: Mapping[str, Uncertain]
) -> object:
    """Return what two chains have equal that land at the same time in every future."""
    place: dict[str, object] = {s: n for n, s in enumerate(way.steps)}
    place[way.need] = "need"
    steps = []
    for id in way.steps:
        activity, one = found.network[id], luck.get(id)
        chance = one and (one.spread, one.factors, one.luck or id)
        told = found.progress.get(id)
        steps.append(
            (
                activity.days,
                activity.calendar,
                activity.off_site,
                chance,
                told,
                found.not_before.get(id),
            )
        )
    tied = [
        (place.get(k.before, k.before), place[k.after], k.kind, k.lag_days, k.lag_counts)
        for k in links
    ]
    return tuple(steps), tuple(tied)
