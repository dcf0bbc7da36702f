"""Kept answers equal a full recompute, whatever was done to the house.

Every named query under `roomwright.answers` takes part by itself: its keys come from `VALUES`, by
the names of its parameters. A query whose parameters have no source there fails the first test.
"""

import importlib
import inspect
import pkgutil
import random
from collections.abc import Callable, Iterable
from datetime import date, timedelta
from itertools import product
from typing import Any

import pytest
from tests.commands.random_commands import any_command

import roomwright.answers
from roomwright import commands
from roomwright.answers.engine import REGISTRY, Answers, Query
from roomwright.answers.live import Live
from roomwright.answers.mark_out_model import Asked
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.fit.search_wanted import Place, Size, Wanted
from roomwright.job.entities import KINDS, Activity, Order, Part, PartClass, Piece, Room
from roomwright.job.errors import StoreError
from roomwright.job.facts import Facts
from roomwright.job.store import Store
from roomwright.shape import centre

COMMANDS = 1000
LOOKS = 5
"""So many times on the way is everything computed anew and compared."""

WRITTEN = date(2027, 3, 29)

Values = Callable[[Answers], Iterable[Any]]


def _groups(answers: Answers) -> dict[str, tuple[str, ...]]:
    return {room: answers.answer("joined rooms", room) for room in answers.facts.ids(Room)}


def _middle(room: Room) -> Place:
    """A place for a wish that takes no long search."""
    x, y = centre([(float(x), float(y)) for x, y in room.outline])
    return Place("at", at=(x, y))


VALUES: dict[str, Values] = {
    **{kind: (lambda a, model=model: a.facts.ids(model)) for kind, model in KINDS.items()},
    "level": lambda a: sorted({room.level for room in a.facts.all(Room)}),
    "trade": lambda a: ["", *sorted({x.trade for x in a.facts.all(Activity)} - {""})],
    "group": lambda a: dict.fromkeys(_groups(a).values()),
    "face": lambda _: ("stud", "board", "finished"),
    "asked": lambda _: (Asked(),),
    "line": lambda a: a.facts.ids(Part)[::25],
    "part_class": lambda a: a.facts.ids(PartClass)[::10],
    "first": lambda a: (a.as_of,),
    "maker": lambda a: ["", *sorted({o.maker for o in a.facts.all(Order)} - {""})],
}
"""Name of a parameter -> its values. The name of a kind of fact stands for the ids of that kind."""

PAIRS: dict[tuple[str, ...], Values] = {
    ("group", "room"): lambda a: [(group, room) for room, group in _groups(a).items()],
    ("room", "to_room"): lambda a: [
        (room, "103") for room in a.facts.ids(Room) if room != "103" and "103" in a.facts.ids(Room)
    ],
    ("room", "wanted"): lambda a: [
        (r.id, Wanted("chest", sizes=(Size(20, 18), Size(24, 18)), place=_middle(r), turn=(0.0,)))
        for r in a.facts.all(Room)
    ],
    ("room", "piece"): lambda a: [(piece.room, piece.id) for piece in a.facts.all(Piece)],
}
"""Parameters whose values hang together; of others every combination is asked."""

MOST = 6
"""So many keys of a query are asked on the way; all of them at the end."""


def keys_of(query: Query[Any, Any], answers: Answers) -> list[tuple[Any, ...]]:
    names = parameters(query)
    if names in PAIRS:
        return list(PAIRS[names](answers))
    return list(product(*(VALUES[name](answers) for name in names)))


def queries() -> list[Query[Any, Any]]:
    """Every named query of the package; those that tests and examples made are left out."""
    for module in pkgutil.iter_modules(roomwright.answers.__path__, "roomwright.answers."):
        importlib.import_module(module.name)
    inside = "roomwright.answers."
    return [
        q
        for q in REGISTRY.values()
        if q.function.__module__.startswith(inside) and not q.name.startswith("example")
    ]


def parameters(query: Query[Any, Any]) -> tuple[str, ...]:
    """The names of a query's parameters after the first, without those that have a default."""
    _, *rest = inspect.signature(query.function).parameters.values()
    return tuple(p.name for p in rest if p.default is p.empty)


def everything(
    answers: Answers, rng: random.Random | None = None
) -> dict[tuple[str, tuple[Any, ...]], Any]:
    """Every answer that there is; with a source of chance, those for some keys of each query."""
    asked = {}
    for query in queries():
        keys = keys_of(query, answers)
        if rng is not None and len(keys) > MOST:
            keys = rng.sample(keys, MOST)
        asked |= {(query.name, key): answers.answer(query.name, *key) for key in keys}
    return asked


def test_every_query_has_a_source_of_keys():
    assert len(queries()) > 10
    lacking = {
        q.name: names
        for q in queries()
        if (names := parameters(q)) not in PAIRS and not set(names) <= VALUES.keys()
    }
    assert not lacking, f"say in VALUES where the keys of these queries come from: {lacking}"


@pytest.mark.parametrize("seed", [1])
def test_kept_answers_equal_a_full_recompute(sqlite_store: Store, seed: int):
    rng = random.Random(seed)
    facts = read_folder(example_path("tern-hollow")).facts
    sqlite_store.create("tern-hollow", "Tern Hollow")
    load = commands.Load(facts=tuple(facts))
    commands.run(sqlite_store, "tern-hollow", load, who="test")
    live = Live(sqlite_store, today=lambda: WRITTEN)
    days = [WRITTEN, WRITTEN + timedelta(days=9)]
    done = 0
    while done < COMMANDS:
        facts = sqlite_store.facts("tern-hollow")
        try:
            if rng.random() < 0.05:
                sqlite_store.undo("tern-hollow", who="test", command_id=f"u{done}")
            else:
                commands.run(sqlite_store, "tern-hollow", any_command(rng, facts), who="test")
        except StoreError:
            continue
        done += 1
        _ask_something(rng, live.answers("tern-hollow", days[0]))
        if done % (COMMANDS // LOOKS) == 0:
            whole = done == COMMANDS
            day = days[done * LOOKS // COMMANDS % 2]
            answers = live.answers("tern-hollow", day)
            _compare(answers, done, None if whole else random.Random(done))


def _ask_something(rng: random.Random, answers: Answers) -> None:
    """Ask one query for one key, so that kept answers are of many ages."""
    query = rng.choice(queries())
    keys = keys_of(query, answers)
    if keys:
        answers.answer(query.name, *rng.choice(keys))


def _compare(kept: Answers, done: int, rng: random.Random | None) -> None:
    fresh = Answers(_rebuilt(kept.facts), as_of=kept.as_of)
    told = everything(kept, rng)
    wrong = [n for n, answer in told.items() if fresh.answer(n[0], *n[1]) != answer]
    assert not wrong, f"after {done} commands kept and computed anew differ: {wrong[:5]}"


def _rebuilt(facts: Facts) -> Facts:
    """The same facts with no index or memory of their past."""
    return Facts(facts, sequence=facts.sequence)


def test_the_comparison_can_fail(monkeypatch):
    """An answer that was kept on too little is found."""

    class Forgetful(Answers):
        def _holds(self, kept: Any) -> bool:
            return True

    facts = read_folder(example_path("tern-hollow")).facts
    answers = Forgetful(facts, as_of=WRITTEN)
    answers.answer("room", "101")
    moved = facts.changed(commands.Move(piece="T1", dx=-5).changes(facts))
    later = Forgetful(moved, as_of=WRITTEN)
    later._memory = dict(answers._memory)
    monkeypatch.setitem(globals(), "queries", lambda: [REGISTRY["room"]])
    with pytest.raises(AssertionError, match=r"differ.*room"):
        _compare(later, 1, None)
