"""Kept answers equal a full recompute, whatever was done to the house.

Every named query under `roomwright.answers` takes part by itself: its keys come from `KEYS`, by the
names of its parameters. A query whose parameters have no source there fails the first test.
"""

import importlib
import inspect
import pkgutil
import random
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from tests.commands.random_commands import any_command

import roomwright.answers
from roomwright import commands
from roomwright.answers.engine import REGISTRY, Answers, Query
from roomwright.answers.live import Live
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.job.entities import KINDS, Room
from roomwright.job.errors import StoreError
from roomwright.job.facts import Facts
from roomwright.job.store import Store

COMMANDS = 1000
LOOKS = 10
"""So many times on the way is everything computed anew and compared."""

WRITTEN = date(2027, 3, 29)

Keys = Callable[[Answers], Iterator[tuple[Any, ...]]]


def _groups(answers: Answers) -> dict[str, tuple[str, ...]]:
    return {room: answers.answer("joined rooms", room) for room in answers.facts.ids(Room)}


KEYS: dict[tuple[str, ...], Keys] = {
    (): lambda _: iter([()]),
    ("room",): lambda a: ((room,) for room in a.facts.ids(Room)),
    ("level",): lambda a: ((level,) for level in sorted({r.level for r in a.facts.all(Room)})),
    ("group",): lambda a: ((group,) for group in dict.fromkeys(_groups(a).values())),
    ("group", "room"): lambda a: ((group, room) for room, group in _groups(a).items()),
}
"""Parameters of a query -> the keys to ask it for. A parameter named like a kind of fact takes the
ids of that kind."""


def _ids_of(model: Any) -> Keys:
    return lambda a: ((id,) for id in a.facts.ids(model))


for _kind, _model in KINDS.items():
    KEYS.setdefault((_kind,), _ids_of(_model))
    KEYS.setdefault((f"{_kind}_id",), _ids_of(_model))


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


def everything(answers: Answers) -> dict[tuple[str, tuple[Any, ...]], Any]:
    """Every answer that there is."""
    return {
        (query.name, key): answers.answer(query.name, *key)
        for query in queries()
        for key in KEYS[parameters(query)](answers)
    }


def differing(kept: dict[Any, Any], fresh: dict[Any, Any]) -> list[Any]:
    return [name for name in kept.keys() | fresh.keys() if kept.get(name) != fresh.get(name)]


def test_every_query_has_a_source_of_keys():
    assert len(queries()) > 10
    lacking = {q.name: parameters(q) for q in queries() if parameters(q) not in KEYS}
    assert not lacking, f"say in KEYS where the keys of these queries come from: {lacking}"


@pytest.mark.parametrize("seed", [1])
def test_kept_answers_equal_a_full_recompute(sqlite_store: Store, seed: int):
    rng = random.Random(seed)
    facts = read_folder(example_path("tern-hollow")).facts
    sqlite_store.create("tern-hollow", "Tern Hollow")
    load = commands.Load(facts=tuple(facts))
    commands.run(sqlite_store, "tern-hollow", load, who="test")
    live = Live(sqlite_store, today=lambda: WRITTEN)
    days = [WRITTEN, WRITTEN + timedelta(days=9)]
    everything(live.answers("tern-hollow", WRITTEN))
    done = 0
    while done < COMMANDS:
        facts = sqlite_store.facts("tern-hollow")
        try:
            if rng.random() < 0.05:
                commands_id = f"u{done}"
                sqlite_store.undo("tern-hollow", who="test", command_id=commands_id)
            else:
                commands.run(sqlite_store, "tern-hollow", any_command(rng, facts), who="test")
        except StoreError:
            continue
        done += 1
        _ask_something(rng, live.answers("tern-hollow", days[0]))
        if done % (COMMANDS // LOOKS) == 0:
            for day in days:
                _compare(live.answers("tern-hollow", day), done)


def _ask_something(rng: random.Random, answers: Answers) -> None:
    """Ask one query for one key, so that kept answers are of many ages."""
    query = rng.choice(queries())
    keys = list(KEYS[parameters(query)](answers))
    if keys:
        answers.answer(query.name, *rng.choice(keys))


def _compare(kept: Answers, done: int) -> None:
    fresh = Answers(_rebuilt(kept.facts), as_of=kept.as_of)
    wrong = differing(everything(kept), everything(fresh))
    assert not wrong, f"after {done} commands kept and computed anew differ: {wrong[:5]}"


def _rebuilt(facts: Facts) -> Facts:
    """The same facts with no index or memory of their past."""
    return Facts(facts, sequence=facts.sequence)


def test_the_comparison_can_fail():
    """An answer that forgot to read what it uses is found."""
    facts = read_folder(example_path("tern-hollow")).facts
    answers = Answers(facts, as_of=WRITTEN)
    kept = everything(answers)
    name = next(n for n in kept if n[0] == "room")
    assert differing(kept, {**kept, name: None}) == [name]
