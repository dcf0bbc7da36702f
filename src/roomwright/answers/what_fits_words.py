"""What fits, in the words a builder reads; the same on the page, on paper and in the terminal."""

from __future__ import annotations

from roomwright import lengths
from roomwright.fit.found import Word
from roomwright.fit.search_found import EVEN, Found, Option, WallLimit
from roomwright.fit.search_judge import STANDING
from roomwright.fit.verdicts import length, spare_text
from roomwright.lengths import tape

EVERY_INCH = "every place on a one-inch grid, or every inch along a wall"


def size(option: Option) -> str:
    r"""Return the size: ``Queen, 5'-0" x 6'-8"`` or ``7'-0" x 3'-6"``.

    >>> from roomwright.fit.search_wanted import Size
    >>> size_words(84, 42), size_words(60, 80, "Queen")
    ('7\'-0" × 3\'-6"', 'Queen, 5\'-0" × 6\'-8"')
    """
    return size_words(option.size.width, option.size.depth, option.size.name, top=option)


def size_words(width: float, depth: float, name: str = "", top: Option | None = None) -> str:
    """Return a width and a depth, with the name of the size if it has one."""
    if top is not None and top.piece.round:
        words = f"{tape(width)} round"
    else:
        words = f"{tape(width)} × {tape(depth)}"
    return f"{name}, {words}" if name else words


def title(option: Option) -> str:
    """Return the size, and how many sit at it."""
    return f"{size(option)}, seats {option.seats}" if option.seats else size(option)


def spare(option: Option) -> str:
    """Return what is left over: ``1" to spare``, ``short 11"``; nothing asked, nothing told."""
    if option.margin < -EVEN / 1000:
        return f"short {length(-option.margin)}"
    if option.margin == float("inf"):
        return "nothing is asked of it"
    return spare_text(option.margin)


def word(option: Option, least: float) -> str:
    """Return the verdict in one word; `least` is what a plain *fits* leaves over [in]."""
    if option.margin < -EVEN / 1000:
        return str(Word.SHORT)
    return str(Word.FITS if option.margin >= least else Word.TIGHT)


def _thing(option: Option) -> str:
    """Return what a bound ends at; the piece looked for has no id of its own yet."""
    piece = option.piece
    thing = option.bound.thing
    if piece.id.startswith("new"):
        thing = thing.replace(f"{piece.name} {piece.id}", f"new {piece.name}")
    return thing


def held(option: Option) -> str:
    """Return what holds an option: ``east end: 3'-9" to the east wall, 3'-8" wanted``."""
    bound, thing = option.bound, _thing(option)
    if bound.use == STANDING:
        if bound.where == "edge":
            return f"{tape(bound.clear)} of floor to the nearest wall"
        return f"{tape(bound.clear)} of play between the {thing.replace(' and ', ' and the ')}"
    if bound.use == "zones":
        lap = length(bound.needs)
        return f"what is opened or sat at here and at the {thing} overlaps by {lap}"
    to = f" to the {thing}" if thing else ""
    return f"{bound.where}: {tape(bound.clear)}{to}, {tape(bound.needs)} wanted"


def stops(option: Option) -> str:
    """Return what stops a size: ``short 11" at the east end: ...``."""
    return f"{spare(option)}, {held(option)}"


def cost(option: Option) -> str:
    """Return what an option costs against the best: ``2 seats fewer, 1'-2" narrower``."""
    parts = []
    if option.fewer:
        count = abs(option.fewer)
        parts.append(
            f"{count} seat{'s' if count > 1 else ''} {'fewer' if option.fewer > 0 else 'more'}"
        )
    for by, less, more in (
        (option.narrower, "narrower", "wider"),
        (option.shallower, "shallower", "deeper"),
    ):
        if abs(by) > EVEN:
            parts.append(f"{tape(abs(by))} {less if by > 0 else more}")
    return ", ".join(parts) or "the same size"


def slid(option: Option) -> str:
    """Return which pieces have moved for it; empty if none."""
    parts = []
    for each in option.slid:
        ways = [
            f"{tape(abs(by))} {to if by > 0 else back}"
            for by, to, back in ((each.dx, "east", "west"), (each.dy, "north", "south"))
            if abs(by) > EVEN
        ]
        parts.append(f"the {each.name} {each.piece} slides {' and '.join(ways)}")
    return "; ".join(parts)


def limit(wall: WallLimit) -> str:
    """Return how much nearer a wall may be: ``tight until the east wall (B) is 1" short``."""
    way = wall.name.removeprefix(f"wall {wall.wall} (").removesuffix(")")
    name = f"the {way} wall ({wall.wall})"
    if wall.open_ended:
        return f"{name} may be {tape(wall.holds)} short, or more"
    then = wall.by if wall.by.startswith("it ") else f"then the {wall.by} is short"
    if wall.holds <= 0:
        return f"{name} may not be short at all: {then}"
    return f"{wall.word} until {name} is {length(wall.holds)} short; {then}"


def rules(option: Option) -> str:
    """Return how many sit there by every rule: ``8 by the 24 in. rule, 6 by the handbook``."""
    return "; ".join(f"{count} by: {rule}" for rule, count in option.by_rules)


def searched(found: Found) -> str:
    """Return what was searched and how sure the answer is."""
    sure = "no place among them is better" if found.proved else "a better place is not ruled out"
    if found.stopped:
        sure = found.stopped
    return (
        f"{found.tried:,} sizes weighed at {EVERY_INCH}, {found.judged:,} places judged exactly: "
        f"{sure}"
    )


def in_words(option: Option) -> str:
    """Return an option as one line: size, seats, place, margin and what holds it."""
    bound = option.bound
    size_ = f"{lengths.inches(option.size.width)} x {lengths.inches(option.size.depth)}"
    name = f"{option.size.name} " if option.size.name else ""
    seats = f", seats {option.seats}" if option.seats else ""
    if bound.use in (STANDING, "zones"):
        return f"{name}{size_}{seats}, {spare(option)}: {held(option)}"
    return (
        f"{name}{size_}{seats}, {spare(option)} {_at(bound.where)} "
        f"({lengths.tape(bound.clear)} to {_thing(option)}, {lengths.tape(bound.needs)} wanted)"
    )


def _at(where: str) -> str:
    """Where a margin is: "at the north side", "all around"."""
    return where if where == "all around" else f"at the {where}"
