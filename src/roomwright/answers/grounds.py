"""The ground of a space made ready once, for every answer that asks about the same space.

A ground holds nothing but what follows from its space, so it may be kept as long as the space is.
It is found by the very space, not by an equal one: to compare spaces takes as long as to build it.
"""

from __future__ import annotations

from functools import lru_cache

from roomwright.fit.ground import Ground
from roomwright.fit.model import Space


class _This:
    """A space that is equal to itself alone."""

    __slots__ = ("space",)

    def __init__(self, space: Space) -> None:
        self.space = space

    def __hash__(self) -> int:
        return id(self.space)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _This) and self.space is other.space


@lru_cache(maxsize=8)
def _ground(this: _This) -> Ground:
    return Ground(this.space)


def ground_of(space: Space) -> Ground:
    """The ground of a space, the same one each time while it is one of the last that were asked.

    >>> from roomwright.fit.model import Room
    >>> walls = ((0.0, 0.0), (120.0, 0.0), (120.0, 90.0), (0.0, 90.0))
    >>> space = Space((Room("1", "Den", walls),), walls)
    >>> ground_of(space) is ground_of(space)
    True
    """
    return _ground(_This(space))
