"""What it costs to have parts early, and how much there is room and money for.

No figure here has a default: each is the builder's own.
"""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from roomwright.job.fact import Fact, Id, Number, Text
from roomwright.job.people_facts import Money

Cost = Annotated[Money, Field(ge=0)]
"""An amount of money that is not below 0."""


class Keeping(Fact):
    """What keeping costs: of a line, of each line of a class, or of the whole house.

    What a line does not say its class says, and what that does not say the house. The limits are
    the house's alone.
    """

    kind_name = "keeping"
    references: ClassVar[dict[str, str]] = {"part_class": "class", "line": "part"}

    part_class: Id | None = None
    line: Id | None = None
    price: Cost | None = None
    """What all pieces of the line cost."""
    deposit: Number | None = Field(default=None, ge=0, le=100)
    """What is paid with the order, of the price [%]; the rest at landing."""
    rate: Number | None = Field(default=None, ge=0, le=100)
    """What money laid out costs a year [%]."""
    storage: Cost | None = None
    """What a week of storing it costs."""
    damage_chance: Number | None = Field(default=None, ge=0, le=100)
    """Chance that a week on site damages it [%]."""
    damage: Cost | None = None
    """What damage costs; the price where nobody has said."""
    room: int | None = Field(default=None, ge=0, le=100_000)
    """Room that it takes, in whatever unit `room_most` counts: pallets, square feet."""
    room_most: int | None = Field(default=None, ge=0, le=1_000_000)
    cash_most: Cost | None = None
    receipts_most: int | None = Field(default=None, ge=1, le=1000)
    """Deliveries that can be received in a day."""
    note: Text = ""
