"""What fits, for any kind of piece: the best size and place, others that differ, what stops more.

At a table most seats come first, for any other piece the largest; then the widest tightest margin,
then the place nearest the middle of the room. Sizes are taken from the largest down; of each the
places are judged in the order of a bound (`search_places`). See docs/what-fits.md.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import shapely

from roomwright.fit.given import Needs, Piece, Room, Space
from roomwright.fit.kinds import Kind
from roomwright.fit.search import MOST_EFFORT, Stopped
from roomwright.fit.search_found import EVEN, Found, Option
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_places import Places
from roomwright.fit.search_rules import stances
from roomwright.fit.search_sizes import Counted, by_seats, plain, shown, smallest, under_stairs
from roomwright.fit.search_stance import Spots, Stance, sized
from roomwright.fit.search_wanted import Size, Wanted
from roomwright.fit.search_wish import counting, filled_wish
from roomwright.fit.seats import by_rules, seats_of, told_rule
from roomwright.fit.slide import centred, evened
from roomwright.fit.trial import Trial, without

MOST_JUDGED = 1_500
"""Places judged exactly for one size before it is left, our choice: docs/what-fits.md."""

MOST_CURVED = 300
"""The same for an oval or a drawn shape: its many corners take ten times as long."""

MOST_IN_ALL = 6_000
"""Places judged exactly in one search, our choice."""

FEW = 40
"""The same as `MOST_JUDGED` for what is shown beside the best."""

FRONT_TO = 12.0
"""How short of the figures the front goes [in]."""

NEAREST = 60.0
"""Where nothing fits, the smallest is told if it is short by up to this [in], our choice."""

OTHERS = 6
SLIDE = 0.5


class _Spent(Exception):  # noqa: N818 - the search has used up what it may
    """The search has judged as many places as it may."""


def what_fits(
    space: Space,
    needs: Needs,
    room: str,
    wanted: Wanted,
    *,
    own: Kind | None = None,
    progress: Callable[[float, str], None] | None = None,
    stop: Callable[[], bool] | None = None,
    least: float = -math.inf,
    brief: bool = False,
    few: bool = False,
    before: int = 0,
) -> Found:
    """The best size and place for a piece of any kind in a room, without its `walls`.

    Parameters
    ----------
    space, room
        The space, and the room of it that the piece is to stand in.
    needs
        Figures in force.
    wanted
        What is looked for; see `search_wanted`.
    own
        The kind, where it is one of the builder's own.
    progress, stop
        Told how far the search is (0 to 1) and what it is at; asked whether to stop.
    least
        What the best must be worth at the least to be of interest (seats, or area [in2]).
    brief, few
        Only the best, without what is shown beside it; with fewer places judged for it.
    before
        What another search has done in vain before, in places (`search.MOST_EFFORT`).

    Raises
    ------
    KeyError
        If the room is not one of the space's.
    WantedError
        If the wish cannot be: a size missing, a wall that is not there, too many corners.

    Examples
    --------
    The largest bed against a wall of a room 11 by 10 ft with 30 in. to get in:

    >>> walls = ((0, 0), (132, 0), (132, 120), (0, 120))
    >>> bedroom = Space((Room("201", "Bedroom", walls),), walls)
    >>> needs = Needs({"bedroom.side": 30, "bedroom.least_side": 22, "bedroom.dressing": 36})
    >>> found = what_fits(bedroom, needs, "201", Wanted("bed"))
    >>> found.best.size.text, found.best.where, found.best.margin
    ('King 76 x 80', 'against wall A, south', 2.0)
    """
    piece, wish = filled_wish(space, needs, room, wanted, own)
    bare = without(space, wish.without or ())
    hunt = _Hunt(bare, counting(needs, wish), space.room(room), piece, wish, progress, stop, before)
    budget = MOST_JUDGED if piece.round or hunt.straight else MOST_CURVED
    return hunt.run(least, brief=brief, budget=FEW if few else budget)


class _Hunt:
    """One search."""

    def __init__(
        self,
        space: Space,
        needs: Needs,
        room: Room,
        piece: Piece,
        wish: Wanted,
        progress: Callable[[float, str], None] | None,
        stop: Callable[[], bool] | None,
        before: int,
    ) -> None:
        self.space, self.needs, self.room, self.wish = space, needs, room, wish
        self._tell = progress or (lambda _share, _at: None)
        self._stop = stop
        self.judged = self.tried = 0
        self.most_effort: float = MOST_EFFORT - before  # as long as nothing fits
        self.judge = Judge(space, needs, room.outline, self._asked)
        self.piece = piece
        self.centre = shapely.Polygon(room.outline).centroid
        self.stances = stances(self.judge, room, self.piece, wish)
        self.all_proved, self.why = True, ""
        self._spots: dict[tuple[str, Size], Spots] = {}

    @property
    def straight(self) -> bool:
        """Whether the piece is a plain rectangle."""
        every = self.wish.every_size(round_top=self.piece.round)
        return not every or sized(self.piece, every[0]).straight

    def _asked(self) -> None:
        if self._stop is not None and self._stop():
            raise Stopped
        self.judged += 1
        if self.judged > MOST_IN_ALL or self.judged + self.judge.measured > self.most_effort:
            raise _Spent

    def run(self, least: float, *, brief: bool, budget: int) -> Found:
        """The whole answer; `brief` without what is shown beside the best."""
        best: Option | None = None
        others: list[Option] = []
        front: list[Option] = []
        try:
            self._tell(0.0, "sizes")
            counted = [each for each in self._counted() if each.value >= least]
            best = self._first(counted, budget)
            if best is None and counted and not brief:
                self._tell(0.5, "how far short the smallest is")
                nearest = self._best(counted[-1], self.stances, -NEAREST, FEW)
                front = [nearest] if nearest is not None else []
            elif not brief:
                self._tell(0.5, "other walls")
                others = self._others(counted, best)
                self._tell(0.7, "larger and smaller")
                front = self._front(counted, best)
        except Stopped:
            self.all_proved, self.why = False, "stopped before it was done"
        except _Spent:
            self.all_proved = False
            self.why = f"not proved: stopped after {MOST_IN_ALL:,} places were judged"
        if best is None and (fitting := [o for o in (*others, *front) if o.fits]):
            best = max(fitting, key=lambda o: (o.value, o.margin))
        self._tell(1.0, "done")
        return self._found(best, others, front)

    def _first(self, counted: Sequence[Counted], budget: int) -> Option | None:
        """The best of all; where too much is done in vain, what a short look at the least gives."""
        try:
            return self._largest(counted, self.stances, budget, 0.0, 0.5)
        except _Spent:
            if self.judged > MOST_IN_ALL or not counted:
                raise
            self.all_proved = False
            self.why = (
                f"not proved: stopped after {self.judged:,} places were judged and none fits; "
                "after that only the smallest was looked at"
            )
            self.most_effort = math.inf
            return self._best(counted[-1], self.stances, 0.0, FEW)
        finally:
            self.most_effort = math.inf

    def _found(self, best: Option | None, others: list[Option], front: list[Option]) -> Found:
        larger = [o for o in front if not o.fits and (best is None or o.value > best.value)]
        stops = min(larger, key=lambda o: (o.value, -o.margin), default=None)
        if best is None:
            stops = max(larger, key=lambda o: o.margin, default=None)
        return Found(
            wanted=self.wish,
            best=best,
            others=tuple(o.against(best) for o in others),
            front=tuple(o.against(best) for o in front),
            stops=None if stops is None else stops.against(best),
            no_larger=self._no_larger(best) if stops is None else "",
            proved=self.all_proved,
            stopped=self.why,
            tried=self.tried,
            judged=self.judged,
            seats_rule=self._rule(best),
            gone=self.wish.without or (),
        )

    def _rule(self, best: Option | None) -> str:
        if best is None or not best.seats:
            return ""
        return told_rule(seats_of(best.piece, self.needs), self.needs)

    def _no_larger(self, best: Option | None) -> str:
        every = self.wish.every_size(round_top=self.piece.round)
        if not every:
            return "no size was given"
        if best is None and self.why:
            return f"none was found: {self.why}"
        if best is None:
            least = min(every, key=lambda size: size.area)
            return f"even the smallest, {least.width:g} by {least.depth:g} in., stands nowhere"
        if best.size.area >= max(size.area for size in every) - EVEN:
            return "no larger one was asked for"
        if best.seats and max(map(self.seats, every)) <= best.seats:
            return f"none that was asked for seats more than {best.seats}"
        return f"no larger one stands at all without more than {FRONT_TO:g} in. too little"

    # --- sizes ----------------------------------------------------------------------------------

    def seats(self, size: Size) -> int:
        """How many sit at a size; 0 for what nobody sits at."""
        if not self.piece.sort.seats:
            return 0
        count = seats_of(sized(self.piece, size), self.needs)
        return 0 if count is None else count.total

    def _counted(self) -> list[Counted]:
        """Sizes by what they are worth, most first."""
        every = self.wish.every_size(round_top=self.piece.round)
        if self.piece.sort.seats:
            return by_seats(every, lambda size: seats_of(sized(self.piece, size), self.needs))
        if not self.wish.sizes and plain(self.piece.sort):
            every = tuple(under_stairs(every, lambda size: self._any(size, self.stances, 0.0)))
        return [Counted(size.area, (size,)) for size in every]

    # --- places ---------------------------------------------------------------------------------

    def spots(self, stance: Stance, size: Size) -> Spots:
        """The places of a size in a stance; the last few are kept."""
        name = (stance.key + f" {stance.turn:g}", size)
        if name not in self._spots:
            while len(self._spots) > 24:
                del self._spots[next(iter(self._spots))]
            self._spots[name] = stance.spots(size)
            self.tried += 1
        return self._spots[name]

    def _any(self, size: Size, these: Sequence[Stance], least: float) -> bool:
        if self._stop is not None and self._stop():
            raise Stopped
        return any(
            float(self.spots(s, size).bound.max(initial=-math.inf)) >= least - EVEN for s in these
        )

    def _largest(
        self,
        counted: Sequence[Counted],
        these: Sequence[Stance],
        budget: int,
        low: float,
        high: float,
    ) -> Option | None:
        """The best of the largest that fits; tells how far it is from `low` to `high`."""
        for done, each in enumerate(counted):
            if done % 8 == 0:
                self._tell(low + (high - low) * done / len(counted), f"size {done + 1}")
            option = self._best(each, these, 0.0, budget)
            if option is not None:
                return option
        return None

    def _best(
        self, group: Counted, these: Sequence[Stance], least: float, budget: int
    ) -> Option | None:
        """The best place of sizes that are worth the same; None if none has `least` to spare."""
        if len(group.sizes) == 1:
            return self._placed(group.sizes[0], these, least, budget)
        found: Option | None = None
        for size in smallest(group.sizes):
            floor = least if found is None else found.margin
            option = self._placed(size, these, floor, budget)
            if option is not None and (found is None or option.margin > found.margin + EVEN):
                found = option
        if found is None:
            return None
        proved, why = self.all_proved, self.why  # a larger top with the same margin is a bonus
        for size in group.sizes:
            if size.area <= found.size.area + EVEN:
                break
            if self._any(size, these, found.margin):
                option = self._placed(size, these, found.margin, FEW)
                if option is not None and option.margin >= found.margin - EVEN:
                    found = replace(option, proved=found.proved)
                    break
        self.all_proved, self.why = proved, why
        return found

    def _placed(
        self, size: Size, these: Sequence[Stance], least: float, budget: int
    ) -> Option | None:
        """The place of a size with the widest tightest margin."""
        lots = [lot for s in these if len(lot := self.spots(s, size))]
        lots = [lot for lot in lots if float(lot.bound.max()) >= least - EVEN]
        if not lots:
            return None
        search = Places(self.judge, self.piece, lots, (self.centre.x, self.centre.y))
        trial, held, proved = search.best(least, budget)
        if not proved:
            self.all_proved = False
            self.why = self.why or (
                f"not proved: stopped after {budget} places of {size.text} were judged"
            )
        if trial is None or held is None:
            return None
        return self._option(size, self._settled(trial, held.stance), held.stance, proved)

    def _settled(self, trial: Trial, stance: Stance) -> Trial:
        """A place slid by up to half an inch where that widens the tightest margin."""
        if not stance.slides:
            return trial
        trial = evened(self.judge, trial, SLIDE)
        return centred(self.judge, trial, (self.centre.x, self.centre.y), SLIDE)

    def _option(self, size: Size, trial: Trial, stance: Stance, proved: bool) -> Option:
        rules = by_rules(trial.piece, self.needs) if self.piece.sort.seats else ()
        return Option(size, trial, stance.key, stance.where, self.seats(size), rules, proved)

    # --- beside the best -------------------------------------------------------------------------

    def _others(self, counted: Sequence[Counted], best: Option | None) -> list[Option]:
        """The best in every other stance."""
        if best is None:
            return []
        keys = list(dict.fromkeys(s.key for s in self.stances if s.key != best.key))
        found = []
        proved, why = self.all_proved, self.why
        top = [each for each in counted if each.value <= best.value[0] + EVEN]
        for done, key in enumerate(keys[: 2 * OTHERS]):
            self._tell(0.5 + 0.2 * done / len(keys), "other walls")
            mine = [s for s in self.stances if s.key == key]
            option = self._largest(top, mine, FEW, 0.5, 0.5)
            if option is not None:
                found.append(option)
        self.all_proved, self.why = proved, why  # the best is as proved as it was
        found.sort(key=lambda o: (o.value, o.margin), reverse=True)
        return found[:OTHERS]

    def _inside(self, group: Counted, best: Option | None, option: Option | None) -> Option | None:
        """A smaller one where the best stands, if that beats what a short search found."""
        if best is None or (option is not None and option.margin >= best.margin):
            return option
        stance = next((s for s in self.stances if s.key == best.key and s.slides), None)
        size = group.sizes[-1]
        if stance is None or size.width > best.size.width or size.depth > best.size.depth:
            return option
        top = sized(self.piece, size, best.piece.turn)
        trial = self.judge.of(replace(top, x=best.piece.x, y=best.piece.y))
        if trial is None or (option is not None and trial.margin <= option.margin):
            return option
        return self._option(size, trial, stance, proved=False)

    def _front(self, counted: Sequence[Counted], best: Option | None) -> list[Option]:
        """The widest tightest margin of sizes from large to small, also where it is short."""
        found: list[Option] = []
        proved, why = self.all_proved, self.why
        few = shown(counted, best)
        for done, each in enumerate(few):
            self._tell(0.7 + 0.3 * done / len(few), f"size {done + 1} of {len(few)}")
            if best is not None and best.size in each.sizes:
                found.append(best)
                continue
            option = self._inside(each, best, self._best(each, self.stances, -FRONT_TO, FEW))
            if option is not None:
                found.append(option)
        self.all_proved, self.why = proved, why
        return sorted(found, key=lambda o: o.value, reverse=True)
