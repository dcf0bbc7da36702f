"""Searches for a levelled plan that run while a page waits: told, stopped, kept for a while.

They run on answers of their own, so that the house's other pages need not wait for them.
"""

from __future__ import annotations

import logging
import threading
import time
import uuid
from collections import OrderedDict
from dataclasses import dataclass, field, replace

from roomwright.answers import Answers
from roomwright.answers.crews import LONG, QUICK, CrewsAnswer, StoppedError, crews, watched
from roomwright.job.facts import Facts
from roomwright.web.trouble import RefusedError

_LOG = logging.getLogger(__name__)

KEPT = 16
"""Plans and searches that are kept, the ones asked for last."""

RUNNING = 1
"""Searches that run at a time; another is asked to wait."""

PATIENCE = 10.0
"""A page that nobody can stop is given the best so far after so long [s], and says so."""

TIMED = (
    "This page searches for {seconds:g} seconds at most, and that was not enough here: on another "
    "machine the plan may be another. A longer search goes on until it is done."
)
"""What is said of a plan that the clock cut short."""

LONGER = "By the longer search that was asked for."
"""What is said of its plan, where a short search was asked for."""

Later = int | None
"""Working days by which all may be done later to change fewer bookings; None is any number."""


@dataclass(slots=True)
class Search:
    """One search: how far it is (0 to 1), at what, and once done what it found or what is wrong."""

    id: str
    house: str
    later: Later
    facts: Facts
    share: float = 0.0
    at: str = ""
    stop: bool = False
    found: CrewsAnswer | None = None
    wrong: str = ""
    done: threading.Event = field(default_factory=threading.Event)


def _noted(found: CrewsAnswer, words: str) -> CrewsAnswer:
    return replace(found, notes=(*(n for n in found.notes if n != words), words))


class CrewSearches:
    """The searches of a server, and the plans that they found."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[tuple[int, str, Later, bool], tuple[Facts, CrewsAnswer]] = (
            OrderedDict()
        )
        self._searches: OrderedDict[str, Search] = OrderedDict()

    def at_once(self, answers: Answers, later: Later, *, long: bool = False) -> CrewsAnswer:
        """Return the plan by a bounded search; a longer one's, if it is kept already.

        The bound is on work, so that the plan is the same on any machine. Only where that takes
        longer than `PATIENCE` the clock ends it; then the notes say so, and the plan is kept.
        """
        for thorough in (True, False):
            kept = self._found(answers, later, thorough)
            if kept is not None and (thorough or not long):
                return _noted(kept, LONGER) if thorough and not long else kept
        until = time.monotonic() + PATIENCE
        try:
            with watched(lambda _share, _at: None, lambda: time.monotonic() > until):
                return self._answer(answers, later, long)
        except StoppedError as stopped:
            found = _noted(stopped.found, TIMED.format(seconds=PATIENCE))
            steps = tuple(replace(step, stopped=False) for step in found.plan.steps)
            found = replace(found, plan=replace(found.plan, steps=steps))  # nobody stopped it
            self._keep(answers, later, long, found)
            return found

    def _key(self, answers: Answers, later: Later, long: bool) -> tuple[int, str, Later, bool]:
        return id(answers.facts), answers.as_of.isoformat(), later, long

    def _found(self, answers: Answers, later: Later, long: bool) -> CrewsAnswer | None:
        with self._lock:
            held = self._kept.get(self._key(answers, later, long))
        return None if held is None else held[1]

    def _answer(self, answers: Answers, later: Later, long: bool) -> CrewsAnswer:
        own = Answers(answers.facts, as_of=answers.as_of)
        found = own.ask(crews, later, LONG if long else QUICK)
        self._keep(answers, later, long, found)
        return found

    def _keep(self, answers: Answers, later: Later, long: bool, found: CrewsAnswer) -> None:
        with self._lock:  # the facts too: their id stays theirs while they live
            self._kept[self._key(answers, later, long)] = answers.facts, found
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)

    def start(self, answers: Answers, house: str, later: Later) -> Search:
        """Begin a long search in a thread of its own.

        Raises
        ------
        RefusedError
            If another runs already.
        """
        search = Search(uuid.uuid4().hex, house, later, answers.facts)
        with self._lock:
            if sum(not each.done.is_set() for each in self._searches.values()) >= RUNNING:
                raise RefusedError("A search runs already: wait for it, or stop it.", status=429)
            self._searches[search.id] = search
            old = [id for id, each in self._searches.items() if each.done.is_set()]
            for id in old[: max(len(self._searches) - KEPT, 0)]:
                del self._searches[id]
        threading.Thread(target=self._run, args=(search, answers), daemon=True).start()
        return search

    def find(self, id: str, house: str) -> Search | None:
        """Return a search of a house by its id."""
        with self._lock:
            search = self._searches.get(id)
        return search if search is not None and search.house == house else None

    def _run(self, search: Search, answers: Answers) -> None:
        def tell(share: float, at: str) -> None:
            search.share, search.at = max(search.share, share), at

        try:
            with watched(tell, lambda: search.stop):
                search.found = self._answer(answers, search.later, long=True)
        except StoppedError as stopped:
            search.found = stopped.found
            self._keep(answers, search.later, True, stopped.found)
        except ValueError as error:  # in words: what is wrong with the house
            search.wrong = str(error)
        except Exception:  # whatever it is, the page that waits is told, and the log why
            _LOG.exception("a search for a plan failed")
            search.wrong = "The search failed, and what is recorded is as it was. Ask again."
        finally:
            search.share = 1.0
            search.done.set()
