"""Random editing of the network: no command makes what a folder may not say, and undo is exact."""

import random
from pathlib import Path

import pytest

from roomwright import commands
from roomwright.exchange.folder import FolderError, read_files, read_folder
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Activity, Link, Progress, Room
from roomwright.job.errors import StoreError
from roomwright.job.store import Store

DEMO = read_folder(Path(__file__).resolve().parents[2] / "examples" / "tern-hollow").facts


def asked(rng, facts):
    work = lambda: rng.choice(facts.ids(Activity))  # noqa: E731
    match rng.randrange(9):
        case 0:
            return "add activity", {"name": "x", "days_likely": rng.choice(["0", "1/2", "3"]),
                                    "after": work(), "before": work()}  # fmt: skip
        case 1:
            return "edit activity", {"activity": work(), "days_likely": rng.choice(["1", "7 1/2"]),
                                     "rooms": rng.choice(["all", *facts.ids(Room)])}  # fmt: skip
        case 2:
            order = rng.choice(["one after another", "side by side"])
            by = rng.choice(["two", "rooms"])
            return "split activity", {"activity": work(), "by": by, "order": order}
        case 3:
            return "remove activity", {"activity": work()}
        case 4:
            return "remove activity", {"activity": work(), "instead": work()}
        case 5:
            return "link", {"before": work(), "after": work(), "lag_days": rng.choice(["0", "-1"]),
                            "kind": rng.choice(["start to start", "finish to finish"])}  # fmt: skip
        case 6:
            return "edit link", {"link": rng.choice(facts.ids(Link)), "kind": "start to finish"}
        case 7:
            return "unlink", {"link": rng.choice(facts.ids(Link))}
    return "edit activities", {"rows": [{"activity": work(), "days_low": rng.choice(["", "1"])},
                                        {"activity": work(), "trade": "tile"}]}  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_what_is_made_reads_as_a_folder_and_undo_brings_back(sqlite_store: Store, seed: int):
    rng = random.Random(seed)
    sqlite_store.create("h", "House")
    load = commands.Load(facts=tuple(DEMO))
    commands.run(sqlite_store, "h", load, who="test")
    taken = 0
    for _ in range(60):
        before = sqlite_store.facts("h")
        name, values = asked(rng, before)
        try:
            done = commands.run(sqlite_store, "h", commands.parse(name, values), who="test")
        except StoreError:
            assert sqlite_store.facts("h").sequence == before.sequence
            continue
        taken += bool(done.changes)
        if done.changes and rng.random() < 0.2:
            sqlite_store.undo("h", done.sequence, who="test", command_id=str(rng.random()))
            now = sqlite_store.facts("h")
            for kind in (Activity, Link, Progress):
                assert now.all(kind) == before.all(kind)
    assert taken > 15
    files = {n: t.encode() for n, t in to_files(sqlite_store.facts("h")).items()}
    try:
        read_files(files)
    except FolderError as error:
        pytest.fail(str(error))
