"""Every reference points to a fact that is there."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.cells import near, said
from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import (
    KINDS,
    Activity,
    Fact,
    Fixed,
    Light,
    Opening,
    Order,
    Piece,
    Receipt,
)  # fmt: skip
from roomwright.job.facts import Facts, natural, reference_targets

_CALLED = {"part": "line", "class": "class", "floor": "floor finish", "order": "order"}
_FILE = {
    "room": "rooms.csv", "floor": "floors.csv", "part": "parts.csv", "class": "classes.csv",
    "activity": "activities.csv", "opening": "openings.csv",
}  # fmt: skip


def references(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What a fact names is there; an order received is an order placed."""
    ids = {kind: facts.ids(model) for kind, model in KINDS.items()}
    for fact in facts:
        for field, kind, id in reference_targets(fact):
            if lacks(kind, id):
                yield _dangling(fact, field, kind, id, ids[kind])
        if fact.id != fact.id.strip() or not fact.id.isprintable():
            yield Broken(fact.kind_name, fact.id, "id", "error", "its id begins or ends with a "
                         "blank or holds a line break", "type the id again")  # fmt: skip
    yield from _same_but_for_case(facts)
    yield from _receipts(facts, lacks)
    for light in facts.all(Light):
        target = light.centred_on
        if target and lacks("piece", target) and lacks("fixed", target):
            things = [*facts.ids(Piece), *facts.ids(Fixed)]
            yield Broken("light", light.id, "centred_on", "error",
                         f"there is no piece or fixed thing {said(target)}",
                         near(target, things, "name one of pieces.csv or fixed.csv"))  # fmt: skip
        elif target:
            thing = facts.find(Piece, target) or facts.find(Fixed, target)
            if thing is not None and thing.room != light.room:
                yield Broken("light", light.id, "centred_on", "warning",
                             f"{target} stands in {thing.room}, the light in {light.room}",
                             "correct one of the two rooms")  # fmt: skip


def _dangling(fact: Fact, field: str, kind: str, id: str, ids: tuple[str, ...]) -> Broken:
    called = _CALLED.get(kind, kind)
    fallback = f"name one of {_FILE.get(kind, kind)}, or add it there"
    if isinstance(fact, Opening) and field in ("from_room", "to_room", "swings_into"):
        fallback += ", or write out for outdoors"
    if isinstance(fact, Activity) and field == "rooms":
        fallback += ", or write all"
    wrong = f"there is no {called} {said(id)}"
    return Broken(fact.kind_name, fact.id, field, "error", wrong, near(id, ids, fallback))


def _same_but_for_case(facts: Facts) -> Iterator[Broken]:
    for kind, model in KINDS.items():
        seen: dict[str, str] = {}
        for id in facts.ids(model):
            if (other := seen.setdefault(id.lower(), id)) != id:
                yield Broken(kind, id, "id", "warning", f"differs from {said(other)} by case alone",
                             "give one of them another id")  # fmt: skip


def _receipts(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """A receipt belongs to a line of an order, and no more comes than was ordered."""
    lines = {(o.order, o.line): o for o in facts.all(Order)}
    orders = sorted({o.order for o in lines.values()}, key=natural)
    came: dict[tuple[str, str], int] = {}
    for receipt in facts.all(Receipt):
        key = receipt.order, receipt.line
        if key not in lines:
            if not lacks("order", f"{receipt.order}/{receipt.line}"):
                continue
            if receipt.order not in orders:
                yield Broken("receipt", receipt.id, "order", "error",
                             f"there is no order {said(receipt.order)}",
                             near(receipt.order, orders, "name one of orders.csv"))  # fmt: skip
            elif not lacks("part", receipt.line):
                has = [line for order, line in lines if order == receipt.order]
                lines_ = ", ".join(has[:8]) + " ..." * (len(has) > 8)
                yield Broken("receipt", receipt.id, "line", "error",
                             f"order {receipt.order} has no line {said(receipt.line)}",
                             f"its lines are {lines_}")  # fmt: skip
            continue
        came[key] = came.get(key, 0) + receipt.qty
        ordered = lines[key].qty
        if came[key] > ordered:
            yield Broken("receipt", receipt.id, "qty", "error",
                         f"{came[key]} of {receipt.line} have come against {receipt.order}, "
                         f"which ordered {ordered}",
                         "correct the receipt, or the order if more were ordered")  # fmt: skip
