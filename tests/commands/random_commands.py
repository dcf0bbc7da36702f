"""Random commands over any house, seeded: mostly sensible, some that must be refused."""

import math
import random
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction

from roomwright import commands as c
from roomwright.job.entities import (
    COUNTED,
    HAPPENINGS,
    STEPS,
    Activity,
    ChangeOrder,
    Choice,
    Fixed,
    House,
    Light,
    Opening,
    Order,
    Part,
    PartClass,
    Piece,
    Posting,
    Progress,
    Reading,
    Room,
    Window,
)
from roomwright.job.errors import StoreError
from roomwright.job.facts import Facts
from roomwright.shape import letter

Make = Callable[[random.Random, Facts], c.Command]


def any_of(rng: random.Random, facts: Facts, kind) -> str:
    """An id of a kind; now and then one that isn't there."""
    ids = facts.ids(kind)
    return rng.choice(ids) if ids and rng.random() < 0.97 else "nobody"


def inches(rng: random.Random, low: float, high: float) -> Fraction:
    return Fraction(rng.randint(round(low * 16), round(high * 16)), 16)


def a_day(rng: random.Random, facts: Facts) -> date:
    house = facts.find(House, "house")
    start = house.site_start if house else date(2027, 1, 18)
    return start + timedelta(days=rng.randint(0, 160))


def move(rng, facts):
    piece = any_of(rng, facts, Piece)
    if rng.random() < 0.7:
        return c.Move(piece=piece, dx=inches(rng, -30, 30), dy=inches(rng, -30, 30))
    room = any_of(rng, facts, Room) if rng.random() < 0.3 else None
    return c.Move(piece=piece, x=inches(rng, 0, 400), y=inches(rng, 0, 400), room=room)


def turn(rng, facts):
    piece = any_of(rng, facts, Piece)
    if rng.random() < 0.5:
        return c.Turn(piece=piece, by=rng.choice([90, 180, -90, 15, Fraction(45, 2)]))
    return c.Turn(piece=piece, to=rng.choice([0, 90, 180, 270, 33]))


def resize(rng, facts):
    return c.Resize(
        piece=any_of(rng, facts, Piece), width=inches(rng, 12, 110), depth=inches(rng, 12, 60)
    )


def arrange(rng, facts):
    return c.Arrange(
        piece=any_of(rng, facts, Piece), x=inches(rng, 0, 300), y=inches(rng, 0, 300),
        turn=rng.choice([0, 90]),
    )  # fmt: skip


def add_piece(rng, facts):
    kinds = ["dining table", "arm chair", "sideboard", "bed", "sofa", "round table", "crate"]
    placed = rng.random() < 0.5
    return c.AddPiece(
        room=any_of(rng, facts, Room), kind=rng.choice(kinds),
        width=inches(rng, 16, 90), depth=inches(rng, 16, 50),
        x=inches(rng, 0, 400) if placed else None, y=inches(rng, 0, 400) if placed else None,
        line=any_of(rng, facts, Part) if rng.random() < 0.3 else None,
    )  # fmt: skip


def remove_piece(rng, facts):
    return c.RemovePiece(piece=any_of(rng, facts, Piece))


def set_use(rng, facts):
    return c.SetUse(
        piece=any_of(rng, facts, Piece), side=rng.choice(["north", "east", "south", "west"]),
        use=rng.choice(["walk past", "edge past", "rise", None]),
    )  # fmt: skip


def describe(rng, facts):
    says = ["", "legs four", "leaf 18", "bench left", "hinge left", "stools front 2", "drawers 14"]
    return c.Describe(piece=any_of(rng, facts, Piece), features="; ".join(rng.sample(says, 2)))


def center_on(rng, facts):
    kind, other = rng.choice([Piece, Light]), rng.choice([Piece, Fixed, Window, Light, Opening])
    on = rng.choice([any_of(rng, facts, other), None])
    return c.CenterOn(thing=any_of(rng, facts, kind), on=on)


def add_room(rng, facts):
    return c.AddRoom(
        room=str(rng.randint(300, 999)), beside=any_of(rng, facts, Room),
        side=rng.choice(["north", "east", "south", "west"]), width=inches(rng, 60, 200),
        depth=inches(rng, 60, 200), along=inches(rng, -20, 50),
    )  # fmt: skip


def place_order(rng, facts):
    placed = a_day(rng, facts)
    lines = {any_of(rng, facts, Part) for _ in range(rng.randint(1, 3))}
    promised = placed + timedelta(days=rng.randint(-2, 60)) if rng.random() < 0.8 else None
    return c.PlaceOrder(
        order=f"PO-{rng.randint(1, 400)}", maker=rng.choice(["Marlowe Forge", "Oak & Ash", ""]),
        lines=[c.OrderLine(line=line, qty=rng.randint(1, 4)) for line in sorted(lines)],
        placed=placed, promised=promised,
    )  # fmt: skip


def an_order(rng, facts) -> Order:
    orders = facts.all(Order)
    return rng.choice(orders) if orders else Order(id="x/y", order="x", line="y", qty=1)


def promise(rng, facts):
    order = an_order(rng, facts)
    when = a_day(rng, facts) if rng.random() < 0.9 else None
    return c.Promise(order=order.order, line=order.line, promised=when)


def receive(rng, facts):
    order = an_order(rng, facts)
    return c.RecordReceipt(
        order=order.order, line=order.line, qty=rng.randint(1, 3), on=a_day(rng, facts)
    )


def record_event(rng, facts):
    order = an_order(rng, facts)
    what = rng.choice([*HAPPENINGS, "arrived", "baked"])
    counted = what in (*COUNTED, "arrived")
    return c.RecordEvent(
        what=what, line=order.line, order=rng.choice([order.order, ""]), on=a_day(rng, facts),
        qty=rng.randint(1, 3) if counted or rng.random() < 0.2 else None,
        day=a_day(rng, facts) if what == "promised" else None,
    )  # fmt: skip


def set_supply(rng, facts):
    owner = rng.choice([
        {"line": any_of(rng, facts, Part)}, {"part_class": any_of(rng, facts, PartClass)},
    ])  # fmt: skip
    some = [any_of(rng, facts, Activity) for _ in range(2)]
    match rng.randint(0, 3):
        case 0:
            return c.SetVendor(vendor=rng.choice(["Marlowe Forge", "Oak & Ash"]), claim_days=5)
        case 1:
            low, likely, high = (Fraction(rng.randint(0, 60), 2) for _ in range(3))
            return c.SetStep(
                **owner, step=rng.choice(STEPS), days_low=min(low, likely), days_likely=likely,
                days_high=max(likely, high), skip=rng.choice(["", "", "yes"]),
                order_here=rng.choice(["", "", "yes"]), counts=rng.choice(["working", "elapsed"]),
            )  # fmt: skip
        case 2:
            return c.SetMeasure(**owner, after=some[: rng.randint(0, 2)], expires_by=some[1:])
        case _:
            return c.RecordMeasure(**owner, on=a_day(rng, facts), by=rng.choice(["Ana", ""]))


def start(rng, facts):
    return c.Start(activity=any_of(rng, facts, Activity), on=a_day(rng, facts))


def finish(rng, facts):
    return c.Finish(activity=any_of(rng, facts, Activity), on=a_day(rng, facts))


def days_left(rng, facts):
    started = [p.id for p in facts.all(Progress) if p.started and not p.finished]
    activity = rng.choice(started) if started else any_of(rng, facts, Activity)
    return c.DaysLeft(
        activity=activity, days=Fraction(rng.randint(0, 20), rng.choice((2, 2, 2, 4)))
    )


def hang(rng, facts):
    return c.HangSheet(
        room=any_of(rng, facts, Room), trade=rng.choice(["electrician", "tile setter", ""]),
        posted=a_day(rng, facts), code=rng.choice(["", "oak-river"]), content='{"a":1}',
    )  # fmt: skip


def take_down(rng, facts):
    sheets = facts.all(Posting)
    if not sheets:
        return hang(rng, facts)
    sheet = rng.choice(sheets)
    return c.TakeDownSheet(room=sheet.room, trade=sheet.trade, on=a_day(rng, facts))


def add_opening(rng, facts):
    return c.AddOpening(
        room=any_of(rng, facts, Room), wall=rng.choice("ABCDE"), width=inches(rng, 12, 60),
        from_corner=str(rng.randint(0, 120)), hand=rng.choice(["left", "right", ""]),
        swings=rng.choice(["in", "out"]), kind=rng.choice(["swing", "cased", "pocket"]),
    )  # fmt: skip


def record_readings(rng, facts):
    room = facts.find(Room, any_of(rng, facts, Room))
    if room is None:
        return c.RemoveReading(reading="nobody")
    ring = [(float(x), float(y)) for x, y in room.outline]
    text = []
    for _ in range(rng.randint(1, 6)):
        i, j = rng.sample(range(len(ring)), 2)
        slip = rng.choice([0, 0, 0, 3, -6])
        length = math.dist(ring[i], ring[j]) + rng.gauss(0, 0.15) + slip
        text.append(f"{letter(i)} {letter(j)} {max(1, round(16 * length))}/16")
    if rng.random() < 0.3:
        text.append(f"middle to ceiling {rng.randint(90, 110)}")
    return c.RecordReadings(
        room=room.id, text="; ".join(text), on=a_day(rng, facts), by=rng.choice(["Ana", ""]),
        face=rng.choice(["stud", "board", "finished"]),
    )  # fmt: skip


def on_a_reading(rng, facts):
    kind = rng.choice([c.SetAside, c.UseReading, c.RemoveReading])
    return kind(reading=any_of(rng, facts, Reading))


def set_wall(rng, facts):
    return c.SetWall(
        room=any_of(rng, facts, Room), wall=rng.choice("ABCDE"), board=inches(rng, 0, 1),
        finish=inches(rng, 0, 2),
    )  # fmt: skip


def accept_outline(rng, facts):
    return c.AcceptOutline(room=any_of(rng, facts, Room))


def say_of_people(rng, facts):
    """Something of choices, change orders and calls."""
    made = [a_choice, edit_choice, decide, a_change_order, edit_change_order, sign, call_made]
    return rng.choice(made)(rng, facts)


def a_choice(rng, facts):
    return c.AddChoice(
        what=rng.choice(["table", "paint"]), by=rng.choice([None, a_day(rng, facts)]),
        lines=any_of(rng, facts, Part),
        activity=rng.choice([None, any_of(rng, facts, Activity)]), options="oak, $4,200; walnut",
    )  # fmt: skip


def edit_choice(rng, facts):
    return c.EditChoice.model_validate({
        "choice": any_of(rng, facts, Choice), "shown": "by lines",
        "activity": any_of(rng, facts, Activity), "by": rng.choice([None, a_day(rng, facts)]),
    })  # fmt: skip


def edit_change_order(rng, facts):
    return c.EditChangeOrder(
        change_order=any_of(rng, facts, ChangeOrder), days=rng.randint(-3, 9),
        activities=rng.choice(["", any_of(rng, facts, Activity)]),
    )  # fmt: skip


def decide(rng, facts):
    return c.Decide(
        choice=any_of(rng, facts, Choice), decision=rng.choice(["oak", ""]), on=a_day(rng, facts)
    )


def a_change_order(rng, facts):
    return c.AddChangeOrder(
        title="more", price=rng.choice([None, "-20", "$1,240.50"]), days=rng.randint(-3, 9),
        activities=rng.choice(["", any_of(rng, facts, Activity)]), asked_on=a_day(rng, facts),
    )  # fmt: skip


def sign(rng, facts):
    return c.AgreeToChangeOrder(
        change_order=any_of(rng, facts, ChangeOrder), by="Ana", on=a_day(rng, facts)
    )


def call_made(rng, facts):
    said = rng.choice(["confirmed", "another day", "no answer"])
    return c.CallMade(
        activity=any_of(rng, facts, Activity), visit=a_day(rng, facts), on=a_day(rng, facts),
        said=said, day=rng.choice([None, a_day(rng, facts)]),
    )  # fmt: skip


MAKERS: tuple[tuple[Make, int], ...] = (
    (move, 30), (turn, 8), (resize, 8), (arrange, 6), (add_piece, 8), (remove_piece, 5),
    (set_use, 6), (describe, 3), (center_on, 4), (add_room, 1), (add_opening, 2),
    (place_order, 8), (promise, 6), (record_event, 6), (set_supply, 5),
    (receive, 8), (start, 5), (finish, 5), (days_left, 4), (hang, 3), (take_down, 2),
    (record_readings, 4), (on_a_reading, 3), (set_wall, 3), (accept_outline, 3),
    (say_of_people, 8),
)  # fmt: skip


def any_command(rng: random.Random, facts: Facts) -> c.Command:
    """A random command; made again where its own values were refused."""
    makers, weights = zip(*MAKERS, strict=True)
    while True:
        try:
            return rng.choices(makers, weights)[0](rng, facts)
        except StoreError:
            continue
