"""The simulation: many houses, each with its own luck, through both passes."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Collection, Iterable, Mapping
from concurrent.futures import FIRST_COMPLETED, ThreadPoolExecutor, wait
from datetime import date
from itertools import pairwise
from typing import Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from roomwright.chances.draws import Draws, check, draws
from roomwright.chances.engine import Engine, engine
from roomwright.chances.graph import INTO, ONTO, Ints, Prepared
from roomwright.chances.quick import quick_pass
from roomwright.chances.result import Chances, Quantiles, Watched
from roomwright.chances.spreads import ChancesError, Factor, Uncertain
from roomwright.days import TICKS_A_DAY, Calendar, HorizonError, Number
from roomwright.schedule.network import Network, Progress

PIECE: Final = 1280
"""Samples between two looks at `stop`: ten blocks."""

Longs = npt.NDArray[np.int64]


class Stopped(Exception):  # noqa: N818 - nothing went wrong
    """The simulation was stopped before its end."""


class Groups(NamedTuple):
    """Activities held to plan together: rows of the draws, group after group."""

    begins: Ints
    draw: Ints
    always: Ints


class Sums(NamedTuple):
    """What is kept of the samples, in whole steps: exact, so threads may add in any order."""

    critical: Longs
    lasts: Longs
    squares: Longs
    products: Longs
    caused: Longs
    caused_squares: Longs


def simulate(
    network: Network,
    uncertain: Iterable[Uncertain],
    factors: Iterable[Factor] = (),
    *,
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
    not_before: Mapping[str, Number] | None = None,
    samples: int = 10_000,
    seed: int = 2027,
    watch: Iterable[str] | None = None,
    late: Iterable[str] = (),
    causes: Mapping[str, Iterable[str]] | None = None,
    perfect: Collection[str] = (),
    per_day: int = 64,
    report: Callable[[float], None] | None = None,
    stop: Callable[[], bool] | None = None,
    compiled: bool | None = None,
) -> Chances:
    """Return the chances of every date, and who causes how much delay.

    Parameters
    ----------
    network, calendar, as_of, progress, not_before
        as `roomwright.schedule.passes` takes them
    uncertain : iterable of Uncertain
        who is not sure; all others take their planned days. Of started work with days left told,
        those are spread in proportion; else only days that are still possible are drawn
    factors : iterable of Factor
    samples, seed : int
        how many, and what all random numbers come from: an activity draws the same numbers in
        every simulation with this seed, whatever else is in the network
    watch : iterable of activity ids, optional
        whose dates are kept (8 bytes a sample each); all where none are given
    late : iterable of activity ids
        whose late dates are kept too: how late they may be with the end of each sample as it is
    causes : mapping of name to activity ids, optional
        groups whose expected days are asked for, say the steps of one order; each uncertain
        activity by itself where none are given; none for an empty mapping
    perfect : collection of activity ids
        those that are never later than planned
    per_day : int
        steps of a working day to which drawn days are rounded, a power of two up to 128; 2 is
        half days, as work is booked
    report, stop : callables, optional
        told the share done; asked whether to stop, and then `Stopped` is raised
    compiled : bool, optional
        with or without compiled code, to compare; the numbers are the same

    Raises
    ------
    ChancesError
        for spreads and factors that contradict themselves or the network
    NetworkError, HorizonError
        as the passes raise them

    Examples
    --------
    >>> from roomwright.chances import Spread, Uncertain
    >>> from roomwright.schedule import Activity, Link
    >>> wall = Network([Activity("board", 5), Activity("tile", 4), Activity("move in", 0)],
    ...                [Link("board", "move in"), Link("tile", "move in")])
    >>> found = simulate(wall, [Uncertain("board", Spread("triangular", 4, 5, 9)),
    ...                         Uncertain("tile", Spread("triangular", 3, 4, 8))],
    ...                  calendar=Calendar(date(2027, 3, 1)))
    >>> found.deterministic, found.finish.p50, found.finish.p80
    (5.0, 6.1875, 7.15625)
    >>> round(found.criticality["board"], 1), round(found.expected_days["board"], 1)
    (0.7, 0.8)
    """
    told, common = list(uncertain), list(factors)
    check(network.index, told, common)
    late_ids = tuple(dict.fromkeys(late))
    _check_names(network, [*(watch or ()), *late_ids], causes, perfect)
    if not 1 <= samples <= 10_000_000:
        raise ChancesError(f"{samples} samples: use 1 to 10,000,000")
    zero = {u.activity for u in told if network[u.activity].days == 0}
    given = (network, calendar, as_of, progress)
    at = Prepared(*given, not_before=not_before, works=zero, per_day=per_day)
    plain = quick_pass(at, compiled=compiled)
    planned = plain.finish
    if at.mixed and (zero or per_day > TICKS_A_DAY):  # an end held at night goes to half days
        planned = quick_pass(*given, not_before=not_before, compiled=compiled).finish
    drawn = draws(at, told, common, seed, perfect, plain.finish_steps)
    ids = tuple(a.id for a in network) if watch is None else tuple(dict.fromkeys(watch))
    named, groups = _groups(at, drawn, causes)
    run = _Run(at, drawn, groups, (ids, late_ids), samples, engine(compiled))
    run.all(report, stop)
    return _chances(at, drawn, run, named, seed, planned)


def without(
    activity: str | Iterable[str],
    network: Network,
    uncertain: Iterable[Uncertain],
    factors: Iterable[Factor] = (),
    **settings: Any,
) -> Chances:
    """Return the same simulation where an activity, or several, are never later than planned.

    The random numbers are the same, so the mean end differs from that of `simulate` by exactly
    its `expected_days`. `settings` are those of `simulate`.
    """
    perfect = (activity,) if isinstance(activity, str) else tuple(activity)
    settings.setdefault("causes", {})
    return simulate(network, uncertain, factors, perfect=perfect, **settings)


def _check_names(
    network: Network,
    watch: Iterable[str],
    causes: Mapping[str, Iterable[str]] | None,
    perfect: Iterable[str],
) -> None:
    asked = [*watch, *perfect, *(i for ids in (causes or {}).values() for i in ids)]
    unknown = dict.fromkeys(i for i in asked if i not in network.index)
    if unknown:
        raise ChancesError(*(f"no activity {i!r}" for i in unknown))


def _groups(
    at: Prepared, drawn: Draws, causes: Mapping[str, Iterable[str]] | None
) -> tuple[list[str], Groups]:
    """Return the names of the groups, and their rows; certain work never causes a delay."""
    row = {int(p): r for r, p in enumerate(drawn.place)}
    if causes is None:
        ids = [at.network.activities[at.order[p]].id for p in row]
        causes = {i: (i,) for i in ids}
    rows = [[row[p] for p in sorted({at.place[i] for i in g}) if p in row] for g in causes.values()]
    # shortening one that is held at its finish and that others follow from its start may hurt
    nodes = at.graph.nodes
    always = [
        nodes[p, INTO + 2] < nodes[p, INTO + 4] and nodes[p, ONTO + 2] < nodes[p, ONTO + 4]
        for p in (int(drawn.place[r]) for group in rows for r in group)
    ]
    begins = np.cumsum([0, *map(len, rows)])
    flat = [r for group in rows for r in group]
    whole = np.int32
    return list(causes), Groups(
        begins.astype(whole), np.array(flat, whole), np.array(always, whole)
    )


class _Run:
    """The samples of one simulation, piece by piece, by as many threads as there are cores."""

    def __init__(
        self,
        at: Prepared,
        drawn: Draws,
        groups: Groups,
        ids: tuple[tuple[str, ...], tuple[str, ...]],
        samples: int,
        by: Engine,
    ) -> None:
        self.at, self.drawn, self.groups, self.by = at, drawn, groups, by
        self.samples = samples
        self.ids = ids
        rows = [2 * at.place[i] + e for i in ids[0] for e in (0, 1)]
        rows += [2 * (len(at) + at.place[i]) + e for i in ids[1] for e in (0, 1)]
        self.watch = np.array(rows, np.int32)
        self.finish = np.empty(samples, np.int32)
        self.watched = np.empty((len(rows), samples), np.int32)
        self.sums = self._sums()
        self._spare: list[tuple[Any, Sums]] = []
        self._lock = threading.Lock()

    def _sums(self) -> Sums:
        counts = (len(self.at), *[len(self.drawn.place)] * 3, *[len(self.groups.begins) - 1] * 2)
        return Sums(*(np.zeros(n, np.int64) for n in counts))

    def _arrays(self) -> tuple[Any, Sums]:
        return self.by.block(self.at, self.drawn, len(self.groups.draw)), self._sums()

    def all(self, report: Callable[[float], None] | None, stop: Callable[[], bool] | None) -> None:
        """Run all pieces; `report` and `stop` are called from the caller's thread."""
        pieces = list(pairwise([*range(0, self.samples, PIECE), self.samples]))
        threads = min(_cores(), len(pieces)) if self.by.threads else 1
        if threads == 1:
            for done, piece in enumerate(pieces, 1):
                _ask(stop)
                self.piece(*piece)
                _tell(report, done / len(pieces))
            return
        with ThreadPoolExecutor(threads) as pool:
            waiting = {pool.submit(self.piece, *piece) for piece in pieces}
            try:
                while waiting:
                    done_now, waiting = wait(waiting, timeout=0.1, return_when=FIRST_COMPLETED)
                    for one in done_now:
                        one.result()
                    _ask(stop)
                    _tell(report, 1 - len(waiting) / len(pieces))
            except BaseException:
                pool.shutdown(wait=True, cancel_futures=True)
                raise

    def piece(self, first: int, last: int) -> None:
        """Run some samples in working arrays that no other thread has."""
        with self._lock:
            kept = self._spare.pop() if self._spare else None
        block, sums = kept or self._arrays()
        self.by.sweep(
            first, last, self.at.graph, self.drawn, self.groups, self.watch, block, sums,
            self.finish, self.watched,
        )  # fmt: skip
        with self._lock:
            for whole, part in zip(self.sums, sums, strict=True):
                whole += part
                part[:] = 0
            self._spare.append((block, sums))


def _cores() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not every system can say
        return os.cpu_count() or 1


def _ask(stop: Callable[[], bool] | None) -> None:
    if stop is not None and stop():
        raise Stopped


def _tell(report: Callable[[float], None] | None, share: float) -> None:
    if report is not None:
        report(share)


def _chances(
    at: Prepared,
    drawn: Draws,
    run: _Run,
    named: list[str],
    seed: int,
    planned: float,
) -> Chances:
    """Return the answer from the sums."""
    count, sums, unit = run.samples, run.sums, at.per_day
    if len(run.finish) and int(run.finish.max()) >= at.graph.fit[1]:
        raise HorizonError(
            "a sample ran beyond the calendar, years from now: check the spreads, above all the "
            "highest days of lognormals and the sigmas of factors"
        )
    finishes = at.days(run.finish)
    name = [at.network.activities[i].id for i in at.order]
    ends = run.finish.astype(np.int64) - drawn.plain_finish
    total, squares = int(ends.sum()), int((ends**2).sum())
    cruciality = {}
    for r, p in enumerate(drawn.place):
        x, xx, xy = int(sums.lasts[r]), int(sums.squares[r]), int(sums.products[r])
        wide = (count * xx - x * x) * (count * squares - total * total)
        part = abs(count * xy - x * total) / float(wide) ** 0.5 if wide else 0.0
        cruciality[name[p]] = min(part, 1.0)
    mean = sums.caused / count
    early, late = run.ids
    error = np.sqrt(np.maximum(sums.caused_squares / count - mean**2, 0) / count)
    return Chances(
        finish=Quantiles.of(finishes),
        of=Watched(early, run.watched[: 2 * len(early)], unit, at.zero),
        late=Watched(late, run.watched[2 * len(early) :], unit, at.zero),
        criticality={n: int(c) / count for n, c in zip(name, sums.critical, strict=True)},
        cruciality=cruciality,
        expected_days=dict(zip(named, (mean / unit).tolist(), strict=True)),
        expected_days_se=dict(zip(named, (error / unit).tolist(), strict=True)),
        samples=count,
        seed=seed,
        deterministic=planned,
        finishes=finishes,
    )
