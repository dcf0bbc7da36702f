"""What to move so that all that hangs on one anchor is centered: the cheapest way now.

Each thing knows how far it is from where it should be while the anchor stays. One of them is left
where it is and the others follow it; which one is left is what costs least: the dearest thing
that must move decides, then the next, then the distance.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from roomwright.fit.centring_table import Cost
from roomwright.fit.model import Shift
from roomwright.shape import Point

MOST = 64
"""Of so many things it is tried to leave one where it is; of more, the dearest to move."""


@dataclass(frozen=True, slots=True)
class Node:
    """A thing, or a set of them, that hangs on an anchor, or the anchor itself.

    `way` leads from where it is to where it should be while the anchor stays [in]; of a move only
    the part along `axis` counts, where there is one.
    """

    ids: tuple[str, ...]
    name: str
    way: Point
    axis: Point | None
    cost: Cost


Told = Callable[[Point, Point | None], tuple[tuple[float, str], ...]]
"""A way and its axis, as (inches, compass word)."""


def cure_of(nodes: Sequence[Node], tolerance: float, told: Told) -> tuple[Shift, ...]:
    """The cheapest moves that center all nodes; the anchor is the first of them.

    >>> by_hand, slab = Cost(1, "by hand"), Cost(9, "by opening the floor")
    >>> drain = Node(("D1",), "drain D1", (0, 0), None, slab)
    >>> bowl = Node(("V1",), "bowl V1", (2, 0), None, by_hand)
    >>> faucet = Node(("F1",), "faucet F1", (0, 0), None, by_hand)
    >>> found = cure_of((drain, bowl, faucet), 0.25, lambda way, _: ((way[0], ""),))
    >>> [shift.ids for shift in found]
    [('V1',)]
    """
    best: tuple[tuple[tuple[int, ...], float], list[tuple[Node, Point]]] | None = None
    dearest = sorted(nodes[1:], key=lambda node: -node.cost.rank)
    for stays in (*nodes[:1], *dearest[: MOST - 1]):
        steps = []
        for node in nodes:
            way = _counted((node.way[0] - stays.way[0], node.way[1] - stays.way[1]), node.axis)
            if math.hypot(*way) > tolerance / 2:
                steps.append((node, way))
        ranks = sorted((node.cost.rank for node, _ in steps for _ in node.ids), reverse=True)
        price = tuple(ranks), round(sum(math.hypot(*way) for _, way in steps), 6)
        if best is None or price < best[0]:
            best = price, steps
    steps = best[1] if best else []
    return tuple(
        Shift(node.ids, node.name, told(way, node.axis), way, node.cost.how) for node, way in steps
    )


def _counted(way: Point, axis: Point | None) -> Point:
    if axis is None:
        return way
    part = way[0] * axis[0] + way[1] * axis[1]
    return part * axis[0], part * axis[1]
