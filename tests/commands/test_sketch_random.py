"""Thousands of random steps of drawing: what the store takes, a folder takes, and it comes back."""

import random
from datetime import date

import pytest

from roomwright import commands
from roomwright.exchange import rules as of_folder
from roomwright.exchange.folder import read_files, read_folder
from roomwright.exchange.samples import example_path
from roomwright.exchange.writer import to_files
from roomwright.job import rules as of_store
from roomwright.job.entities import (
    Fixed,
    Light,
    Opening,
    Piece,
    Room,
    Sketch,
    Window,
)
from roomwright.job.errors import StoreError
from roomwright.job.facts import Facts

DEMO = read_folder(example_path("tern-hollow")).facts


def size(rng, most=200):
    return f"{rng.randint(1, most)} {rng.choice(('', '1/2', '3/8', '1/16'))} in".replace("  ", " ")


def walls(rng):
    ways = ("east", "north", "west", "south", "left", "right", "at 30 degrees", "left 45", "ne")
    steps = [f"{size(rng)} {rng.choice(ways)}" for _ in range(rng.randint(1, 5))]
    steps[0] = f"{size(rng)} east"
    return ", ".join([*steps, *rng.choice(([], ["close"]))])


def words(rng):
    side = rng.choice(("north", "east", "south", "west", "wall A", "wall C", "northeast"))
    across = rng.choice(("east", "north", "wall B"))
    return rng.choice((
        f"{size(rng, 60)} from {side}", f"{size(rng, 60)} from the {side}, "
        f"{size(rng, 60)} from the {across}", f"on wall {rng.choice('ABCDE')}, "
        f"{size(rng, 90)} from corner {rng.choice('ABCDE')}", "",
    ))  # fmt: skip


def step(rng, facts: Facts) -> tuple[str, dict]:
    """A command as a builder might give it, right or wrong."""

    def one(kind):
        return rng.choice(facts.ids(kind) or ("none",))

    room, letter = one(Room), rng.choice("ABCDEF")
    corner = rng.choice((size(rng), f"{rng.choice('ABCD')} {size(rng)}"))
    wall = {"wall": letter, "from_corner": corner, "width": size(rng, 80)}
    level = rng.choice(("1", "2", "3"))
    start = f"{room} {letter}, {size(rng)} east, {size(rng, 2000)} north"
    return rng.choice((
        ("save sketch", {"level": level, "walls": walls(rng), "start": start}),
        ("draw room", {"level": level, "room": f"n{rng.randint(1, 99)}", "walls": walls(rng),
                       "start": start, "spread": rng.choice(("", "yes"))}),
        ("wall length", {"room": room, "wall": letter, "length": size(rng, 300),
                         "moves": rng.choice(("next", "previous"))}),
        ("move corner", {"room": room, "corner": letter, "by": f"{size(rng, 9)} east"}),
        ("add corner", {"room": room, "wall": letter, "from_corner": corner}),
        ("remove corner", {"room": room, "corner": letter}),
        ("edit room", {"room": room, "level": level, "ceiling": size(rng, 120)}),
        ("remove room", {"room": room, "agreed": "yes"}),
        ("edit opening", {"opening": one(Opening), "from_corner": corner}),
        ("edit opening", {"opening": one(Opening), **wall, "kind": "swing", "hand": "left"}),
        ("remove opening", {"opening": one(Opening)}),
        ("add opening", {"room": room, **wall, "kind": "cased"}),
        ("add window", {"room": room, **wall}),
        ("edit window", {"window": one(Window), "from_corner": corner}),
        ("put", {"room": room, "kind": "desk", "width": size(rng, 90), "depth": size(rng, 40),
                 "place": words(rng)}),
        ("place", {"thing": "piece", "id": one(Piece), "place": words(rng)}),
        ("place", {"thing": "fixed", "id": one(Fixed), "place": words(rng)}),
        ("add fixed", {"room": room, "name": "box", "width": size(rng, 60),
                       "depth": size(rng, 30), "place": words(rng)}),
        ("remove fixed", {"fixed": one(Fixed)}),
        ("add light", {"room": room, "place": words(rng)}),
        ("remove light", {"light": one(Light)}),
        ("remove sketch", {"sketch": one(Sketch)}),
    ))  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_drawing_makes_only_what_a_folder_may_say(seed: int):
    rng = random.Random(seed)
    facts, taken = DEMO, 0
    for _ in range(200):
        name, values = step(rng, facts)
        try:
            changes = commands.parse(name, values).changes(facts)
        except StoreError:
            continue
        after = facts.changed(changes)
        if of_store.check(after, changes):
            continue
        facts, taken = after, taken + bool(changes)
        wrong = [b for b in of_folder.broken(facts) if b.severity == "error"]
        assert wrong == [], (name, values, wrong[0].wrong)
    assert taken > 30
    back = read_files({n: t.encode() for n, t in to_files(facts).items()}).facts
    assert list(back) == list(facts)


def test_a_house_begun_and_sketched_comes_back():
    facts = Facts()
    for name, values in (
        ("begin house", {"name": "Mine", "on": date(2027, 1, 4)}),
        ("save sketch", {"level": "1", "walls": "12' east, 9' north"}),
    ):
        facts = facts.changed(commands.parse(name, values).changes(facts))
    back = read_files({n: t.encode() for n, t in to_files(facts).items()}).facts
    assert list(back) == list(facts)
