"""What it costs to have a line early, and the days to order all lines under the house's limits."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.job.entities import House, Keeping, Part
from roomwright.supply.joint import Limits
from roomwright.supply.waiting import Costs

YEAR: Final = 365
WEEK: Final = 7
OWN: Final = (
    "price", "deposit", "rate", "storage", "damage_chance", "damage", "room",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Kept:
    """What keeping a line costs, as told by line, class and house; None where nobody has said.

    `costs` are for working days of the house; `missing` names what is not told.
    """

    costs: Costs
    price: float | None
    deposit: float
    room: int
    missing: tuple[str, ...]

    @property
    def told(self) -> bool:
        """Whether anything is known of what an early day costs."""
        return self.costs.early > 0


@query("keeping")
def keeping(ask: Ask, line: str) -> Kept:
    """Return what it costs to have a line early [money a working day]."""
    part = ask.fact(Part, line)
    by_id = {(k.part_class, k.line): k for k in ask.all(Keeping)}
    held = [
        k for key in ((None, line), (part.part_class, None), (None, None)) if (k := by_id.get(key))
    ]
    said = {f: next((v for k in held if (v := getattr(k, f)) is not None), None) for f in OWN}
    week = float(ask(dates.calendar).days_a_week)
    house = ask.fact(House, "house").cost_per_day
    price = _number(said["price"])
    damage = _number(said["damage"])
    rate, chance = _number(said["rate"]), _number(said["damage_chance"])
    costs = Costs(
        house=0.0 if house is None else float(house),
        cash=(price or 0.0) * (rate or 0.0) / 100 / YEAR * WEEK / week,
        storage=(_number(said["storage"]) or 0.0) / week,
        damage_chance=min(1.0, (chance or 0.0) / 100 / week),
        damage=(price or 0.0) if damage is None else damage,
    )
    missing = tuple(
        words
        for words, known in (
            ("its price", price is not None),
            ("what money costs a year", rate is not None),
            ("what storing it costs", said["storage"] is not None),
            ("how likely damage is", chance is not None),
        )
        if not known
    )
    return Kept(
        costs, price, (_number(said["deposit"]) or 0.0) / 100, int(said["room"] or 0), missing
    )


@query("limits of keeping")
def limits(ask: Ask) -> Limits | None:
    """Return the limits of room, cash and receiving; None where the house gives none."""
    for one in ask.all(Keeping):
        if one.part_class is None and one.line is None:
            told = one.room_most, one.cash_most, one.receipts_most
            if any(t is not None for t in told):
                return Limits(one.room_most, _number(one.cash_most), one.receipts_most)
    return None


def _number(value: Decimal | Fraction | int | None) -> float | None:
    return None if value is None else float(value)
