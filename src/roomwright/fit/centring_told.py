"""What is not centered, as findings: by how much, which way, and what is cheaper to move now."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from roomwright.fit.centring import RING, TOLERANCE, chained, in_row, named, spread
from roomwright.fit.centring_pairs import Belonging, belongings
from roomwright.fit.centring_things import Thing, on
from roomwright.fit.model import Chain, Finding, Link, Needs, Shift, Space, Word
from roomwright.fit.verdicts import EVEN, length
from roomwright.shape import Point, compass

ENDS = ("light.end_least", "light.end_most")
"""The figures for the ends of a row of lights, as shares of a gap."""

OPPOSITE = {"east": "west", "north": "south", "northeast": "southwest", "northwest": "southeast"}
OPPOSITE.update({there: here for here, there in OPPOSITE.items()})

HANGS = ("chandelier", "pendant")
"""What hangs by a cord or a chain, and can be swagged."""


def off_centre(
    space: Space, needs: Needs, made: Sequence[Chain] | None = None
) -> tuple[Finding, ...]:
    """Every thing, or set of things, that is not centered on what it belongs to.

    `made` are the chains of the space, where they are known already.

    >>> from roomwright.fit.model import Piece, Room
    >>> walls_ = ((0, 0), (120, 0), (120, 120), (0, 120))
    >>> range_ = Piece("K1", "range", "range", 30, 28, 36, 60, 106, 180, "1")
    >>> hood = Piece("H1", "range hood", "range hood", 30, 20, 18, 61.5, 110, 180, "1")
    >>> kitchen = Space((Room("1", "Kitchen", walls_),), walls_, pieces=(range_, hood))
    >>> print(off_centre(kitchen, Needs({"light.center_tolerance": 0.25}))[0].text)
    The range hood H1 should be centered over the range K1, which it is taken to belong to: move it
    1 1/2" west. That is the cheaper of the two to move now: with its duct and blocking.
    """
    tolerance = needs.get(TOLERANCE)
    if tolerance is None:
        return ()
    pairs = belongings(space)
    found: dict[object, Finding] = {}
    lit = {thing.id for pair in pairs for thing in pair.things if thing.what == "light"}
    if made is None:
        made = chained(pairs, tolerance, closed=space.closed)
    for chain in made:
        cure = _of_branch(chain, made)
        for link in chain.links:
            kind = "light" if lit.intersection(link.ids) else "centering"
            finding = _of_link(link, chain, cure, kind)
            if finding is not None:
                found.setdefault((link.ids, link.on), finding)
        adds = _adding_up(chain, cure)
        if adds is not None:
            found.setdefault((chain.links[0].ids, chain.anchor, "adds up"), adds)
    for pair in pairs:
        for finding in (*_in_line(pair, tolerance), *_from_ends(pair, needs, tolerance)):
            found.setdefault((finding.ids, finding.text), finding)
    return tuple(found.values())


def way_told(way: Sequence[tuple[float, str]]) -> str:
    """A way in words.

    >>> way_told(((5, "west"), (9, "north")))
    '5" west and 9" north'
    """
    return " and ".join(f"{length(by)} {word}" for by, word in way)


def _over(link: Link) -> str:
    """Whether it hangs over the thing or stands on it, for the sentence."""
    return "over" if link.name.lower().startswith((*HANGS, "light", "range hood", "hood")) else "on"


def _of_link(link: Link, chain: Chain, cure: Sequence[Shift], kind: str) -> Finding | None:
    ids = (*link.ids, link.on)
    one = len(link.ids) == 1
    they, them, are = ("it", "it", "is") if one else ("they", "them", "are")
    should = f"The {link.name} should be centered {_over(link)}"
    if link.verdict.text.endswith(RING):
        text = f"{should} the {link.on_name}, and that on {them}: say which of them stays."
        return Finding(kind, Word.MEASURE, text, link.room, ids)
    if link.verdict.word is Word.MEASURE:
        what = f"the {link.on_name}" if " " in link.on_name else link.on_name
        which = "" if "no place yet" not in link.verdict.text else ", which has no place yet"
        if link.verdict.text.startswith(f"measure: {link.name} "):
            which = f", but {they} {'has' if one else 'have'} no place yet"
        return Finding(kind, Word.MEASURE, f"{should} {what}{which}: measure.", link.room, ids)
    if link.verdict.word is Word.FITS:
        return None
    taken = f", which {they} {are} taken to belong to" if link.taken else ""
    text = f"{should} the {link.on_name}{taken}"
    swag = ", or swag the light" if link.name.lower().startswith(HANGS) else ""
    moved = [shift.ids for shift in cure]
    if moved == [link.ids]:
        text += f": move {them} {way_told(link.moves)}{swag}."
        if link.on not in chain.held:
            text += f" That is the cheaper of the two to move now: {cure[0].how}."
    elif moved == [(link.on,)] and len(chain.links) == 1:
        text += f": move {them} {way_told(link.moves)}{swag}. Cheaper now: {_told(cure)}."
    else:
        text += f": {they} {are} {too_far(link.moves)}. {_all_of(cure)}"
    for id_ in chain.held:
        if id_ == link.on or id_ in link.ids:
            what = link.on_name if id_ == link.on else link.name
            text += f" Moving the {what} instead would leave it, or a walk path, short."
    return Finding(
        kind, Word.SHORT, text.strip(), link.room, ids, by=link.off, figure=TOLERANCE, at=link.at
    )


def too_far(way: Sequence[tuple[float, str]]) -> str:
    """Where a thing is that has a way to go, in words.

    >>> too_far(((5, "west"), (9, "north")))
    '5" too far east and 9" too far south'
    """
    return " and ".join(f"{length(by)} too far {OPPOSITE[word]}" for by, word in way)


def _of_branch(chain: Chain, made: Sequence[Chain]) -> tuple[Shift, ...]:
    """What is to move on the branch of an anchor that a chain is part of; all if the anchor is."""
    if any(chain.anchor in shift.ids for shift in chain.cure):
        return chain.cure
    ids = {
        id_
        for other in made
        if other.anchor == chain.anchor and other.links[-1].ids == chain.links[-1].ids
        for link in other.links
        for id_ in link.ids
    }
    return tuple(shift for shift in chain.cure if ids.intersection(shift.ids))


def _told(cure: Sequence[Shift]) -> str:
    """The moves of a cure, those that are the same as one, and what they take."""
    same: dict[str, list[Shift]] = {}
    for shift in cure:
        same.setdefault(way_told(shift.moves), []).append(shift)
    told = []
    for way, group in same.items():
        how = ", ".join(dict.fromkeys(shift.how for shift in group if shift.how))
        names = [f"the {shift.name}" for shift in group]
        few = " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
        told.append(f"{few} {way}" + f", {how}" * bool(how))
    return f"move {'; '.join(told)}"


def _all_of(cure: Sequence[Shift]) -> str:
    return f"Cheapest now, and all that hangs together is centered: {_told(cure)}." if cure else ""


def _adding_up(chain: Chain, cure: Sequence[Shift]) -> Finding | None:
    """A chain whose links all hold while its ends do not."""
    if chain.verdict.word is not Word.SHORT or len(chain.links) < 2:
        return None
    if any(link.verdict.word is not Word.FITS for link in chain.links):
        return None
    first, last = chain.links[0], chain.links[-1]
    between = " and ".join(link.on_name for link in chain.links[:-1])
    text = (
        f"The {first.name} is {length(chain.off or 0.0)} off the {last.on_name}: small errors add "
        f"up over the {between}. {_all_of(cure)}"
    )
    ids = (*first.ids, *(link.on for link in chain.links))
    return Finding(
        "centering", Word.SHORT, text, first.room, ids, by=chain.off, figure=TOLERANCE
    )  # fmt: skip


# --- a set in its row ---------------------------------------------------------------------------


def _in_line(pair: Belonging, tolerance: float) -> Iterator[Finding]:
    """What stands out of its row, and gaps between three or more that are not even."""
    row = in_row(pair)
    if row is None or pair.on.at is None:
        return
    way, things = row
    yield from _out_of_row(pair, way, things, tolerance)
    if len(things) < 3:
        return
    at = [_along(thing, way) for thing in things]
    gaps = [b - a for a, b in pairwise(at)]
    if max(gaps) - min(gaps) <= tolerance + EVEN:
        return
    even = (at[-1] - at[0]) / len(gaps)
    wants = [(thing, at[0] + k * even - at[k]) for k, thing in enumerate(things)]
    told = ", ".join(
        f"{thing.id} {length(abs(by))} {compass((by * way[0], by * way[1]))}"
        for thing, by in wants
        if abs(by) > tolerance / 2
    )
    apart = ", ".join(length(gap) for gap in gaps[:-1]) + f" and {length(gaps[-1])}"
    text = (
        f"The {named(pair.things)} are {apart} apart, from middle to middle. Evenly spaced they "
        f"are {length(even)} apart: move {told}."
    )
    yield _spacing(pair, text, max(gaps) - min(gaps))


def _from_ends(pair: Belonging, needs: Needs, tolerance: float) -> Iterator[Finding]:
    """A row of even gaps over a thing that ends too near to its ends, or too far from them."""
    gaps, ends = spread(pair)
    least, most = needs.get(ENDS[0]), needs.get(ENDS[1])
    hangs = pair.rule is not None and not pair.rule.near and pair.things[0].what == "light"
    if not hangs or not ends or least is None or most is None:
        return
    if max(gaps) - min(gaps) > tolerance + EVEN or min(gaps) <= tolerance:
        return
    gap, end, count = sum(gaps) / len(gaps), sum(ends) / 2, len(pair.things)
    over = sum(gaps) + sum(ends)
    short = max(least * gap - end, end - most * gap)
    if short <= tolerance + EVEN:
        return
    figure = ENDS[0] if end < gap * least else ENDS[1]
    text = (
        f"The {named(pair.things)} hang {length(gap)} apart and {length(end)} from the ends of the "
        f"{pair.on.name} {pair.on.id}. Usual is {length(over / count)} apart and "
        f"{length(over / count / 2)} from the ends, in the middle of equal parts; or "
        f"{length(over / (count + 1))} apart and from the ends."
    )
    yield _spacing(pair, text, short, figure)


def _out_of_row(
    pair: Belonging, way: Point, things: Sequence[Thing], tolerance: float
) -> Iterator[Finding]:
    across = (-way[1], way[0])
    line = sum(_along(thing, across) for thing in things) / len(things)
    out = [(thing, line - _along(thing, across)) for thing in things]
    far = max(abs(by) for _, by in out)
    if far <= tolerance + EVEN:
        return
    told = ", ".join(
        f"{thing.id} {length(abs(by))} {compass((by * across[0], by * across[1]))}"
        for thing, by in out
        if abs(by) > tolerance / 2
    )
    text = f"The {named(pair.things)} are not in one line: move {told}."
    yield _spacing(pair, text, far)


def _along(thing: Thing, way: Point) -> float:
    return on(thing.at or (0.0, 0.0), way)


def _spacing(pair: Belonging, text: str, by: float, figure: str = TOLERANCE) -> Finding:
    first = pair.things[0]
    kind = "light" if first.what == "light" else "centering"
    ids = (*(thing.id for thing in pair.things), pair.on.id)
    return Finding(kind, Word.SHORT, text, first.room, ids, by=by, figure=figure)
