"""History as a person reads it: each maker, each trade, and how past 80 % days came true."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from roomwright.answers.crew_history import CrewHistory, crews
from roomwright.answers.engine import Ask, query
from roomwright.answers.history import History, Said, history, kept, said
from roomwright.supply.calibration import Calibration
from roomwright.supply.learning import HISTORY, Belief, Mixture


@dataclass(frozen=True, slots=True)
class Pace:
    """A maker or a trade: how many stand behind it, and what is believed of the next.

    `typical` and `sure` are days taken for each day promised or planned, at 50 and 80 %; `late`
    counts what is open and overdue.
    """

    name: str
    came: int
    open: int
    late: int
    typical: float
    sure: float
    history: bool
    moved: int = 0

    @property
    def text(self) -> str:
        """What stands behind it, in words."""
        if self.history:
            return f"history of {self.came}"
        return f"a guess, not history: {self.came} of {HISTORY} so far"

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "name": self.name,
            "came": self.came,
            "open": self.open,
            "overdue": self.late,
            "promises_moved": self.moved,
            "typical": round(self.typical, 3),
            "sure": round(self.sure, 3),
            "history": self.history,
            "basis": self.text,
        }


@dataclass(frozen=True, slots=True)
class HistoryAnswer:
    """Makers and trades with what they did so far."""

    makers: tuple[Pace, ...]
    crews: tuple[Pace, ...]
    said: tuple[Said, ...]
    kept: Calibration
    works: CrewHistory

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "makers": [m.as_json() for m in self.makers],
            "crews": [c.as_json() for c in self.crews],
            "orders_kept": _kept(self.kept),
            "works_kept": _kept(self.works.kept),
            "orders": [
                {
                    "order": s.consignment.order,
                    "maker": s.consignment.maker,
                    "lines": list(s.consignment.lines),
                    "placed": s.consignment.placed.isoformat(),
                    "promised": s.consignment.promised.isoformat(),
                    "arrived": s.consignment.arrived.isoformat()
                    if s.consignment.arrived else None,
                    "promised_days": s.consignment.whole,
                    "sure_days": s.days,
                    "took_days": s.consignment.took,
                    "kept": s.kept,
                    "guess": s.guess,
                }
                for s in self.said
            ],
            "works": [
                {
                    "activity": w.activity,
                    "trade": w.trade,
                    "started": w.started.isoformat(),
                    "finished": w.finished.isoformat(),
                    "planned_days": w.planned,
                    "sure_days": w.sure,
                    "took_days": w.took,
                    "kept": w.kept,
                }
                for w in self.works.works
            ],
        }  # fmt: skip


@query("history page")
def history_page(ask: Ask) -> HistoryAnswer:
    """Return what makers and crews did so far, and how past 80 % days came true."""
    past, done, quotes = ask(history), ask(crews), ask(said)
    return HistoryAnswer(tuple(_makers(past, ask)), tuple(_crews(done)), quotes, ask(kept), done)


def _makers(past: History, ask: Ask) -> list[Pace]:
    found = []
    for maker in dict.fromkeys(c.maker for c in past.consignments if c.maker):
        held = past.of_maker(maker)
        came = sum(c.arrived is not None for c in held)
        late = sum(c.arrived is None and c.promised < ask.as_of for c in held)
        known: Belief | Mixture = next(
            b for (part_class, m), b in past.beliefs.items()
            if m == maker and any(part_class in c.classes for c in held)
        )  # fmt: skip
        found.append(
            Pace(maker, came, len(held) - came, late, known.ratio(0.5), known.ratio(0.8),
                 known.is_history, sum(c.moved for c in held))
        )  # fmt: skip
    return sorted(found, key=lambda p: (-p.came, p.name))


def _crews(done: CrewHistory) -> list[Pace]:
    found = []
    for trade, known in done.paces.items():
        came = sum(trade in w.trades for w in done.works)
        found.append(Pace(trade, came, 0, 0, known.ratio(0.5), known.ratio(0.8), known.is_history))
    return sorted(found, key=lambda p: (-p.came, p.name))


def _kept(found: Calibration) -> dict[str, Any]:
    return {
        "asked": found.asked,
        "came": found.came,
        "of": found.of,
        "low": round(found.low, 3),
        "high": round(found.high, 3),
        "undecided": found.undecided,
        "verdict": found.verdict,
        "text": found.text,
    }
