"""Searches that run while a page waits: told how far they are, stopped, and kept for a while.

They run on answers of their own, so that the house's other pages need not wait for them. What a
finished search found is kept under exactly the facts that it was asked of.
"""

from __future__ import annotations

import logging
import threading
import time
import uuid
from collections import OrderedDict
from dataclasses import dataclass, field

from roomwright.answers import Answers
from roomwright.answers.what_fits import StoppedError, watched, what_fits
from roomwright.fit.search_found import Found
from roomwright.fit.search_wanted import Wanted
from roomwright.job.facts import Facts
from roomwright.web.trouble import RefusedError

_LOG = logging.getLogger(__name__)

KEPT = 48
"""Answers that are kept, the ones asked for last."""

RUNNING = 2
"""Searches that run at a time; another is asked to wait."""

PATIENCE = 20.0
"""A page that nobody can stop is given the best so far after so long [s]."""

Key = tuple[int, str, str]


@dataclass(slots=True)
class Search:
    """One search: how far it is (0 to 1), at what, and once done what it found or what is wrong."""

    id: str
    house: str
    room: str
    wanted: Wanted
    facts: Facts
    share: float = 0.0
    at: str = ""
    stop: bool = False
    found: Found | None = None
    wrong: str = ""
    done: threading.Event = field(default_factory=threading.Event)


class Searches:
    """The searches of a server."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[Key, tuple[Facts, Found]] = OrderedDict()
        self._searches: OrderedDict[str, Search] = OrderedDict()

    def at_once(self, answers: Answers, room: str, wanted: Wanted) -> Found:
        """Return what fits, or after `PATIENCE` the best so far, which says that it was stopped."""
        until = time.monotonic() + PATIENCE
        try:
            with watched(lambda _share, _at: None, lambda: time.monotonic() > until):
                return self.answer(answers, room, wanted)
        except StoppedError as stopped:
            return stopped.found

    def answer(self, answers: Answers, room: str, wanted: Wanted) -> Found:
        """Return what fits, kept or computed now; errors as those of the query."""
        key = (id(answers.facts), room, wanted.text)
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key][1]
        found = Answers(answers.facts, as_of=answers.as_of).ask(what_fits, room, wanted)
        self._keep(key, answers.facts, found)
        return found

    def _keep(self, key: Key, facts: Facts, found: Found) -> None:
        with self._lock:
            self._kept[key] = facts, found  # the facts too: their id stays theirs while they live
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)

    def start(self, answers: Answers, house: str, room: str, wanted: Wanted) -> Search:
        """Begin a search in a thread of its own.

        Raises
        ------
        RefusedError
            If too many run already.
        """
        search = Search(uuid.uuid4().hex, house, room, wanted, answers.facts)
        with self._lock:
            if sum(not each.done.is_set() for each in self._searches.values()) >= RUNNING:
                raise RefusedError(
                    "Two searches run already: wait for one, or stop it.", status=429
                )
            self._searches[search.id] = search
            old = [id for id, each in self._searches.items() if each.done.is_set()]
            for id in old[: max(len(self._searches) - KEPT, 0)]:
                del self._searches[id]
        threading.Thread(target=self._run, args=(search, answers), daemon=True).start()
        return search

    def found(
        self, id: str, house: str, room: str, answers: Answers, wanted: Wanted
    ) -> Found | None:
        """Return a search that has found what is asked for, in the house as it stands now."""
        search = self.find(id, house)
        if search is None or search.facts is not answers.facts:
            return None
        return search.found if (search.room, search.wanted) == (room, wanted) else None

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
                search.found = self.answer(answers, search.room, search.wanted)
        except StoppedError as stopped:
            search.found = stopped.found
        except ValueError as error:  # in words: what is wrong with the room or the wish
            search.wrong = str(error)
        except Exception:  # whatever it is, the page that waits is told, and the log why
            _LOG.exception("a search for what fits failed")
            search.wrong = "The search failed, and what is recorded is as it was. Ask again."
        finally:
            search.share = 1.0
            search.done.set()
