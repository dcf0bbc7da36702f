"""The whole answer to "what fits": with pieces that may slide, and what each wall may give.

A rectangular table, anywhere, is found by the faster search of `search`; all else, and a table of
which that proves nothing, by `search_any`.
"""

from collections.abc import Callable
from dataclasses import replace

from roomwright.fit import search
from roomwright.fit.evaluate import leaf_in
from roomwright.fit.given import Needs, Piece, Space
from roomwright.fit.ground import Ground
from roomwright.fit.kinds import Kind
from roomwright.fit.offers import Offer, Sizes, WhatFits
from roomwright.fit.search import Stopped
from roomwright.fit.search_any import what_fits
from roomwright.fit.search_found import EVEN, Found, Option
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_judged import Judged
from roomwright.fit.search_slides import MOST_WAYS, ways
from roomwright.fit.search_walls import wall_limits
from roomwright.fit.search_wanted import Extent, Size, Wanted, WantedError
from roomwright.fit.search_wish import counting, filled_wish
from roomwright.fit.seats import by_rules, seats_of, told_rule
from roomwright.fit.trial import without
from roomwright.shape import compass, unit

Tell = Callable[[float, str], None]

WORTH = 1.0
"""A piece is slid for a wider margin only if that is wider by so much [in], our choice."""


def find(
    space: Space,
    needs: Needs,
    room: str,
    wanted: Wanted,
    *,
    own: Kind | None = None,
    progress: Tell | None = None,
    stop: Callable[[], bool] | None = None,
) -> Found:
    """The whole answer; arguments and errors as those of `search_any.what_fits`.

    >>> from roomwright.fit.given import Room
    >>> walls = ((0, 0), (168, 0), (168, 144), (0, 144))
    >>> dining = Space((Room("101", "Dining", walls),), walls)
    >>> found = find(dining, Needs({"dining.rise": 36}), "101", Wanted("dining table"))
    >>> found.best.size.text, found.best.seats, found.best.margin, found.walls[0].holds
    ('84 x 48', 8, 6.0, 6.0)
    """
    for slide in wanted.slides:
        if slide.piece not in {p.id for p in space.pieces}:
            raise WantedError(f"no piece {slide.piece} stands in room {room}")
    tell = _growing(progress)
    found = _slid(space, needs, room, wanted, own, tell, stop) if wanted.slides else _one(
        space, needs, room, wanted, own, _part(tell, 0.0, 0.85), stop
    )  # fmt: skip
    if found.best is None or not found.best.fits or found.stopped.startswith("stopped"):
        tell(1.0, "done")
        return found
    tell(0.87, "each wall a little nearer")

    def asked() -> None:
        if stop is not None and stop():
            raise Stopped

    try:
        there = _as_slid(space, found.best)
        limits = wall_limits(there, counting(needs, wanted), room, found.best, found.gone, asked)
    except Stopped:
        return replace(found, stopped="stopped before each wall was tried")
    tell(1.0, "done")
    leaf = _leaf_in(there, counting(needs, wanted), found)
    return replace(found, walls=limits, leaf_in=leaf)


def _leaf_in(space: Space, needs: Needs, found: Found) -> str:
    """How the best stands with its leaf in, in words; empty where it has none."""
    if found.best is None:
        return ""
    piece = found.best.piece
    told = leaf_in(Ground(without(space, found.gone)), piece, needs)
    return " ".join(each.text for each in told).replace(f"{piece.name} {piece.id}", piece.name)


def _growing(progress: Tell | None) -> Tell:
    """Whoever is told, told of no share less than the last."""
    most = 0.0

    def tell(share: float, at: str) -> None:
        nonlocal most
        most = max(most, share)
        if progress is not None:
            progress(most, at)

    return tell


def _part(tell: Tell, low: float, high: float) -> Tell:
    return lambda share, at: tell(low + (high - low) * share, at)


def _as_slid(space: Space, best: Option) -> Space:
    """The space with its pieces where the best has them."""
    moved = {each.piece: each for each in best.slid}

    def put(piece: Piece) -> Piece:
        by = moved.get(piece.id)
        if by is None or piece.x is None or piece.y is None:
            return piece
        return replace(piece, x=piece.x + by.dx, y=piece.y + by.dy)

    return replace(space, pieces=tuple(map(put, space.pieces)))


def _slid(
    space: Space, needs: Needs, room: str, wanted: Wanted, own: Kind | None, tell: Tell,
    stop: Callable[[], bool] | None,
) -> Found:  # fmt: skip
    """The best over every way to slide what may: a better piece, or a margin wider by 1 in."""
    plain = replace(wanted, slides=())
    best: Found | None = None
    picked: tuple[Space, Found] | None = None
    note = ""
    for number, (there, slid) in enumerate(ways(space, needs, wanted.slides)):
        tell(0.7 * min(1.0, number / MOST_WAYS), f"way {number + 1} to slide")
        least = -1.0 if best is None or best.best is None else best.best.value[0] - EVEN
        one = _one(
            there, needs, room, plain, own, lambda _s, _a: None, stop, least=least, brief=True
        )
        if one.best is not None and (best is None or best.best is None or _better(one, best)):
            held = replace(one.best, slid=slid)
            best, picked = replace(one, best=held), (there, one)
        best = best or one
        if one.stopped.startswith("stopped"):
            note = one.stopped
            break
    assert best is not None  # noqa: S101 - the space as it stands is always a way
    if picked is None or best.best is None or note:
        return replace(best, wanted=replace(best.wanted, slides=wanted.slides), stopped=note)
    whole = _one(picked[0], needs, room, plain, own, _part(tell, 0.7, 0.85), stop)
    slid = best.best.slid

    def told(option: Option) -> Option:
        return replace(option, slid=slid)

    return replace(
        whole,
        wanted=replace(whole.wanted, slides=wanted.slides),
        best=None if whole.best is None else told(whole.best),
        others=tuple(map(told, whole.others)),
        front=tuple(map(told, whole.front)),
        stops=None if whole.stops is None else told(whole.stops),
    )


def _better(one: Found, other: Found) -> bool:
    if one.best is None or other.best is None:
        return one.best is not None
    if one.best.value != other.best.value:
        return one.best.value > other.best.value
    return one.best.margin > other.best.margin + WORTH


def _one(
    space: Space, needs: Needs, room: str, wanted: Wanted, own: Kind | None, tell: Tell,
    stop: Callable[[], bool] | None, *, least: float = -1.0, brief: bool = False,
) -> Found:  # fmt: skip
    """The answer with every piece where it is."""
    piece, wish = filled_wish(space, needs, room, wanted, own)
    before = 0
    if _is_plain(piece, wish, space):
        quick = _table(space, needs, room, piece, wish, tell, stop, brief)
        if isinstance(quick, Found):
            return quick
        before = quick
    return what_fits(
        space, needs, room, wanted, own=own, progress=tell, stop=stop, least=least, brief=brief,
        before=before,
    )  # fmt: skip


# --- the faster search for a rectangular table ----------------------------------------------------


def _is_plain(piece: Piece, wish: Wanted, space: Space) -> bool:
    """Whether the faster search knows what to do: whole inches, anywhere, any wall's direction."""
    whole = [
        isinstance(extent, Extent)
        and extent.step in (0.0, 1.0)
        and extent.least == int(extent.least)
        and extent.most == int(extent.most)
        for extent in (wish.width, wish.depth)
    ]
    return (
        piece.sort.seats
        and all(whole)
        and not wish.sizes
        and wish.place is not None
        and wish.place.rule == "anywhere"
        and not wish.turn
        and not piece.drawn
        and replace(piece, width=60.0, depth=36.0).straight
        and not any(said == piece.id for said, _ in space.overrides)
    )


def _table(
    space: Space, needs: Needs, room: str, piece: Piece, wish: Wanted, tell: Tell,
    stop: Callable[[], bool] | None, brief: bool,
) -> Found | int:  # fmt: skip
    """The answer of the faster search; what it did where it finds nothing and proves nothing."""
    width, depth = wish.width, wish.depth
    if width is None or depth is None:
        return 0
    counted = counting(needs, wish)
    sizes = Sizes(int(width.least), int(width.most), int(depth.least), int(depth.most))
    gone = wish.without or ()
    try:
        offered = search.what_fits(
            space, counted, room, sizes=sizes, instead_of=gone,
            progress=lambda share: tell(share, "tables"), stop=stop, table=piece,
            judged_by=Judged,
        )  # fmt: skip
    except ValueError:
        return 0
    if offered.best is None and offered.complete and not (offered.proved or offered.spent):
        return offered.effort
    judge = Judge(without(space, gone), counted, space.room(room).outline)
    front = []
    for offer in offered.front:
        option = _option(judge, counted, offer)
        if option is None or option.margin < offer.margin - EVEN:
            return offered.effort
        front.append(option)
    best = max((o for o in front if o.fits), key=lambda o: (o.seats, o.margin), default=None)
    larger = [o for o in front if not o.fits and (best is None or o.seats > best.seats)]
    stops = min(larger, key=lambda o: o.seats, default=None)
    others = [] if brief or best is None else _other_ways(space, counted, room, piece, wish, best)
    rule = "" if best is None else told_rule(seats_of(best.piece, counted), counted)
    return Found(
        wanted=wish,
        best=best,
        others=tuple(o.against(best) for o in others),
        front=tuple(o.against(best) for o in front),
        stops=None if stops is None else stops.against(best),
        no_larger=_no_larger(best, stops),
        proved=offered.proved,
        stopped=_why(offered),
        tried=offered.weighed,
        judged=offered.judged,
        seats_rule=rule,
        gone=gone,
    )


def _why(offered: WhatFits) -> str:
    """Why the faster search ended before it was done, in words; empty where it did not."""
    if not offered.complete:
        return "stopped before it was done"
    if offered.spent:
        return (
            f"not proved: stopped after {offered.judged:,} places were judged and none fits; "
            "after that only the fewest seats were looked at"
        )
    return ""


def _option(judge: Judge, needs: Needs, offer: Offer) -> Option | None:
    trial = judge.of(offer.piece)
    if trial is None:
        return None
    way = compass(unit(offer.turn))
    return Option(
        size=Size(offer.length, offer.width),
        trial=trial,
        key=f"length {offer.turn % 180:g}",
        where=f"free, its length running {way}",
        seats=offer.seats,
        by_rules=by_rules(offer.piece, needs),
        proved=offer.proved,
    )


def _other_ways(
    space: Space, needs: Needs, room: str, piece: Piece, wish: Wanted, best: Option
) -> list[Option]:
    """The best table the other way round, and the next smaller: what else could be chosen."""
    from roomwright.fit.lay import directions

    outline = space.room(room).outline
    found = []
    for angle in directions(outline)[:3]:
        for turn in (angle % 180, (angle + 90) % 180):
            if abs(turn - best.piece.turn % 180) < 0.05:
                continue
            asked = replace(
                wish, turn=(turn,), width=None, depth=None,
                sizes=tuple(_sizes_near(wish, best, needs, piece)),
            )  # fmt: skip
            one = what_fits(space, needs, room, asked, brief=True, few=True)
            if one.best is not None:
                found.append(one.best)
    return sorted(found, key=lambda o: (o.seats, o.margin), reverse=True)[:3]


def _sizes_near(wish: Wanted, best: Option, needs: Needs, piece: Piece) -> list[Size]:
    """The best table's own size, and the least that seat as many, or up to four fewer."""
    least: dict[int, Size] = {}
    for size in reversed(wish.every_size()):
        count = seats_of(replace(piece, width=size.width, depth=size.depth), needs)
        if count is not None and best.seats - 4 <= count.total <= best.seats:
            least.setdefault(count.total, size)
    return list(dict.fromkeys([best.size, *least.values()]))


def _no_larger(best: Option | None, stops: Option | None) -> str:
    """Why no larger one is told of, in words; nothing where what stops it is."""
    if stops is not None:
        return ""
    if best is None:
        return "not even the smallest stands anywhere"
    return f"none that was asked for seats more than {best.seats}"
