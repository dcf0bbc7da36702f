"""What fits for any kind of piece in rooms of the demo, with all that the page shows."""

from __future__ import annotations

from collections.abc import Callable

from tests.fit.demo_rooms import NEEDS, demo_space

from roomwright.fit.search_wanted import parse
from roomwright.fit.search_whole import find

Case = tuple[str, str, float | None, Callable[[], object], str, Callable[[], object] | None]

ASKED = (
    ("101", "dining table"),
    ("101", "round dining table"),
    ("102", "island"),
    ("201", "bed"),
    ("108", "sofa"),
    ("109", "desk"),
    ("209", "vanity double"),
)


def case(room: str, text: str) -> Case:
    """One search, its walls tried too."""
    space, wanted = demo_space(room), parse(text)
    found = find(space, NEEDS, room, wanted)
    sizes = f"{found.tried} sizes weighed, {found.judged} places judged"
    return (
        "what fits, walls and others too", f"room {room}, {text}: {sizes}", None,
        lambda: find(space, NEEDS, room, wanted), "", None,
    )  # fmt: skip


CASES: list[Case] = [case(*asked) for asked in ASKED]
