"""A small house for the tests of the store: three rooms, a table, an order, four activities."""

from datetime import date

from roomwright.job.entities import (
    Activity,
    Fact,
    House,
    Light,
    Link,
    Opening,
    Order,
    Part,
    PartClass,
    Piece,
    Progress,
    Receipt,
    Room,
)
from roomwright.job.facts import Change
from roomwright.job.store import Store, Written

FACTS: tuple[Fact, ...] = (
    House(name="Test house", site_start=date(2027, 1, 18)),
    Room(
        id="101", name="Dining", level="1", outline=((0, 0), (162, 0), (162, 150), (0, 150)),
    ),
    Room(
        id="102", name="Kitchen", level="1",
        outline=((0, "154 1/2"), (162, "154 1/2"), (162, 348), (0, 348)),
    ),
    Opening(
        id="O1", from_room="101", to_room="102", kind="cased", a=(40, 150), b=(80, 150),
    ),
    Activity(id="A10", days_likely=2),
    Activity(id="A20", days_likely="1/2"),
    Activity(id="A30", days_likely=3),
    Link(id="A10 > A20 (finish to start)", before="A10", after="A20"),
    Link(id="A20 > A30 (finish to start)", before="A20", after="A30"),
    Progress(id="A10", started=date(2027, 1, 18)),
    PartClass(id="TABLE", needed_by="A30"),
    Part(id="L1", room="101", part_class="TABLE", qty=2),
    Piece(id="T1", room="101", kind="dining table", width=84, depth=42, x=81, y=84, line="L1"),
    Light(id="C1", room="101", kind="chandelier box", x=81, y=75, centred_on="T1"),
    Order(
        id="PO-1/L1", order="PO-1", line="L1", qty=2,
        placed=date(2027, 1, 4), promised=date(2027, 2, 1),
    ),
    Receipt(id="R1", order="PO-1", line="L1", qty=1, on=date(2027, 2, 1)),
)  # fmt: skip


def new(*facts: Fact) -> list[Change]:
    return [Change(f.kind_name, f.id, None, f) for f in facts]


def build(store: Store, job_id: str = "test-house") -> Written:
    store.create(job_id, "Test house")
    return store.write(
        job_id, lambda _: new(*FACTS), command="start", payload={}, who="Ana", command_id="start"
    )


def write(store: Store, changes, command_id: str, **more) -> Written:
    """Write changes given as a function of the facts, or as they are."""
    made = changes if callable(changes) else lambda _: changes
    words = {"command": "test", "payload": {}, "who": "Ana", **more}
    return store.write("test-house", made, command_id=command_id, **words)
