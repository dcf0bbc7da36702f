"""What fits in a room: the best size and place for a piece of any kind, what stops a larger."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace

from roomwright.answers import rooms
from roomwright.answers.engine import Ask, query
from roomwright.answers.own_kinds import own_kinds
from roomwright.fit import search_usual, search_whole
from roomwright.fit.given import Room
from roomwright.fit.search_found import Found
from roomwright.fit.search_usual import Usual
from roomwright.fit.search_wanted import Place, Wanted

TABLE = Wanted("dining table")
"""What is asked for where nothing else is."""


class StoppedError(Exception):
    """A search was stopped by whoever waits for it; `found` is the best so far."""

    def __init__(self, found: Found) -> None:
        super().__init__(found.stopped)
        self.found = found


@dataclass(frozen=True, slots=True)
class Watch:
    """Who waits for a search: told how far it is (0 to 1) and at what; asked whether to stop."""

    tell: Callable[[float, str], None]
    stop: Callable[[], bool]


_WATCH: ContextVar[Watch | None] = ContextVar("watch", default=None)


@contextmanager
def watched(tell: Callable[[float, str], None], stop: Callable[[], bool]) -> Iterator[None]:
    """Within it, searches of this thread tell how far they are and may be stopped.

    A search that is stopped raises `StoppedError` and is not kept: the answer itself depends on
    nothing but the facts.
    """
    token = _WATCH.set(Watch(tell, stop))
    try:
        yield
    finally:
        _WATCH.reset(token)


@query("what fits")
def what_fits(ask: Ask, room: str, wanted: Wanted) -> Found:
    """Return the best size and place for what is wanted in a room, and what else could be chosen.

    Raises
    ------
    MissingFactError
        If there is no such room.
    WantedError
        If the wish cannot be: a size missing, a wall or a piece that is not there.
    StoppedError
        If it was stopped (`watched`).
    """
    space = ask(rooms.space_of, ask(rooms.joined, room))
    own = ask(own_kinds).named(wanted.kind)
    watch = _WATCH.get()
    found = search_whole.find(
        space,
        ask(rooms.needs, room),
        room,
        wanted,
        own=own,
        progress=None if watch is None else watch.tell,
        stop=None if watch is None else watch.stop,
    )
    if found.stopped.startswith("stopped before"):
        raise StoppedError(found)
    return found


@query("kinds for a room")
def kinds_for(ask: Ask, room: str) -> tuple[tuple[Usual, ...], tuple[Usual, ...]]:
    """Return the kinds that belong in a room, and the others that may stand there."""
    space = ask(rooms.space_of, (room,))
    this: Room = space.room(room)
    first, rest = search_usual.for_room(this)
    here = {p.sort.name for p in space.pieces if p.sort.own}
    belong, may = list(first), list(rest)
    own = {kind.name: kind for kind in ask(own_kinds).kinds.values()}
    for name, kind in own.items():
        like = search_usual.like_kind(kind)
        if name in here or like in first:
            belong.append(_as_own(name, like))
        elif rest and (like is None or like in rest):
            may.append(_as_own(name, like))
    return tuple(belong), tuple(may)


def _as_own(name: str, like: Usual | None) -> Usual:
    """A kind of the builder's own with what the kind that it is like usually is."""
    if like is None:
        return Usual(name, name, Place(), (), None, None, (), None)
    return replace(like, name=name, shown=name)
