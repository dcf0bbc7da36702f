"""Killed in the middle of fifty moves, the server has lost nothing that it acknowledged."""

import http.client
import json
import random
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from tests.job import writer

from roomwright import commands
from roomwright.job.entities import Piece
from roomwright.job.store import Store
from roomwright.lengths import exact

ROOT = Path(__file__).resolve().parents[2]
MOVES = 50
SERVE = (
    "import sys; from roomwright.web.serve import serve; "
    "serve(port=int(sys.argv[2]), store_url=sys.argv[1], open_browser=False)"
)


class Served:
    """A server in a process of its own."""

    def __init__(self, url: str) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.process = subprocess.Popen(
            [sys.executable, "-c", SERVE, url, str(self.port)],
            cwd=ROOT, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert "Roomwright is at" in self.process.stdout.readline()

    def __enter__(self) -> "Served":
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.wait()
        self.process.stdout.close()

    def move(self, connection: http.client.HTTPConnection, number: int) -> int:
        """Send one move; return the sequence that the server acknowledges."""
        sent = {"command": "move", "command_id": f"k-{number}",
                "values": {"piece": "T1", "x": exact(writer.place(number))}}  # fmt: skip
        connection.request(
            "POST", "/api/v1/houses/tern-hollow/commands", json.dumps(sent),
            {"Content-Type": "application/json"},
        )  # fmt: skip
        return int(json.loads(connection.getresponse().read())["sequence"])


def send(
    served: Served, *, at: int = 0, reached: threading.Event | None = None
) -> list[tuple[str, int]]:
    """Send moves until done or until there is no server; return those acknowledged.

    `reached` is set when so many are.
    """
    told: list[tuple[str, int]] = []
    connection = http.client.HTTPConnection("127.0.0.1", served.port, timeout=10)
    try:
        for number in range(1, MOVES + 1):
            told.append((f"k-{number}", served.move(connection, number)))
            if reached is not None and number == at:
                reached.set()
    except (OSError, http.client.HTTPException, ValueError):
        pass  # killed: this move was not acknowledged
    finally:
        connection.close()
    return told


@pytest.mark.parametrize("seed", range(3))
def test_no_acknowledged_move_is_lost(store, seed):
    rng = random.Random(seed)
    at, wait = rng.randint(3, 35), rng.random() * 0.02
    reached = threading.Event()
    with Served(store.url) as served:

        def kill() -> None:
            reached.wait(30)
            time.sleep(wait)  # while the next moves are on their way
            served.process.kill()

        killer = threading.Thread(target=kill)
        killer.start()
        told = send(served, at=at, reached=reached)
        killer.join()
    assert 0 < len(told) < MOVES, "killed in the middle"
    writer.check_nothing_lost(store.url, told, "tern-hollow")
    with Store(store.url) as opened:
        assert 0 <= opened.facts("tern-hollow").sequence - told[-1][1] <= 1

    with Served(store.url) as served:  # the outbox sends everything again
        again = send(served)
    assert len(again) == MOVES
    assert again[: len(told)] == told
    writer.check_nothing_lost(store.url, again, "tern-hollow")
    with Store(store.url) as opened:
        assert opened.facts("tern-hollow").get(Piece, "T1").x == writer.place(MOVES)
        assert len(opened.journal("tern-hollow")) == MOVES + 1
        assert commands.COMMANDS["move"].command_name == opened.last("tern-hollow", 1)[0].command
