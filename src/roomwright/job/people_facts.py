"""Facts of what people decide, agree and say: choices, change orders, calls made."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field, PlainSerializer

from roomwright.job.fact import Fact, Id, Text

_AMOUNT = re.compile(r"([+-]?)\$?([+-]?)([0-9]{1,9}|[0-9]{1,3}(?:,[0-9]{3}){1,2})(\.[0-9]{1,2})?")

MOST_DAYS = 365
"""A change of more days than this is another house [days]."""


def amount(value: Any) -> Decimal:
    """Return an amount of money, exact to the cent, as a person writes it.

    >>> amount("$1,240.50"), amount("-200"), amount("-$200"), amount("3,000")
    (Decimal('1240.50'), Decimal('-200.00'), Decimal('-200.00'), Decimal('3000.00'))
    >>> amount("1.240,50")
    Traceback (most recent call last):
    ValueError: “1.240,50” is no amount of money: type it like 1240.50, or -200 for less
    """
    if isinstance(value, Fraction):
        value = str(Decimal(value.numerator) / Decimal(value.denominator))
    said = str(value).strip().replace("\u2212", "-").replace(" ", "")
    found = _AMOUNT.fullmatch(said)
    if found is None or (found[1] and found[2]):
        raise ValueError(
            f"“{str(value)[:40]}” is no amount of money: type it like 1240.50, or -200 for less"
        )
    plain = Decimal(found[3].replace(",", "") + (found[4] or ""))
    signed = -plain if "-" in (found[1], found[2]) else plain
    return signed.quantize(Decimal("0.01")) + 0  # no minus before a zero


Money = Annotated[Decimal, BeforeValidator(amount), PlainSerializer(str, return_type=str)]
"""An amount of money, exact; kept with its cents, ``1240.50``."""


class Choice(Fact):
    """What is to be chosen, by whom and by when; what it was decided to be.

    Without a day in `by` it follows from the lines and the work that wait for it.
    """

    kind_name = "choice"
    references: ClassVar[dict[str, str]] = {
        "lines": "part",
        "part_class": "class",
        "activity": "activity",
    }

    what: Text
    who: Text = "owner"
    """Who decides: owner, builder, or a trade."""
    by: date | None = None
    lines: tuple[Id, ...] = ()
    part_class: Id | None = None
    """Every line of this class waits for it, beside those of `lines`."""
    activity: Id | None = None
    """Work that can't begin before it is decided."""
    options: Text = ""
    """What there is to choose from: ``oak, $4,200; walnut, $6,900``."""
    decided: date | None = None
    decision: Text = ""
    note: Text = ""


class ChangeOrder(Fact):
    """A change to what was agreed: why, for what price, by how many days of work.

    The days are working days of the first of `activities` that is not done. Signed is who signed
    the paper, and the day; the program records that and approves nothing.
    """

    kind_name = "change_order"
    references: ClassVar[dict[str, str]] = {
        "lines": "part", "activities": "activity", "taken_by": "activity",
    }  # fmt: skip

    title: Text
    what: Text = ""
    reason: Text = ""
    price: Money | None = None
    days: int = Field(default=0, ge=-MOST_DAYS, le=MOST_DAYS)
    lines: tuple[Id, ...] = ()
    activities: tuple[Id, ...] = ()
    asked_by: Text = ""
    asked_on: date | None = None
    agreed_by: Text = ""
    agreed_on: date | None = None
    taken_by: Id | None = None
    """Of `activities`, the work that its days went into when it was signed."""
    note: Text = ""


Said = Literal["confirmed", "another day", "no answer"]


class Call(Fact):
    """A call that was made about a visit: for which day, and what they said."""

    kind_name = "call"
    references: ClassVar[dict[str, str]] = {"activity": "activity"}

    activity: Id
    """The first work of the visit."""
    visit: date
    """The day that the call was about."""
    on: date
    said: Said = "confirmed"
    day: date | None = None
    """The day that they can come, where it is another."""
    spoke_to: Text = ""
    note: Text = ""


def dollars(price: Decimal | Fraction | float, *, cents: bool = True) -> str:
    """Return an amount as it is said.

    >>> dollars(Decimal("1240.50")), dollars(Decimal("-200.00")), dollars(1240.5, cents=False)
    ('$1,240.50', '-$200', '$1,240')
    """
    exact = Fraction(str(price)) if isinstance(price, float) else Fraction(price)
    shown = round(abs(exact), 2) if cents else Fraction(round(abs(exact)))
    text = f"{float(shown):,.2f}".removesuffix(".00")
    return f"{'-' if exact < 0 else ''}${text}"
