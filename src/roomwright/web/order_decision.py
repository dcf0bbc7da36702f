"""What is to be decided about a line, on its page: by when, today or later, an offer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from fastapi import Request

from roomwright.answers.futures import SAMPLES
from roomwright.answers.order_by import CONFIDENCE, decision
from roomwright.answers.order_by_model import Decision, Offer
from roomwright.chances import ChancesError
from roomwright.days import HorizonError
from roomwright.web.desk import HouseAt
from roomwright.web.trouble import RefusedError

OFFERS: Final = (("expedite", "hurry"), ("substitute", "other"), ("resequence", "later"))
"""Kinds of offers and the fields in which they stand: ``hurry_days``, ``hurry_price``."""
MOST_DAYS, MOST_PRICE = 400, 10_000_000
LONGEST: Final = 14
"""So many characters a number may have."""


@dataclass(frozen=True, slots=True)
class Decided:
    """A decision with what was asked for."""

    it: Decision
    sure: int
    typed: dict[str, str]


def decided(request: Request, at: HouseAt, line: str) -> Decided | None:
    """Return what is to be decided about a line; None where nothing is.

    ``?sure=90`` says how sure; ``hurry_days`` and ``hurry_price`` what the maker offers,
    ``other_days`` and ``other_price`` what another part would be, ``later_days`` and
    ``later_price`` how much longer its work could wait if other work were done first.

    Raises
    ------
    RefusedError
        for an offer that is no number
    """
    asked = request.query_params
    sure = _whole(asked.get("sure", ""), "sure", 1, 99) or CONFIDENCE
    offers: list[Offer] = []
    typed: dict[str, str] = {}
    for kind, field in OFFERS:
        days, price = (asked.get(f"{field}_{what}", "").strip() for what in ("days", "price"))
        typed |= {f"{field}_days": days, f"{field}_price": price}
        if days or price:
            least = 0 if kind == "substitute" else 1
            offers.append(
                Offer(
                    kind, _whole(days, f"{field}_days", least, MOST_DAYS) or 0,
                    _price(price, f"{field}_price"),
                )
            )  # fmt: skip
    try:
        found = at.answers.ask(decision, line, sure, SAMPLES, tuple(offers))
    except (ChancesError, HorizonError):
        return None
    return None if found is None else Decided(found, sure, typed)


def _whole(text: str, field: str, least: int, most: int) -> int | None:
    plain = text.strip()
    if not plain:
        return None
    value = int(plain) if len(plain) <= LONGEST and plain.isdecimal() else None
    if value is None or not least <= value <= most:
        raise RefusedError(f"“{text[:20]}”: give a whole number from {least} to {most}.", field)
    return value


def _price(text: str, field: str) -> float:
    plain = text.replace("$", "").replace(",", "").strip() or "0"
    digits = len(plain) <= LONGEST and plain.replace(".", "", 1).isdecimal()
    value = float(plain) if digits else None
    if value is None or value > MOST_PRICE:
        raise RefusedError(f"“{text[:20]}” is no price: give it like 350.", field)
    return value
