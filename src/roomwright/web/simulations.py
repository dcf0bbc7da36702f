"""Simulations that pages wait for: told how far they are, stopped, and kept for a while.

Where the compiled code is loaded a simulation of a house takes a blink, and pages ask for it at
once. Until it is, and for very large houses, it runs in a thread on answers of its own, so that no
page waits for it: the page says how far it is and comes again.
"""

from __future__ import annotations

import logging
import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from fastapi import Request

from roomwright.answers.chances import chances
from roomwright.answers.chances_model import ChancesAnswer
from roomwright.answers.futures import SAMPLES, watched
from roomwright.chances import Stopped
from roomwright.chances.engine import loaded
from roomwright.job.entities import Activity, Part
from roomwright.job.facts import Facts
from roomwright.web.desk import HouseAt

_LOG: Final = logging.getLogger(__name__)

KEPT: Final = 12
"""Simulations that are kept, those asked for last."""
SMALL: Final = 900
"""Up to so many activities and lines a house is simulated while its page waits."""

Key = tuple[str, date]


@dataclass(slots=True)
class Simulation:
    """One simulation: how far it is (0 to 1), and once done what it found or what is wrong."""

    facts: Facts
    share: float = 0.0
    stop: bool = False
    found: ChancesAnswer | None = None
    wrong: str = ""
    done: threading.Event = field(default_factory=threading.Event)


class Simulations:
    """The simulations of a server."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._of: OrderedDict[Key, Simulation] = OrderedDict()

    def of(self, at: HouseAt, *, again: bool = False) -> Simulation:
        """Return the simulation of a house as it stands: done, under way, or begun now.

        One that was stopped stays so until it is asked for `again`.
        """
        key, facts = (at.id, at.as_of), at.answers.facts
        with self._lock:
            held = self._of.get(key)
            if held is not None and held.facts is facts and not (again and held.stop):
                self._of.move_to_end(key)
                return held
            if held is not None:
                held.stop = True  # the house has changed: nobody waits for it any more
            made = Simulation(facts)
            self._of[key] = made
            self._of.move_to_end(key)
            while len(self._of) > KEPT:
                self._of.popitem(last=False)[1].stop = True
        if quick(facts):
            self._run(made, at, own=False)
        else:
            threading.Thread(target=self._run, args=(made, at), daemon=True).start()
        return made

    def stop(self, at: HouseAt) -> None:
        """Stop the simulation of a house."""
        with self._lock:
            held = self._of.get((at.id, at.as_of))
        if held is not None and not held.done.is_set():
            held.stop = True

    def _run(self, made: Simulation, at: HouseAt, own: bool = True) -> None:
        answers = at.answers.moved(made.facts) if own else at.answers

        def tell(share: float) -> None:
            made.share = share

        try:
            with watched(tell, lambda: made.stop):
                made.found = answers.ask(chances, SAMPLES)
        except Stopped:
            made.stop = True
        except ValueError as error:
            made.wrong = str(error)
        except Exception:  # whatever it is, the page that waits is told, and the log why
            _LOG.exception("a simulation failed")
            made.wrong = "The simulation failed, and what is recorded is as it was."
        finally:
            made.share = 1.0
            made.done.set()


def quick(facts: Facts) -> bool:
    """Return whether a house is simulated in a blink: small, and the compiled code is loaded."""
    return loaded() and len(facts.ids(Activity)) + len(facts.ids(Part)) <= SMALL


def simulations(request: Request) -> Simulations:
    """Return the server's simulations."""
    state = request.app.state
    if not hasattr(state, "simulations"):
        state.simulations = Simulations()
    return state.simulations  # type: ignore[no-any-return]
