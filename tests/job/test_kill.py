"""A killed writer loses nothing that it was told is kept."""

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest
from tests.job import a_house, writer

from roomwright.job.entities import Piece
from roomwright.job.store import Store

ROOT = Path(__file__).resolve().parents[2]
MOVES = 50


def start(url: str, name: str, count: int = MOVES) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "tests.job.writer", url, name, str(count)],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip


def acknowledged(process: subprocess.Popen[str], name: str) -> list[tuple[str, int]]:
    """What the process said, to the last whole line."""
    said = process.stdout.read()
    whole = said[: said.rfind("\n") + 1].split("\n")[:-1]
    return [(f"{name}-{n}", int(s)) for n, s in (line.split() for line in whole)]


@pytest.mark.parametrize("seed", range(4))
def test_a_killed_writer_loses_no_acknowledged_move(store_url: str, seed: int):
    rng = random.Random(seed)
    with Store(store_url) as store:
        a_house.build(store)
    with start(store_url, "w") as process:
        first = process.stdout.readline()  # it is under way
        time.sleep(rng.random() * 0.12)
        process.kill()
        told = [("w-1", int(first.split()[1])), *acknowledged(process, "w")]
    writer.check_nothing_lost(store_url, told)
    with Store(store_url) as store:
        # at most the move in flight is there beyond the acknowledged ones, whole
        sequence = store.facts("test-house").sequence
        assert 0 <= sequence - told[-1][1] <= 1
        assert store.facts("test-house").get(Piece, "T1").x == writer.place(sequence - 1)


def test_the_writer_goes_on_where_it_was_killed(store_url: str):
    """Sending all fifty moves again, with their ids, ends with each written once."""
    with Store(store_url) as store:
        a_house.build(store)
    with start(store_url, "w") as process:
        for _ in range(20):
            process.stdout.readline()
        process.kill()
    with start(store_url, "w") as process:
        told = acknowledged(process, "w")
    assert [s for _, s in told] == list(range(2, MOVES + 2))
    writer.check_nothing_lost(store_url, told)


def test_two_processes_write_side_by_side(store_url: str):
    with Store(store_url) as store:
        a_house.build(store)
        with start(store_url, "a") as first, start(store_url, "b") as second:
            told = [*acknowledged(first, "a"), *acknowledged(second, "b")]
        assert sorted(s for _, s in told) == list(range(2, 2 * MOVES + 2))
        writer.check_nothing_lost(store_url, told)
        facts = store.facts("test-house")
        last = store.last("test-house", 1)[0]
        assert facts.sequence == last.sequence == 2 * MOVES + 1
        assert facts.fact("piece", "T1") == last.changes[0].after, "the other processes are seen"
