"""What the store takes, a house folder takes, and the other way round."""

import random
from datetime import date, timedelta
from fractions import Fraction

import pytest
from tests.commands.random_commands import any_command

from roomwright import commands
from roomwright.exchange import rules as of_folder
from roomwright.exchange.folder import FolderError, read_files, read_folder
from roomwright.exchange.samples import example_path
from roomwright.exchange.writer import to_files
from roomwright.job import rules as of_store
from roomwright.job.errors import StoreError
from roomwright.job.facts import Change, Facts

DEMO = read_folder(example_path("tern-hollow")).facts


def errors(facts: Facts) -> list[of_folder.Broken]:
    return [b for b in of_folder.broken(facts) if b.severity == "error"]


def after(facts: Facts, command: commands.Command) -> Facts | None:
    """The facts after a command, or None where it is refused."""
    try:
        changes = command.changes(facts)
    except StoreError:
        return None
    new = facts.changed(changes)
    return None if of_store.check(new, changes) else new


@pytest.mark.parametrize("seed", range(4))
def test_no_command_makes_what_a_folder_may_not_say(seed: int):
    rng = random.Random(seed)
    facts = DEMO
    for _ in range(150):
        facts = after(facts, any_command(rng, facts)) or facts
    assert errors(facts) == []


def bent(rng: random.Random, facts: Facts) -> Change | None:
    """One field of one fact bent, as a hand in a spreadsheet might."""
    fact = rng.choice(list(facts))
    field = rng.choice([f for f in type(fact).model_fields if f not in ("id", "extra")])
    value = getattr(fact, field)
    new: object
    if isinstance(value, bool) or value is None:
        return None
    if isinstance(value, Fraction):
        new = value + rng.choice([Fraction(1, 8), -30, 30, -value, -2 * value, 400])
    elif isinstance(value, int):
        new = max(0, value + rng.choice([-3, -1, 1, 5]))
    elif isinstance(value, date):
        new = value + timedelta(days=rng.choice([-40, -1, 1, 40]))
    elif isinstance(value, str):
        others = [getattr(f, field) for f in facts.all(type(fact))]
        new = rng.choice([*others, "nobody"])
    elif field in ("outline", "planned") and value:
        ring = [list(p) for p in value]
        ring[rng.randrange(len(ring))][rng.randrange(2)] += rng.choice([-40, -1, 1, 40])
        new = tuple(tuple(p) for p in ring)
    elif field in ("a", "b", "hinge"):
        new = (value[0] + rng.choice([0, -20, 3, 200]), value[1] + rng.choice([0, 5, -60]))
    else:
        return None
    try:
        made = type(fact).model_validate({**dict(fact), field: new})
    except ValueError:
        return None
    return Change(fact.kind_name, fact.id, fact, made)


def folder_refuses(facts: Facts) -> bool:
    try:
        read_files({name: text.encode() for name, text in to_files(facts).items()})
    except FolderError:
        return True
    return False


@pytest.mark.parametrize("seed", range(4))
def test_what_a_folder_may_say_the_store_takes(seed: int):
    """A folder that reads without an error is never refused by the store afterward."""
    rng = random.Random(seed)
    bends = 0
    while bends < 150:
        change = bent(rng, DEMO)
        if change is None or change.before == change.after:
            continue
        bends += 1
        facts = DEMO.changed([change])
        refused = of_store.check(facts, [change])
        if refused:
            assert folder_refuses(facts), f"the folder takes it, the store does not: {refused}"
