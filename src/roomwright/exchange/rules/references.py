"""Every reference points to a fact that is there."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.cells import near, said
from roomwright.exchange.problems import MOST_A_FILE
from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import (
    KINDS,
    Activity,
    Fact,
    Light,
    Opening,
    Order,
    Piece,
    Receipt,
)  # fmt: skip
from roomwright.job.facts import Facts, natural, reference_targets
from roomwright.job.rules import parts_a_list
from roomwright.job.rules_of_centring import ANY, TARGETS, fault_of, target
from roomwright.job.rules_of_work import lost_of

_CALLED = {"part": "line", "class": "class", "floor": "floor finish", "order": "order"}
_FILE = {
    "room": "rooms.csv", "floor": "floors.csv", "part": "parts.csv", "class": "classes.csv",
    "activity": "activities.csv", "opening": "openings.csv",
}  # fmt: skip


def references(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What a fact names is there; an order received is an order placed."""
    dangling = Dangling(facts, lacks)
    for fact in facts:
        for field, kind, id in reference_targets(fact):
            yield from dangling(type(fact), fact.id, field, kind, id)
        if fact.id != fact.id.strip() or not fact.id.isprintable():
            yield Broken(fact.kind_name, fact.id, "id", "error", "its id begins or ends with a "
                         "blank or holds a line break", "type the id again")  # fmt: skip
        if parts_a_list(fact.kind_name, fact.id):
            yield Broken(fact.kind_name, fact.id, "id", "error", "its id holds a comma or "
                         "semicolon, which in a list parts one id from the next",
                         "leave it out of the id")  # fmt: skip
    yield from _same_but_for_case(facts)
    yield from _receipts(facts, lacks)
    yield from _centred(facts, lacks)


class Dangling:
    """Says of one reference whether what it points to is missing, and what else there is."""

    def __init__(self, facts: Facts, lacks: Lacks) -> None:
        self.ids = {kind: facts.ids(model) for kind, model in KINDS.items()}
        self.lacks = lacks
        self.hints = MOST_A_FILE
        self.told: set[tuple[type[Fact], str]] = set()

    def __call__(
        self, model: type[Fact], id: str, field: str, kind: str, wanted: str
    ) -> Iterator[Broken]:
        """Yield what is wrong with a reference of the fact `id` to the `wanted` one of a kind."""
        if not self.lacks(kind, wanted):
            return
        file = _FILE.get(kind)
        if file and not self.ids[kind]:
            if (model, field) not in self.told:  # once a column, not once a row
                self.told.add((model, field))
                yield Broken(model.kind_name, id, field, "error",
                             f"{said(wanted)}, and what else stands in this column, is for {file}, "
                             "which is not there or holds nothing that can be read",
                             f"add {file} with it, or clear the column")  # fmt: skip
            return
        do = f"name one of {_FILE.get(kind, kind)}, or add it there"
        if model is Opening:
            do += ", or write out for outdoors"
        if model is Activity:
            do += ", or write all"
        wrong = f"there is no {_CALLED.get(kind, kind)} {said(wanted)}"
        if self.hints:  # to look for near names takes time, and no more are listed
            self.hints -= 1
            do = near(wanted, self.ids[kind], do)
        yield Broken(model.kind_name, id, field, "error", wrong, do)


def _centred(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What a light or a piece is centered on is there, in its room, and leads back to no ring."""
    held: list[Light | Piece] = [*facts.all(Light), *facts.all(Piece)]
    for fact in held:
        name = fact.centred_on
        if not name:
            continue
        if all(lacks(kind.kind_name, name) for kind in TARGETS):
            yield Broken(fact.kind_name, fact.id, "centred_on", "error",
                         f"there is no {ANY} {said(name)}",
                         near(name, _others(facts, fact), "name one that is there"))  # fmt: skip
        elif (thing := target(facts, name)) is not None:
            fault = fault_of(facts, fact)
            if fault is not None:
                yield Broken(fact.kind_name, fact.id, "centred_on", "error", *fault)
            yield from _elsewhere(fact, thing)


def _others(facts: Facts, fact: Light | Piece) -> list[str]:
    return [id for kind in TARGETS for id in facts.ids(kind) if id != fact.id]


def _elsewhere(fact: Light | Piece, thing: Fact) -> Iterator[Broken]:
    rooms = [thing.from_room, thing.to_room] if isinstance(thing, Opening) else [
        str(getattr(thing, "room", ""))]  # fmt: skip
    if fact.room not in rooms:
        yield Broken(fact.kind_name, fact.id, "centred_on", "warning",
                     f"{thing.id} stands in {rooms[0]}, the {fact.kind_name} in {fact.room}",
                     "correct one of the two rooms")  # fmt: skip


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
        came[key] = came.get(key, -lost_of(facts, *key)) + receipt.qty
        ordered = lines[key].qty
        if came[key] > ordered:
            yield Broken("receipt", receipt.id, "qty", "error",
                         f"{came[key]} of {receipt.line} have come against {receipt.order}, "
                         f"which ordered {ordered}",
                         "correct the receipt, or the order if more were ordered")  # fmt: skip
