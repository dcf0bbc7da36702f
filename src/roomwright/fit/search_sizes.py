"""Sizes by what they are worth: seats at a table, else the area; and which of them are shown."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from roomwright.fit.kinds import Kind
from roomwright.fit.search_found import EVEN, Option
from roomwright.fit.search_wanted import Size
from roomwright.fit.seats import Seats, counted

SHORT_LIST = 12
"""So many sizes are all shown beside each other, our choice."""


@dataclass(frozen=True, slots=True)
class Counted:
    """Sizes that are worth the same: as many seats, or one size; `value` is what they are worth."""

    value: float
    sizes: tuple[Size, ...]


def by_seats(every: Sequence[Size], seats: Callable[[Size], Seats | None]) -> list[Counted]:
    """Sizes of a table by how many sit at them, most first; what seats nobody is left out."""
    groups = counted((size, seats(size)) for size in every)
    return [Counted(float(k), tuple(groups[k])) for k in sorted(groups, reverse=True) if k]


def plain(kind: Kind) -> bool:
    """Whether what fits large fits small: no need that a larger piece meets more easily."""
    return not any(need.wall or need.centerline or need.take != "each" for need in kind.needs)


def under_stairs(every: Sequence[Size], fits: Callable[[Size], bool]) -> list[Size]:
    """Sizes but those that are larger both ways than one that does not fit: a stair of limits."""
    widths = sorted({size.width for size in every})
    by_both = {(size.width, size.depth): size for size in every}
    kept: list[Size] = []
    high = len(widths)
    for depth in sorted({size.depth for size in every}):
        row = [by_both[width, depth] for width in widths if (width, depth) in by_both]
        low, high = 0, min(high, len(row))
        while low < high:
            middle = (low + high) // 2
            if fits(row[middle]):
                low = middle + 1
            else:
                high = middle
        kept += row[:high]
    return sorted(kept, key=lambda size: (-size.area, -size.width))


def smallest(sizes: Sequence[Size]) -> list[Size]:
    """Sizes that no other is under both ways."""
    return [
        s
        for s in sizes
        if not any(
            o.width <= s.width and o.depth <= s.depth and o is not s and o.area < s.area
            for o in sizes
        )
    ]


def shown(counted: Sequence[Counted], best: Option | None) -> list[Counted]:
    """A handful of sizes about the best one: every one of a short list, else larger and smaller."""
    if len(counted) <= SHORT_LIST:
        return list(counted)
    if best is None:
        return list(counted[-3:])
    if best.seats:
        return [each for each in counted if abs(each.value - best.seats) <= 6]
    same = [each for each in counted if abs(each.sizes[0].depth - best.size.depth) < EVEN]
    at = next((k for k, each in enumerate(same) if best.size in each.sizes), 0)
    picked = {
        k
        for k in (at - 12, at - 6, at - 3, at - 1, at, at + 3, at + 6, at + 12)
        if 0 <= k < len(same)
    }
    return [same[k] for k in sorted(picked)]
