"""All counts against one another."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction

from roomwright.counts.drawn import (
    match_doors,
    match_pieces,
    size_differs,
    size_of,
)
from roomwright.counts.hands import hand_said
from roomwright.counts.kits import expand, questions
from roomwright.counts.model import (
    KINDS,
    Came,
    Counts,
    Disagreement,
    Door,
    Kind,
    Line,
    Ordered,
    Plan,
    Row,
    Totals,
)
from roomwright.counts.notes import brief, damage_said, size_said, substitute_said
from roomwright.days import show_date
from roomwright.lengths import inches

OFF = 0.5
"""A door nearer than this to its opening's width is that width [in]."""


def reconcile(plan: Plan, as_of: date, rooms: Mapping[str, str] | None = None) -> Counts:
    """Return the counts of a house and every disagreement among them.

    `rooms` says what each room is called, for the sentences.

    >>> line = Line("L156", "204", "TBAR", "Towel bar", 2)
    >>> plan = Plan((line,), (Ordered("PO-150", "L156", 1, "Quillwater"),))
    >>> found = reconcile(plan, date(2027, 3, 29)).disagreements
    >>> [(d.kind, d.room, d.by) for d in found]
    [('short', '204', 1)]
    """
    work = _Work(plan, as_of, rooms or {})
    found = sorted(
        work.all(), key=lambda d: (KINDS.index(d.kind), d.room, d.line, d.orders, d.receipts)
    )
    disagrees: dict[str, list[Kind]] = defaultdict(list)
    for one in found:
        if one.kind not in disagrees[one.line]:
            disagrees[one.line].append(one.kind)
    rows = tuple(
        Row(
            line.id, line.room, line.part_class, line.name, line.note, line.qty,
            work.ordered_qty[line.id], work.came_qty[line.id], expand(line),
            tuple(disagrees[line.id]),
        )
        for line in plan.lines
    )  # fmt: skip
    return Counts(rows, tuple(found), questions(plan.lines), _totals(plan, rows), work.bought)


def _totals(plan: Plan, rows: tuple[Row, ...]) -> Totals:
    kit = [part for row in rows for part in row.kit]
    counted = [(p, p.qty) for p in kit if p.qty is not None]
    who: dict[str, Fraction] = defaultdict(Fraction)
    stage: dict[str, Fraction] = defaultdict(Fraction)
    for part, qty in counted:
        if part.kind == "part":
            who[part.brought_by or "nobody named"] += qty
            stage[part.stage] += qty
    lines = {row.line for row in rows}
    ordered = [o for o in plan.ordered if o.line in lines]
    came = [c for c in plan.came if c.line in lines]
    return Totals(
        lines=len(rows),
        pieces=sum(row.plan for row in rows),
        class_companion_rows=plan.class_rows,
        line_companion_rows=len(kit),
        companion_parts=sum((q for p, q in counted if p.kind == "part"), Fraction(0)),
        companion_work=sum((q for p, q in counted if p.kind == "work"), Fraction(0)),
        unanswered=len(kit) - len(counted),
        ordered_lines=len({o.line for o in ordered}),
        ordered_pieces=sum(o.qty for o in ordered),
        received_lines=len({c.line for c in came}),
        received_pieces=sum(c.qty for c in came),
        parts_by_who=dict(sorted(who.items())),
        parts_by_stage=dict(sorted(stage.items())),
    )


class _Work:
    """The counts of one house while they are held against one another."""

    def __init__(self, plan: Plan, as_of: date, rooms: Mapping[str, str]) -> None:
        self.plan, self.as_of, self.rooms = plan, as_of, rooms
        self.orders: dict[str, list[Ordered]] = defaultdict(list)
        self.receipts: dict[str, list[Came]] = defaultdict(list)
        for order in plan.ordered:
            self.orders[order.line].append(order)
        for receipt in plan.came:
            self.receipts[receipt.line].append(receipt)
        self.ordered_qty = Counter(
            {line: sum(o.qty for o in of) for line, of in self.orders.items()}
        )
        self.came_qty = Counter(
            {line: sum(c.qty for c in of) for line, of in self.receipts.items()}
        )
        self.doors = match_doors(plan.lines, plan.doors, rooms)
        self.pieces = match_pieces(plan.lines, plan.drawn)
        self.bought = {**self.doors.bought, **self.pieces}
        self.likes: dict[str, list[Line]] = defaultdict(list)
        for line in plan.lines:
            self.likes[line.part_class].append(line)

    def all(self) -> Iterator[Disagreement]:
        """Yield every disagreement."""
        doors = {door.id: door for door in self.plan.doors}
        door_of = {line: doors[id] for id, line in self.doors.bought.items()}
        pieces = defaultdict(list)
        for piece in self.plan.drawn:
            if piece.id in self.pieces:
                pieces[self.pieces[piece.id]].append(piece)
        for line in self.plan.lines:
            yield from self.quantity(line)
            yield from self.order_notes(line)
            yield from self.condition(line)
            yield from self.void(line)
            if line.id in door_of:
                yield from self.hand(line, door_of[line.id])
                yield from self.door_size(line, door_of[line.id])
            for piece in pieces[line.id]:
                said = size_of(piece, line)
                if said is not None and size_differs(piece, said):
                    drawn = " x ".join(inches(v) for v in (piece.width, piece.depth) if v)
                    yield self.of(
                        line, "wrong size", 1,
                        f"{piece.kind} {piece.id} is drawn {drawn}, but the line says {said.text}",
                        "draw it in the size that is bought and look again whether it fits, or "
                        "correct the line",
                    )  # fmt: skip
        yield from self.undrawn()

    def of(
        self,
        line: Line,
        kind: Kind,
        by: int,
        text: str,
        do: str,
        orders: tuple[Ordered, ...] = (),
        receipts: tuple[Came, ...] = (),
    ) -> Disagreement:
        """Return a disagreement about a line."""
        bought = orders or tuple(self.orders[line.id])
        return Disagreement(
            kind, line.room, line.id, line.part_class, self.part(line), by, line.qty,
            self.ordered_qty[line.id], self.came_qty[line.id], text, do,
            owner=line.bought_by or "builder",
            maker=next((o.maker for o in bought if o.maker), ""),
            orders=tuple(o.order for o in bought), receipts=tuple(r.receipt for r in receipts),
        )  # fmt: skip

    def part(self, line: Line) -> str:
        """Return what a line is, with the note that tells it from its like."""
        return f"{line.name} ({line.note})" if line.note else line.name

    def day(self, when: date | None) -> str:
        """Return a day as it is read, with its year where that is not this year."""
        return show_date(when, self.as_of) if when else "a day nobody wrote down"

    def past(self, line: Line) -> str:
        """Return what it means that the work that needs a line has begun or is done."""
        work = line.work
        if work is None:
            return ""
        if work.finished:
            return (
                f"; {brief(work.name)}, which needs it, was finished on {self.day(work.finished)}"
            )
        if work.started:
            return f"; {brief(work.name)}, which needs it, began on {self.day(work.started)}"
        return ""

    # --- how many

    def quantity(self, line: Line) -> Iterator[Disagreement]:
        """Plan against ordered, ordered against received."""
        plan, ordered = line.qty, self.ordered_qty[line.id]
        orders = tuple(self.orders[line.id])
        if 0 < ordered < plan:
            yield self.of(
                line, "short", plan - ordered,
                f"{ordered} of {plan} ordered{self.past(line)}",
                f"order {plan - ordered} more{self.from_maker(orders)}", orders,
            )  # fmt: skip
        elif ordered > plan:
            twice = len(orders) > 1
            on = f", on {_and([o.order for o in orders])}" if twice else ""
            yield self.of(
                line, "over", ordered - plan, f"{ordered} ordered, but the plan says {plan}{on}",
                "take one order back, or correct the plan" if twice
                else "send the rest back, or correct the plan", orders,
            )  # fmt: skip
        elif not ordered and plan:
            yield from self.left_out(line)
        for order in orders:
            came = sum(c.qty for c in self.receipts[line.id] if c.order == order.order)
            if came < order.qty and order.promised and order.promised < self.as_of:
                began = "nothing" if not came else str(came)
                yield self.of(
                    line, "short", order.qty - came,
                    f"{began} of {order.qty} came, though {order.order} was promised for "
                    f"{self.day(order.promised)}{self.past(line)}",
                    f"call {order.maker or 'the maker'} about the other {order.qty - came}"
                    if came else f"call {order.maker or 'the maker'}: when does it come?",
                    (order,), tuple(self.receipts[line.id]),
                )  # fmt: skip

    def left_out(self, line: Line) -> Iterator[Disagreement]:
        """A line of which nothing is ordered, though its like are or its work is done."""
        like = [one for one in self.likes[line.part_class] if one.id != line.id]
        have = [one for one in like if self.ordered_qty[one.id]]
        alike = bool(have) and 2 * len(have) > len(like) + 1
        done = line.work is not None and line.work.finished is not None
        if line.measure is not None and line.measure.done_on is None and not done:
            return  # it cannot be ordered yet
        if not alike and not done:
            return
        why = f"never ordered, though {_lines(have)} of its class {_are(have)}" if alike \
            else "never ordered"  # fmt: skip
        makers = [o for one in have for o in self.orders[one.id]]
        do = f"order {line.qty} now{self.from_maker(tuple(makers))}"
        if done:
            do += ", and see what must be opened again to put it in"
        yield self.of(line, "left out", line.qty, f"{why}{self.past(line)}", do)

    def from_maker(self, orders: tuple[Ordered, ...]) -> str:
        """Return from whom to order more of the same."""
        makers = Counter(o.maker for o in orders if o.maker)
        return f" from {makers.most_common(1)[0][0]}" if makers else ""

    # --- what it is

    def hand(self, line: Line, door: Door) -> Iterator[Disagreement]:
        """A door's hand as drawn against the hand in each note about it."""
        if door.hand is None:
            return
        for order in self.orders[line.id]:
            said = hand_said(order.note)
            if said is not None and said != door.hand:
                came = any(c.order == order.order for c in self.receipts[line.id])
                yield self.of(
                    line, "wrong hand", order.qty,
                    f"ordered {said} hand, but {door.id} is {door.hand} hand: {door.hand_text}",
                    f"ask {order.maker or 'the maker'} to exchange it for a {door.hand} hand "
                    + ("before the doors are hung" if came else "before it ships")
                    + f", or turn the swing of {door.id} on the plan if the other way serves",
                    (order,), tuple(self.receipts[line.id]),
                )  # fmt: skip
        for noted, where, receipt in self.hands_noted(line):
            if noted != door.hand:
                yield self.of(
                    line, "wrong hand", 1,
                    f"{where} says {noted} hand, but {door.id} is {door.hand} hand: "
                    f"{door.hand_text}",
                    "look which is right, and correct the other", receipts=receipt,
                )  # fmt: skip

    def hands_noted(self, line: Line) -> Iterator[tuple[str, str, tuple[Came, ...]]]:
        """Yield each hand that the plan line and the receipts name."""
        if (said := hand_said(line.note)) is not None:
            yield said, "the line", ()
        for receipt in self.receipts[line.id]:
            if (said := hand_said(receipt.note)) is not None:
                yield said, f"receipt {receipt.receipt}", (receipt,)

    def door_size(self, line: Line, door: Door) -> Iterator[Disagreement]:
        """A door's size in the line against the opening as drawn."""
        said = size_said(line.note, door=True)
        if said is None or said.width is None:
            return
        wide = abs(said.width - door.width) > OFF
        high = said.height and door.height and abs(said.height - door.height) > OFF
        if wide or high:
            drawn = inches(door.width) + (f" x {inches(door.height)}" if door.height else "")
            yield self.of(
                line, "wrong size", 1,
                f"the line says {said.text}, but {door.id} is drawn {drawn}",
                "measure the opening, and correct the line or the plan",
            )  # fmt: skip

    def condition(self, line: Line) -> Iterator[Disagreement]:
        """What whoever opened the box wrote down."""
        for receipt in self.receipts[line.id]:
            if receipt.damaged or damage_said(receipt.note):
                orders = tuple(o for o in self.orders[line.id] if o.order == receipt.order)
                maker = next((o.maker for o in orders if o.maker), "the maker")
                said = receipt.damage if receipt.damaged else f"noted “{receipt.note}”"
                yield self.of(
                    line, "damaged", receipt.damaged or receipt.qty,
                    f"came on {self.day(receipt.on)}, {said}{self.past(line)}",
                    f"settle it with {maker} ({receipt.order}): repair, replacement or credit",
                    orders, (receipt,),
                )  # fmt: skip
            elif substitute_said(receipt.note):
                yield self.of(
                    line, "substituted", receipt.qty, f"receipt {receipt.receipt} says "
                    f"“{receipt.note}”", "accept it or send it back; its cut sheet changes too",
                    receipts=(receipt,),
                )  # fmt: skip

    def order_notes(self, line: Line) -> Iterator[Disagreement]:
        """What was said when it was ordered."""
        for order in self.orders[line.id]:
            if substitute_said(order.note):
                yield self.of(
                    line, "substituted", order.qty, f"{order.order} says “{order.note}”",
                    f"accept it or tell {order.maker or 'the maker'} now; the cut sheet changes",
                    (order,),
                )  # fmt: skip

    def void(self, line: Line) -> Iterator[Disagreement]:
        """An order placed before the measure that the thing must be made to."""
        measure = line.measure
        if measure is None:
            return
        for order in self.orders[line.id]:
            done = measure.done_on
            if done is not None and (order.placed is None or order.placed >= done):
                continue
            note = f" (noted “{order.note}”)" if order.note else ""
            when = f"which was done on {self.day(done)}" if done else "which is not done yet"
            again = "order it again to the measure" if done else f"order it after {measure.id}"
            yield self.of(
                line, "void", order.qty,
                f"ordered on {self.day(order.placed)}{note}, before “{measure.name}” "
                f"({measure.id}), {when}",
                f"take {order.order} back with {order.maker or 'the maker'}, and {again}",
                (order,),
            )  # fmt: skip

    def undrawn(self) -> Iterator[Disagreement]:
        """Doors that no line buys, and lines that buy a door nobody drew."""
        if not self.plan.doors or not any(self.doors.bought):
            return  # a house without drawn doors, or without lines for any
        for line in self.doors.lines:
            yield self.of(
                line, "not drawn", 1, f"no such door is drawn at {self.room(line.room)}",
                "draw the opening, or correct the line's room",
            )  # fmt: skip
        for door in self.doors.doors:
            room = next((r for r in reversed(door.rooms) if r != "out"), "")
            one, other = (self.room(r) for r in door.rooms)
            yield Disagreement(
                "no line", room, "", "", f"{inches(door.width)} {door.kind} door", 1, 0, 0, 0,
                f"door {door.id} is drawn between {one} and {other}, but no line buys it",
                "add a line for it, or draw it as cased or open if there is no door",
            )  # fmt: skip

    def room(self, id: str) -> str:
        """Return a room as a builder calls it."""
        if id == "out":
            return "outdoors"
        name = self.rooms.get(id, "")
        return f"{id} {name}" if name else id


def _and(names: list[str]) -> str:
    return " and ".join(dict.fromkeys(names))


def _lines(lines: list[Line]) -> str:
    if len(lines) == 1:
        return f"line {lines[0].id}"
    return f"the other {len(lines)} lines"


def _are(lines: list[Line]) -> str:
    return "is" if len(lines) == 1 else "are"
