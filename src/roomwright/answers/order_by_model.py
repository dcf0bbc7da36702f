"""What a decision about a line holds, and its JSON."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from roomwright.supply.waiting import Answered, Chase, Estimate, Wait


class DecisionError(ValueError):
    """A question that cannot be answered for a line; the message says why."""


@dataclass(frozen=True, slots=True)
class Offer:
    """What somebody offers for a line: sooner by some days, another part, or other work first.

    `kind` is ``expedite``, ``substitute`` or ``resequence``; `days` the days it saves, in which the
    other part is here, or by which what waits for its work can be done before it.
    """

    kind: str
    days: int
    price: float


@dataclass(frozen=True, slots=True)
class By:
    """A last day to order: how sure, the day, how sure that is, and between which days it lies.

    `day` is None where even today is too late.
    """

    asked: float
    day: date | None
    sure: float
    error: float
    soonest: date | None
    latest: date | None

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "asked": round(self.asked, 4),
            "day": _iso(self.day),
            "sure": round(self.sure, 4),
            "error": round(self.error, 4),
            "soonest": _iso(self.soonest),
            "latest": _iso(self.latest),
        }


@dataclass(frozen=True, slots=True)
class Decision:
    """What is to be decided about a line that is not here.

    Attributes
    ----------
    to_order : bool
        whether some of it is still to be ordered, and can be
    by, jointly : By, optional
        the last day to order: for this line, and so that all parts of the visit are here
    visit : int
        how many trucks the visit waits for
    together : str
        what the confidence means for the visit, in words
    sure_today : float
        chance that it is on hand when needed as things stand
    days : Estimate
        days of move-in that it costs as things stand, this line alone
    wait : Wait, optional
        what a week's wait costs against ordering today
    hurry : tuple of (days, Wait)
        what having it sooner is worth
    chase : Chase, optional
        what it would save if the promise were kept
    unawaited : Estimate, optional
        days it would cost if no other work had to wait for the work that needs it: the most that
        another order of the work can do
    answers : tuple of Answered
        what can be done about a slip, the cheapest first; prices only where one was given
    day_costs, early_costs : float, optional
        what a day of the house, and a working day of having the part early, costs
    missing : tuple of str
        what nobody has said of what an early day costs
    """

    line: str
    as_of: date
    to_order: bool
    inspect_days: int
    by: By | None
    jointly: By | None
    visit: int
    together: str
    sure_today: float
    late: float
    days: Estimate
    week: int
    wait: Wait | None
    hurry: tuple[tuple[int, Wait], ...]
    chase: Chase | None
    unawaited: Estimate | None
    answers: tuple[Answered, ...]
    day_costs: float | None
    early_costs: float | None
    missing: tuple[str, ...]
    guess: bool
    basis: str

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        money = self.day_costs is not None
        return {
            "line": self.line,
            "to_order": self.to_order,
            "inspect_days": self.inspect_days,
            "order_by": self.by.as_json() if self.by else None,
            "order_by_for_visit": self.jointly.as_json() if self.jointly else None,
            "visit": self.visit,
            "visit_says": self.together,
            "on_hand_when_needed": round(self.sure_today, 4),
            "late": round(self.late, 4),
            "days": _estimate(self.days),
            "wait_a_week": None if self.wait is None else _wait_json(self.wait, money),
            "hurry": [
                {
                    "by_days": n,
                    "days": _estimate(w.days),
                    "worth": _estimate(w.money) if money else None,
                }
                for n, w in self.hurry
            ],
            "if_nothing_waited": None if self.unawaited is None else _estimate(self.unawaited),
            "chase": None if self.chase is None else {
                "days": _estimate(self.chase.days), "saved": _estimate(self.chase.saved),
            },
            "answers": [_answer_json(a, money) for a in self.answers],
            "day_costs": self.day_costs,
            "early_day_costs": self.early_costs,
            "not_told": list(self.missing),
            "guess": self.guess,
            "basis": self.basis,
        }  # fmt: skip


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _estimate(one: Estimate, places: int = 2) -> dict[str, float]:
    return {"mean": round(one.value, places), "se": round(one.error, places + 1)}


def _wait_json(wait: Wait, money: bool) -> dict[str, Any]:
    return {
        "days": _estimate(wait.days),
        "money": _estimate(wait.money) if money else None,
        "verdict": wait.verdict if money else None,
    }


def _answer_json(one: Answered, money: bool) -> dict[str, Any]:
    return {
        "kind": one.option.kind,
        "name": one.option.name,
        "price": one.option.price,
        "days": _estimate(one.days),
        "money": _estimate(one.money) if money else None,
        "over": _estimate(one.over) if money else None,
        "close": one.close,
    }
