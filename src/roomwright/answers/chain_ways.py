"""A lead chain as activities, links and spreads of the whole network."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from roomwright import schedule
from roomwright.answers.lead_chains import LineChain
from roomwright.answers.lead_spreads import Wait
from roomwright.chances import Spread, Uncertain
from roomwright.days import Calendar, Number
from roomwright.supply.chains import OURS, STEPS, Step
from roomwright.supply.learning import Belief, Inputs, basis

ON_SITE: Final[tuple[Step, ...]] = ("measure", "hold")
"""Steps in the house: they begin when the site has started. All others may lie before."""


@dataclass(frozen=True, slots=True)
class ChainWay:
    """What a line's chain adds to the whole network.

    `after` is the link to the work that needs the part; where that work is under way the caller
    makes it hold what is left of it. `replaced` is the step that stands for the days to a promise,
    whose spread is the caller's. `notes` says what could not be taken as it was told.
    """

    stem: str
    order: str
    on_site: str
    steps: tuple[str, ...]
    activities: tuple[schedule.Activity, ...]
    links: tuple[schedule.Link, ...]
    after: schedule.Link
    progress: Mapping[str, schedule.Progress]
    not_before: Mapping[str, Number]
    uncertain: tuple[Uncertain, ...]
    rests: tuple[Wait, ...]
    replaced: str
    notes: tuple[str, ...]


def chain_way(
    told: LineChain,
    maker: str,
    house: Calendar,
    as_of: date,
    *,
    guess: Belief,
    beyond: frozenset[str] = frozenset(),
    promised: Wait | None = None,
    lead: Wait | None = None,
) -> ChainWay:
    """Return the activities of a chain.

    Parameters
    ----------
    told : LineChain
    maker : str
        shared by the vendor's steps, as a factor
    house : Calendar
    as_of : date
    guess : Belief
        what stands behind the days of steps
    beyond : frozenset of str
        the activity that needs the part and all that waits for it: a measure can't wait for them
    promised : Wait, optional
        the days to the promise that stands, and what they may be; it takes the place of the
        vendor's steps that are left
    lead : Wait, optional
        the lead of the class, for a chain without a vendor's step
    """
    return _ChainWay(told, maker, house, as_of, guess, promised, lead).way(beyond)


class _ChainWay:
    def __init__(
        self, told: LineChain, maker: str, house: Calendar, as_of: date, guess: Belief,
        promised: Wait | None, lead: Wait | None,
    ) -> None:  # fmt: skip
        self.told, self.maker, self.house, self.as_of = told, maker, house, as_of
        self.guess, self.promised, self.lead = guess, promised, lead
        chain = self.chain = told.followed.chain
        on_site = {chain.id(step) for step in ON_SITE}
        self.activities = {a.id: replace(a, off_site=a.id not in on_site) for a in chain.activities}
        self.links = [k for k in chain.links if k.after != chain.installs]
        self.progress = dict(told.followed.progress)
        self.not_before = dict(told.followed.not_before)
        self.notes = list(told.notes)
        self.replaced = ""

    def way(self, beyond: frozenset[str]) -> ChainWay:
        chain = self.chain
        for link in [k for k in self.links if k.before in beyond]:
            self.links.remove(link)
            self.notes.append(
                f"{chain.line}: its measure waits for {link.before}, which waits for "
                f"{chain.installs}, which needs the part: choose another condition"
            )
        if self.promised is not None:
            self._promise(self.promised)
        self._held()
        spreads = list(self._spreads())
        rests = [w for _, w in spreads]
        if self.promised is not None:
            rests.append(self.promised)
        uncertain = [u for u, _ in spreads if u is not None]
        return ChainWay(
            chain.line, chain.order, chain.arrive, tuple(self.activities),
            tuple(self.activities.values()),
            tuple(self.links), next(k for k in chain.links if k.after == chain.installs),
            {i: p for i, p in self.progress.items() if i in self.activities}, self.not_before,
            tuple(uncertain), tuple(rests), self.replaced, tuple(self.notes),
        )  # fmt: skip

    def _promise(self, wait: Wait) -> None:
        """Put the days to the promise in place of the last of the vendor's steps."""
        chain = self.chain
        between = chain.between()
        id = chain.id(between[-1]) if between else f"{chain.line}:make"
        if not between:
            self.links += [schedule.Link(chain.order, id), schedule.Link(id, chain.arrive)]
        name = self.activities[chain.order].name.removesuffix(": order")
        made = schedule.Activity(id, wait.planned, f"{name}: to the promised day", off_site=True)
        self.activities = {
            i: a
            for old in self.activities.values()
            for i, a in (
                ((id, made), (old.id, old)) if old.id == chain.arrive and not between
                else ((old.id, made if old.id == id else old),)
            )
        }  # fmt: skip
        self.progress.pop(id, None)
        self.not_before.pop(chain.arrive, None)
        self.replaced = id

    def _held(self) -> None:
        """What must be held begins that on the day it comes."""
        chain = self.chain
        here = self.progress.get(chain.arrive)
        id = chain.id("hold")
        if here is None or here.finished is None or id not in self.activities:
            return
        end = self.house.number(here.finished) + self.activities[id].days
        last = self.house.last_worked(end)
        self.progress[id] = (
            schedule.Progress(here.finished, last) if self.as_of > last
            else schedule.Progress(started=here.finished)
        )  # fmt: skip

    def _spreads(self) -> Iterator[tuple[Uncertain | None, Wait]]:
        """Yield of each step that is left what its days may be, and what they rest on."""
        chain = self.chain
        for step in STEPS:
            id, told = chain.id(step), self.told.days.get(step)
            one = self.activities.get(id)
            if told is None or one is None or id == self.replaced or not one.days:
                continue
            if (p := self.progress.get(id)) is not None and p.finished is not None:
                continue
            ours = step in OURS
            factors = (f"maker {self.maker}",) if self.maker and not ours else ()
            if self.told.by_lead and not ours and self.lead is not None:
                spread, rests = self.lead.spread, self.lead
            else:
                low, likely, high = told
                spread = Spread("triangular", low, likely, high) if low < high else None
                inputs = Inputs(low, likely, high, f"lead step {step}")
                rests = Wait(float(one.days), spread, basis(self.guess, inputs), inputs, True)
            yield (None if spread is None else Uncertain(id, spread, factors, ""), rests)
