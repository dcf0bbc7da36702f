"""The file of a house folder that holds what it costs to have parts early."""

from __future__ import annotations

from fractions import Fraction

from roomwright.exchange.columns import ZERO, Column, Form, id_, text
from roomwright.job import entities as e

_MOST = Fraction(1_000_000)
_ALL = Fraction(100)


def _money(name: str, about: str) -> Column:
    return Column(name, "text", about)


def _percent(name: str, about: str) -> Column:
    return Column(name, "number", f"{about}, in %", least=ZERO, most=_ALL)


def _count(name: str, about: str, least: Fraction = ZERO) -> Column:
    return Column(name, "count", about, least=least, most=_MOST)


KEEPING = Form(
    "keeping.csv", e.Keeping,
    "One row what it costs to have a line, a class or anything early; no figure has a default.",
    (
        id_("keeping", "its id", "id"),
        id_("class", "the class; the whole house without class and line", "part_class",
            needed=False),
        id_("line", "the line, whose word goes before its class's", needed=False),
        _money("price", "what all pieces of the line cost"),
        _percent("deposit", "what of the price is paid with the order"),
        _percent("rate", "what money laid out costs a year"),
        _money("storage", "what a week of storing it costs"),
        _percent("damage_chance", "chance that a week on site damages it"),
        _money("damage", "what damage costs; the price if left out"),
        _count("room", "room that it takes, in any one unit"),
        _count("room_most", "of the house: room that there is, in the same unit"),
        _money("cash_most", "of the house: money that may be out at a time"),
        _count("receipts_most", "of the house: deliveries that can be received in a day",
               Fraction(1)),
        text("note", "where the figures come from"),
    ),
)  # fmt: skip
