"""The answers of the houses in a store, kept while a program runs, moved along with the facts."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from roomwright.answers.as_of import default_as_of
from roomwright.answers.engine import Answers

if TYPE_CHECKING:
    from roomwright.job.store import Store


def _today() -> date:
    return datetime.now(UTC).astimezone().date()


class Live:
    """Answers over the houses of a store, each as of a day.

    Safe to share between threads. Keeps the answers of the `most` houses and days asked for last.

    Parameters
    ----------
    today
        Says what day it is.
    """

    def __init__(self, store: Store, *, today: Callable[[], date] = _today, most: int = 12) -> None:
        self._store = store
        self._today = today
        self._most = most
        self._kept: OrderedDict[tuple[str, date], Answers] = OrderedDict()
        self._lock = threading.Lock()

    def answers(self, job_id: str, as_of: date | None = None) -> Answers:
        """Return the answers over the facts as they stand; by default as of the house's own day.

        Raises
        ------
        UnknownHouseError
            if no house has that id.
        """
        facts = self._store.facts(job_id)
        when = as_of or default_as_of(facts, self._today())
        key = (job_id, when)
        with self._lock:
            kept = self._kept.get(key) or self._other_day(job_id)
            if kept is None:
                kept = Answers(facts, as_of=when)
            elif kept.facts is not facts or kept.as_of != when:
                kept = kept.moved(facts, as_of=when)
            self._kept[key] = kept
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
            return kept

    def forget(self, job_id: str) -> None:
        """Let go of a house's answers."""
        with self._lock:
            for key in [k for k in self._kept if k[0] == job_id]:
                del self._kept[key]

    def _other_day(self, job_id: str) -> Answers | None:
        """Return the house's answers of another day: what does not hang on the day still holds."""
        return next((a for key, a in reversed(self._kept.items()) if key[0] == job_id), None)
